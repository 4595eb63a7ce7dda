"""Which characteristic of a part class a size of a running text belongs to, where the text or the trade says so.

The order of the figures in a product (bore × outside × width), and what a
single figure of a class means (the bore of a hose), are common practice. What
neither says is left open.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from server.domain.errors import Unreadable
from server.domain.parts._kit import Characteristic, PartClass, fold_word
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.reading import Reading, Size, read_quantity
from server.domain.reading_words import ROLE_WORDS

Span = tuple[int, int]

CONDITION = frozenset(
    [
        "cracks",
        "inspection",
        "corrosion",
        "repair",
        "inside",
        "dents",
        "bow",
        "defects",
        "condition",
        "used_before",
        "nicked_strands",
        "broken_strands",
        "luminous",
        "proof_loaded",
        "moisture",
        "load",
        "hand",
        "stretch",
        "restrains",
    ]
)
"""Characteristics of the piece itself or of its duty: "cracked" says what is wrong, never what is wanted."""

_RIVETS = ("solid_rivet", "semi_tubular_rivet", "tubular_rivet", "split_rivet", "blind_rivet")
_PRODUCTS: dict[str, dict[int, tuple[str, ...]]] = {
    **{key: {2: ("body_diameter", "length_under_head")} for key in _RIVETS},
    "bolt": {2: ("shank_diameter", "length_under_head")},
    "wood_screw": {2: ("shank_diameter", "length_under_head")},
    "pin": {2: ("shank_diameter", "length_over_all")},
    "washer": {2: ("bore", "outside_diameter"), 3: ("bore", "outside_diameter", "thickness")},
    "bush": {2: ("bore", "outside_diameter"), 3: ("bore", "outside_diameter", "length_over_all")},
    "bearing": {3: ("bore", "outside_diameter", "width")},
    "seal_gasket": {2: ("bore", "outside_diameter"), 3: ("bore", "outside_diameter", "")},
    "streamline_tube": {2: ("major_axis", "minor_axis"), 3: ("major_axis", "minor_axis", "wall")},
    "chain": {2: ("pitch", "inner_width")},
    "hose": {2: ("bore", "outside_diameter")},
    "placard": {2: ("width_over_all", "height_over_all"), 3: ("width_over_all", "height_over_all", "thickness")},
}
_TUBES = {
    "tube": ("outside_diameter", "wall", "length_over_all"),
    "rigid_conduit": ("outside_diameter", "wall", "length_between_ferrules"),
}
"""Where the size reader does not know the word for a tube."""

_ASCENDING: dict[str, tuple[str, ...]] = {
    "timber": ("thickness", "width", "length_over_all"),
    "sheet_part": ("thickness", "width_over_all", "length_over_all"),
    "padding": ("thickness", "width_over_all", "length_over_all"),
}
"""Here the smallest figure is the thickness, wherever it stands."""

_NOMINAL = {
    **dict.fromkeys(_RIVETS, "body_diameter"),
    "bolt": "shank_diameter",
    "wood_screw": "shank_diameter",
    "pin": "shank_diameter",
    "tube": "outside_diameter",
    "rigid_conduit": "outside_diameter",
    "flexible_conduit": "inside_diameter",
    "insulating_sleeving": "bore",
    "shielding_braid": "bore",
    "hose": "bore",
    "control_cable": "diameter",
    "cord_thread": "diameter",
    "timber": "thickness",
    "sheet_part": "thickness",
    "leathercloth": "thickness",
    "padding": "thickness",
    "webbing_belt": "width",
    "fabric_tape": "width",
    "instrument": "case_diameter",
}
_IF_DIAMETER = {
    "glass_lens": "outside_diameter",
    "mirror_reflector": "outside_diameter",
    "filter_screen": "outside_diameter",
    "bar": "diameter",
    "lamp": "bulb_diameter",
    "electric_wire": "outside_diameter",
}
_ROLES: dict[str, tuple[str, ...]] = {
    "id": ("bore", "inside_diameter", "bore_diameter"),
    "od": ("outside_diameter", "coil_outside_diameter"),
    "wall": ("wall",),
    "thk": ("thickness", "leaf_thickness"),
    "len": (
        "length_under_head",
        "length_over_all",
        "free_length",
        "length_between_ferrules",
        "length_pin_to_pin",
        "length_needed",
    ),
    "width": ("width", "width_over_all"),
    "af": ("across_flats",),
    "centres": ("hole_centres", "rivet_centres"),
    "head": ("head_diameter",),
    "hole": ("hole_diameter",),
    "grip": ("grip",),
    "stock": ("length_needed",),
}
_DIAMETERS_OF_PINS = {"taper": ("", ""), "threaded taper": ("", ""), "clevis": ("shank_diameter", "")}
"""A taper pin has two diameters, a clevis pin is sold by grip or by length: there a bare product says too little."""

_LEAST_WEIGHT = 0.6
_ROLE_WORD = re.compile(r"[^\W\d_]+")
_SAID_BY_ALL = frozenset({"diameter", "length", "over", "all", "under", "head", "a", "b", "to", "needed"})
_COUNTED = re.compile(r"(?<![\w.,/])(\d{1,4})[ -]?([^\W\d_]{3,})")
_NUMBERED = re.compile(r"\b(?:no|nr|n°|#)[. ]{0,2}(\d{1,2})\b", re.IGNORECASE)
_TYRE = re.compile(r"(?<![\w.])\d{1,4}(?:[.,]\d{1,2})?\s?[x×-]\s?\d{1,3}(?:[.,]\d{1,2})?(?![\w.])")
_RANGE = re.compile(r"\d[\d.,]*\s?(?:-|–|to|bis|à)\s?\d[\d.,]*\s?[\w/°]+")


@dataclass(frozen=True, slots=True)
class GivenText:
    """A characteristic that a line gives, the text to enter for it, and where it stands in the line."""

    characteristic: Characteristic
    text: str
    span: Span


def sizes_of(
    known: PartClass, reading: Reading, text: str, aside: Sequence[Span], kinds: Iterable[str]
) -> Iterator[GivenText]:
    """What the sizes of a line say of this class. `aside` are clauses about what the part goes with; `kinds` the words
    already found for the kind of part, such as "clevis".
    """
    numbers = frozenset(reading.designator_spans)
    sizes = [
        size
        for size in _surest(reading.sizes)
        if (not size.is_derived or size.span in numbers) and not _numbered(known, size, text)
    ]
    products = _products(sizes)
    nominal = _NOMINAL.get(known.key, "")
    bare = [one for one in sizes if one.position == 0 and one.role in {"", "dia"} and one.thread is None]
    for size in sizes:
        explicit = _said_role(size)
        if any(start <= size.span[0] < end for start, end in aside) and explicit in {"", "dia"}:
            continue
        if size.quantity.kind is not Kind.LENGTH:
            key = _only_of_kind(known, size.quantity.kind)
        elif size.thread is not None:
            key = "thread"
        elif explicit not in {"", "dia"}:
            key = _first(known, _ROLES.get(explicit, ()))
        elif size.position and (placed := _placed(known, size, products, kinds)) is not None:
            key = placed
        elif size.role not in {"", "dia"}:
            key = _first(known, _ROLES.get(size.role, ()))
        elif size.position == 0:
            if size.role == "dia":
                key = _IF_DIAMETER.get(known.key, nominal)
            else:
                key = _beside(known, size, text) or (nominal if len(bare) == 1 else "")
        else:
            key = nominal if size.position == 1 and len(products[size.span]) == 1 else ""
        one = known.characteristic(key) if key else None
        if one is None or one.of_place or one.key in CONDITION:
            continue
        if one.kind is None and size.thread is not None:
            yield GivenText(one, size.thread.designation, size.span)
        elif one.kind is size.quantity.kind and (said := self_contained(size.quantity)):
            yield GivenText(one, said, size.span)
    yield from _counted(known, text)


def _surest(sizes: Sequence[Size]) -> list[Size]:
    """One reading of each figure: the surest of those that exclude each other."""
    best: dict[tuple[Span, int, bool, str], Size] = {}
    for size in sizes:
        # outside and derived bore share a place and do not exclude each other; nor do the two sizes in a part number
        key = (size.span, size.position, size.is_derived, size.role if size.is_derived else "")
        if size.weight >= _LEAST_WEIGHT and (key not in best or best[key].weight < size.weight):
            best[key] = size
    return list(best.values())


def _products(sizes: Sequence[Size]) -> dict[Span, list[Size]]:
    """The product each figure stands in."""
    found: dict[Span, list[Size]] = {}
    current: list[Size] = []
    for size in sizes:
        if not size.position:
            continue
        if not current or size.position <= current[-1].position:
            current = []
        current.append(size)
        found[size.span] = current
    return found


def _placed(known: PartClass, size: Size, products: dict[Span, list[Size]], kinds: Iterable[str]) -> str | None:
    """The characteristic this place of a product means for the class; None where the class has no rule for it."""
    product = products[size.span]
    if known.key in _ASCENDING and all(one.quantity.value is not None for one in product):
        ordered = sorted(product, key=lambda one: one.quantity.value or 0)
        keys = _ASCENDING[known.key]
        at = next(place for place, one in enumerate(ordered) if one is size)
        return keys[at] if at < len(keys) else ""
    if known.key in _TUBES and len(product) > 1 and not any(one.role for one in product):
        first, second = (one.quantity.value or 0 for one in product[:2])
        # with a second figure near the first it may be the bore
        return _TUBES[known.key][size.position - 1] if second * 4 < first and size.position <= 3 else ""
    places = _PRODUCTS.get(known.key, {}).get(len(product))
    if places is None:
        return None
    kind = set(kinds)
    if known.key == "pin":
        places = next((named for word, named in _DIAMETERS_OF_PINS.items() if word in kind), places)
    if known.key == "seal_gasket":
        if "o-ring" in kind and len(product) == 2:
            places = ("bore", "section")
        elif len(product) == 3:
            places = ("bore", "outside_diameter", "width" if "lip seal" in kind else "thickness")
    return places[size.position - 1] if size.position <= len(places) else ""


def _said_role(size: Size) -> str:
    """The role that stands with the figure in words ("1/2 id"); "" where the reader took it from the place."""
    for word in _ROLE_WORD.findall(size.quantity.text.casefold()):
        if ROLE_WORDS.get(word) == size.role:
            return size.role
    return size.role if size.position == 0 and size.role not in {"", "dia"} else ""


def _first(known: PartClass, keys: Iterable[str]) -> str:
    return next((key for key in keys if known.characteristic(key) is not None), "")


def _only_of_kind(known: PartClass, kind: Kind) -> str:
    fitting = [
        one.key for one in known.characteristics if one.kind is kind and not one.of_place and one.key not in CONDITION
    ]
    return fitting[0] if len(fitting) == 1 else ""


def _beside(known: PartClass, size: Size, text: str) -> str:
    """The one characteristic whose name has the word beside this figure: "1/2 in pitch", "wire 1.5 mm"."""
    before = re.search(r"([^\W\d_]+)\s*$", text[: size.span[0]])
    behind = re.match(r"\s*([^\W\d_]+)", text[size.span[1] :])
    for found in (behind, before):
        word = fold_word(found.group(1)) if found else ""
        if len(word) < 3 or word in _SAID_BY_ALL:
            continue
        fitting = [
            one.key for one in known.characteristics if one.kind is size.quantity.kind and word in one.key.split("_")
        ]
        if len(fitting) == 1:
            return fitting[0]
    return ""


def _numbered(known: PartClass, size: Size, text: str) -> bool:
    """True for the figure of "no 8": a gauge number, no size."""
    if known.characteristic("gauge_number") is None:
        return False
    return any(found.start(1) == size.span[0] for found in _NUMBERED.finditer(text))


def _counted(known: PartClass, text: str) -> Iterator[GivenText]:
    """Counts and numbers that are no sizes: "84 links", "3 ply", a screw's number, a tyre's size, a scale."""
    counts = {word: one for one in known.characteristics if one.kind is Kind.COUNT for word in one.key.split("_")}
    for found in _COUNTED.finditer(text):
        word = fold_word(found.group(2))
        one = counts.get(word) or counts.get(f"{word}s") or counts.get(f"{word[:-1]}ies")
        if one is not None and not one.of_place and one.key not in CONDITION:
            yield GivenText(one, found.group(1), found.span())
    gauge = known.characteristic("gauge_number")
    if gauge is not None and (found_number := _NUMBERED.search(text)):
        yield GivenText(gauge, found_number.group(1), found_number.span())
    tyre = known.characteristic("tyre_size")
    if tyre is not None and (found_tyre := _TYRE.search(text)):
        yield GivenText(tyre, found_tyre.group(), found_tyre.span())
    scale = known.characteristic("dial_range")
    if scale is not None and (found_range := _RANGE.search(text)):
        yield GivenText(scale, found_range.group().strip(), found_range.span())


def self_contained(quantity: Quantity) -> str:
    """The size written so that it can be read alone, whatever the drawings' unit; "" where that can't be done."""
    typed = quantity.text.strip()
    unit = "" if quantity.value is None else write_value(quantity.value, quantity.kind, 6, unit=quantity.unit)
    bare = " ".join(word for word in typed.split() if word.casefold().strip(".") not in ROLE_WORDS)
    for said in (typed, f"{typed} {quantity.unit}", bare, f"{bare} {quantity.unit}", unit.replace("\u202f", " ")):
        if said and _reads_as(said, quantity):
            return said
    return ""


def _reads_as(text: str, quantity: Quantity) -> bool:
    for unit in ("mm", "in"):
        try:
            read = read_quantity(text, quantity.kind, drawing_unit=unit)
        except Unreadable:
            return False
        if (read.value, read.low, read.high) != (quantity.value, quantity.low, quantity.high):
            return False
    return True
