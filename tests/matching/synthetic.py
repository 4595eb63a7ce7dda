"""An invented register of any size: needs with known facts, and finds written otherwise, for measuring the matching.

Names, sizes and materials are drawn with a fixed seed. A find is written in
other words than its need, in part in another language, with units converted
and rounded as people do, with attributes left out, misspelt words and selling
words. The right answers of a find are all needs that agree with every fact it
states, so equal needs are never counted as mistakes.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

INCH = 25.4


@dataclass(frozen=True)
class Spec:
    """One class of synthetic parts: wordings, what kinds and materials it comes in, and its sizes in order."""

    key: str
    names: tuple[str, ...]
    kinds: tuple[tuple[str, ...], ...]
    materials: tuple[str, ...]
    sizes: tuple[tuple[str, str], ...]
    """Role, and the series its values come from."""


def _spec(key: str, names: str, kinds: str, materials: str, sizes: str) -> Spec:
    return Spec(
        key,
        tuple(names.split("/")),
        tuple(tuple(kind.split("/")) for kind in kinds.split(";") if kind),
        tuple(materials.split()),
        tuple((role, series) for role, series in (one.split(":") for one in sizes.split())),
    )


MATERIALS: dict[str, tuple[str, ...]] = {
    "steel": ("steel", "mild steel", "Stahl", "acier"),
    "stainless": ("stainless steel", "stainless", "Edelstahl", "inox"),
    "aluminium": ("aluminium", "aluminum", "ally", "Alu"),
    "dural": ("duralumin", "dural", "Dural"),
    "brass": ("brass", "Messing", "laiton"),
    "bronze": ("bronze", "phosphor bronze", "Bronze"),
    "copper": ("copper", "Kupfer", "cuivre"),
    "rubber": ("rubber", "Gummi", "caoutchouc"),
    "cork": ("cork", "Kork", "liège"),
    "felt": ("felt", "Filz", "feutre"),
    "cotton": ("cotton", "Baumwolle", "coton"),
    "linen": ("linen", "Leinen", "lin"),
    "leather": ("leather", "Leder", "cuir"),
    "spruce": ("spruce", "Fichte", "sitka"),
    "ash": ("ash", "Esche", "frêne"),
    "birch": ("birch", "Birke", "bouleau"),
    "bakelite": ("bakelite", "Bakelit", "bakélite"),
    "glass fibre": ("glass fibre", "fiberglass", "Glasfaser"),
    "magnesium": ("magnesium", "Elektron", "magnésium"),
}

SPECS: tuple[Spec, ...] = (
    _spec(
        "solid rivet",
        "solid rivet/Vollniet/rivet plein",
        "countersunk/csk/Senkkopf;snap head/round head/Halbrundkopf;flat head",
        "aluminium dural copper",
        "dia:rivet len:short",
    ),
    _spec(
        "tubular rivet",
        "tubular rivet/hollow rivet/Hohlniet/rivet creux",
        "",
        "brass copper steel",
        "dia:rivet len:short",
    ),
    _spec("split rivet", "split rivet/bifurcated rivet/Zweispitzniet", "", "brass copper steel", "dia:rivet len:short"),
    _spec(
        "blind rivet",
        "blind rivet/pop rivet/Blindniet/rivet pop",
        "countersunk/csk/Senkkopf;dome head/domed",
        "aluminium steel stainless",
        "dia:rivet len:short",
    ),
    _spec(
        "bolt",
        "bolt/hex bolt/Sechskantschraube/boulon",
        "drilled head;drilled shank",
        "steel stainless",
        "dia:bolt len:long",
    ),
    _spec(
        "machine screw",
        "machine screw/set screw/Zylinderschraube/vis",
        "cheese head/Zylinderkopf;countersunk/csk/Senkkopf",
        "steel brass stainless",
        "dia:rivet len:short",
    ),
    _spec(
        "wood screw",
        "wood screw/woodscrew/Holzschraube/vis à bois",
        "countersunk/csk/Senkkopf;round head/Halbrundkopf",
        "brass steel",
        "dia:rivet len:long",
    ),
    _spec("washer", "washer/plain washer/Unterlegscheibe/rondelle", "", "steel brass aluminium", "id:bolt od:wide"),
    _spec("clevis pin", "clevis pin/fork pin/Gabelbolzen", "", "steel stainless", "dia:bolt len:long"),
    _spec(
        "split pin", "split pin/cotter pin/Splint/goupille fendue", "", "steel brass stainless", "dia:rivet len:long"
    ),
    _spec("taper pin", "taper pin/Kegelstift/goupille conique", "", "steel brass", "dia:rivet len:long"),
    _spec("bush", "bush/bushing/Buchse/bague", "flanged/mit Bund", "bronze steel", "id:bolt od:wide len:long"),
    _spec(
        "ball bearing",
        "ball bearing/ballrace/Kugellager/roulement à billes",
        "sealed/abgedichtet",
        "",
        "id:metric od:metricwide",
    ),
    _spec("spacer", "spacer/distance piece/Distanzhülse/entretoise", "", "steel aluminium", "id:bolt od:wide len:long"),
    _spec("tension spring", "tension spring/extension spring/Zugfeder", "", "steel", "od:wide len:long"),
    _spec(
        "compression spring", "compression spring/Druckfeder/ressort de compression", "", "steel", "od:wide len:long"
    ),
    _spec("control cable", "control cable/wire rope/Steuerseil", "7x19;7x7", "steel stainless", "dia:rivet"),
    _spec(
        "turnbuckle",
        "turnbuckle/strainer/Spannschloss/tendeur",
        "fork and eye;fork and fork",
        "brass steel",
        "dia:rivet len:long",
    ),
    _spec("piano hinge", "piano hinge/continuous hinge/Klavierband", "", "aluminium steel stainless", "width:wide"),
    _spec("fuel hose", "fuel hose/petrol pipe flexible/Benzinschlauch/durite essence", "", "rubber", "id:bolt"),
    _spec("oil hose", "oil hose/Ölschlauch/durite huile", "", "rubber", "id:bolt"),
    _spec("union", "union/pipe union/Verschraubung", "", "brass steel aluminium", "od:bolt"),
    _spec("olive", "olive/compression ring/Schneidring", "", "brass", "id:bolt"),
    _spec("filter gauze", "filter gauze/strainer mesh/Filtersieb/crépine", "", "brass stainless", "dia:wide"),
    _spec("O-ring", "O-ring/o ring/Rundring/joint torique", "", "rubber", "id:bolt thk:thin"),
    _spec("gasket", "gasket/joint sheet/Flachdichtung/joint plat", "", "cork rubber", "od:wide thk:thin"),
    _spec("grommet", "grommet/rubber grommet/Gummitülle/passe-fil", "", "rubber", "hole:wide id:bolt"),
    _spec(
        "steel tube", "steel tube/tube/Stahlrohr/tube acier", "seamless/nahtlos", "steel stainless", "od:wide wall:thin"
    ),
    _spec("streamline tube", "streamline tube/streamlined tube/Profilrohr", "", "steel aluminium", "od:wide wall:thin"),
    _spec("sheet", "sheet/sheet metal/Blech/tôle", "", "aluminium dural steel brass", "thk:thin"),
    _spec("round bar", "round bar/rod/Rundstange/barre ronde", "", "steel brass aluminium", "dia:wide"),
    _spec("plank", "plank/board/Brett/planche", "", "spruce ash", "thk:metric width:metricwide"),
    _spec("plywood", "plywood/ply sheet/Sperrholz/contreplaqué", "", "birch", "thk:thin"),
    _spec(
        "electric wire",
        "electric wire/electrical cable/Leitung",
        "red/rot/rouge;black/schwarz/noir;white/weiß",
        "cotton",
        "dia:rivet",
    ),
    _spec(
        "sleeving",
        "insulating sleeving/cloth sleeving/Isolierschlauch/gaine isolante",
        "yellow/gelb/jaune;black/schwarz/noir",
        "cotton",
        "id:bolt",
    ),
    _spec(
        "shielding braid", "shielding braid/screening braid/Abschirmgeflecht", "tinned/verzinnt", "copper", "dia:wide"
    ),
    _spec(
        "flexible conduit", "flexible conduit/metal conduit flexible/Metallschlauch", "", "brass aluminium", "id:wide"
    ),
    _spec("terminal block", "terminal block/terminal strip/Klemmleiste/bornier", "", "bakelite", "len:wide"),
    _spec("cable lug", "cable lug/ring terminal/Kabelschuh", "", "copper brass", "hole:bolt"),
    _spec("lamp", "lamp/bulb/Glühlampe/ampoule", "ba9s;ba15s;e10", "", "V:volts W:watts"),
    _spec(
        "toggle switch",
        "toggle switch/tumbler switch/Kippschalter",
        "spst/single pole/einpolig;dpst/double pole/zweipolig",
        "",
        "A:amps",
    ),
    _spec("fuse", "fuse/cartridge fuse/Sicherung/fusible", "", "", "A:amps"),
    _spec("circuit breaker", "circuit breaker/breaker/Sicherungsautomat/disjoncteur", "", "", "A:amps"),
    _spec("pressure gauge", "pressure gauge/manometer/Druckmesser/manomètre", "", "", "P:pressures"),
    _spec("tape", "serrated tape/pinked tape/Zackenband/bande crantée", "", "cotton linen", "width:wide"),
    _spec("webbing", "webbing/strap webbing/Gurtband/sangle", "", "cotton", "width:wide"),
    _spec("cord", "lacing cord/rib cord/Schnur/cordelette", "waxed/gewachst", "linen cotton", "dia:thin"),
    _spec("strap", "leather strap/Lederriemen", "black/schwarz/noir;brown/braun", "leather", "width:wide"),
    _spec("instrument glass", "instrument glass/gauge glass/Instrumentenglas", "", "", "dia:wide thk:thin"),
    _spec("mirror", "mirror/rear view mirror/Rückspiegel/rétroviseur", "round/rund/rond", "", "dia:wide"),
    _spec(
        "trim strip",
        "trim strip/trim moulding/Zierleiste/baguette",
        "chrome/verchromt/chromé;nickel plated/vernickelt",
        "brass aluminium",
        "width:wide",
    ),
    _spec("P-clip", "P-clip/P clip/Rohrschelle/collier", "rubber lined/gummiert", "steel aluminium", "id:bolt"),
    _spec("casting", "casting/Gussteil/pièce de fonderie", "", "aluminium magnesium bronze", "id:wide"),
    _spec("bracket", "bracket/Halter/support", "", "steel aluminium", "width:wide len:long"),
)

PLACES = ("wing", "rudder", "elevator", "aileron", "tailplane", "cockpit", "cowling", "undercarriage", "fuel tank",
          "oil tank", "door", "seat", "rib", "spar", "firewall", "engine mount", "tailwheel", "canopy")  # fmt: skip

_SIXTEENTHS = {"rivet": (2, 3, 4, 5, 6), "bolt": (3, 4, 5, 6, 7, 8, 10), "short": tuple(range(3, 17)),
               "long": tuple(range(8, 64, 2)), "wide": tuple(range(8, 56, 4)), "thin": (1, 2, 3)}  # fmt: skip
_THIRTY_SECONDS = {"rivet", "thin"}
_METRIC: dict[str, tuple[float, ...]] = {
    "rivet": (2, 2.5, 3, 4, 5, 6),
    "bolt": (4, 5, 6, 8, 10, 12, 14),
    "short": (5, 6, 8, 10, 12, 14, 16, 18, 20),
    "long": (12, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80),
    "wide": (14, 16, 18, 20, 22, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80),
    "thin": (0.5, 0.8, 1, 1.2, 1.5, 2, 2.5, 3),
    "metric": (5, 6, 8, 10, 12, 15, 17, 20, 25),
    "metricwide": (16, 19, 22, 26, 30, 35, 40, 47, 52),
    "volts": (6, 12, 24),
    "watts": (1, 2, 3, 5, 10, 15, 20, 24),
    "amps": (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 35, 40),
    "pressures": (1, 2, 4, 6, 10, 16, 25),
}
_UNITS = {"V": "V", "W": "W", "A": "A", "P": "bar"}
_ROLE_WORDS = {"id": ("bore", "id"), "od": ("od",), "len": ("long",), "wall": ("wall",), "thk": ("thick",),
               "width": ("wide",), "hole": ("hole",), "dia": ("dia",)}  # fmt: skip


@dataclass(frozen=True)
class Size:
    """A size as written and in mm (or V, W, A, bar)."""

    role: str
    value: float
    written: str
    is_inch: bool


@dataclass(frozen=True)
class SyntheticNeed:
    """A need with its facts."""

    number: int
    text: str
    spec: Spec
    kind: int
    material: str
    place: str
    sizes: tuple[Size, ...]


@dataclass(frozen=True)
class SyntheticFind:
    """A find's text and what it states: class, kind (−1 not said), material and place ("" not said), sizes."""

    text: str
    spec: Spec
    kind: int
    material: str
    place: str
    sizes: tuple[Size, ...]

    def is_right(self, need: SyntheticNeed) -> bool:
        """Does the need agree with everything the find states? Sizes within 1.5 %."""
        return (
            need.spec.key == self.spec.key
            and self.kind in {-1, need.kind}
            and self.material in {"", need.material}
            and self.place in {"", need.place}
            and all(
                any(one.role == size.role and abs(one.value - size.value) <= 0.015 * size.value for one in need.sizes)
                for size in self.sizes
            )
        )


def _inch_size(role: str, series: str, rnd: random.Random) -> Size:
    step = Fraction(1, 32) if series in _THIRTY_SECONDS else Fraction(1, 16)
    value = rnd.choice(_SIXTEENTHS[series]) * step
    whole, part = divmod(value, 1)
    written = str(whole) if not part else f"{whole} {part}" if whole else str(part)
    return Size(role, float(value) * INCH, f"{written} in", is_inch=True)


def _size(role: str, series: str, inch: bool, rnd: random.Random) -> Size:
    if role in _UNITS:
        value = rnd.choice(_METRIC[series])
        return Size(role, value, f"{value:g} {_UNITS[role]}", is_inch=False)
    if inch and series in _SIXTEENTHS:
        return _inch_size(role, series, rnd)
    value = rnd.choice(_METRIC[series])
    return Size(role, value, f"{value:g} mm", is_inch=False)


def _labelled(size: Size, rnd: random.Random) -> str:
    words = _ROLE_WORDS.get(size.role)
    return f"{size.written} {rnd.choice(words)}" if words else size.written


def needs(count: int, seed: int = 1) -> list[SyntheticNeed]:
    """So many needs; the same ones for the same seed."""
    rnd = random.Random(seed)
    return [_need(number, rnd) for number in range(count)]


def _need(number: int, rnd: random.Random) -> SyntheticNeed:
    spec = rnd.choice(SPECS)
    kind = rnd.randrange(len(spec.kinds)) if spec.kinds and rnd.random() < 0.7 else -1
    material = rnd.choice(spec.materials) if spec.materials and rnd.random() < 0.8 else ""
    place = rnd.choice(PLACES) if rnd.random() < 0.5 else ""
    inch = rnd.random() < 0.5
    sizes = tuple(_size(role, series, inch, rnd) for role, series in spec.sizes)
    words = [rnd.choice(spec.names)]
    if kind >= 0:
        words.append(rnd.choice(spec.kinds[kind]))
    if place:
        words.append(place)
    if material:
        words.append(rnd.choice(MATERIALS[material]))
    said = ", ".join(words) + " | " + " x ".join(_labelled(size, rnd) for size in sizes)
    return SyntheticNeed(number, said, spec, kind, material, place, sizes)


def finds(known: list[SyntheticNeed], count: int, seed: int = 2) -> Iterator[SyntheticFind]:
    """Finds written after needs of this register, each in other words."""
    rnd = random.Random(seed)
    for _ in range(count):
        yield _find(rnd.choice(known), rnd)


def _find(need: SyntheticNeed, rnd: random.Random) -> SyntheticFind:
    others = [name for name in need.spec.names if name.casefold() not in need.text.casefold()] or list(need.spec.names)
    kind = need.kind if rnd.random() < 0.7 else -1
    material = need.material if rnd.random() < 0.7 else ""
    place = need.place if rnd.random() < 0.2 else ""
    sizes = need.sizes if len(need.sizes) == 1 or rnd.random() < 0.75 else need.sizes[:-1]
    written = [_converted(size, rnd) if rnd.random() < 0.4 else size for size in sizes]
    words = [_misspelt(rnd.choice(others), rnd) if rnd.random() < 0.08 else rnd.choice(others)]
    if kind >= 0:
        words.append(rnd.choice(need.spec.kinds[kind]))
    if material:
        words.append(rnd.choice(MATERIALS[material]))
    if place:
        words.append(place)
    rnd.shuffle(words)
    words.append(" x ".join(_labelled(size, rnd) for size in written))
    if rnd.random() < 0.3:
        words.append(rnd.choice(("NOS", "box of 50", "GBP 12.50", "ex stores", "used, good", "20 off")))
    return SyntheticFind(" ".join(words), need.spec, kind, material, place, tuple(written))


def _converted(size: Size, rnd: random.Random) -> Size:
    """The size in the other system, rounded as people do: to a tenth of a millimetre, or to a thousandth of an inch."""
    if size.role in _UNITS:
        if size.role == "P":
            return Size(size.role, size.value, f"{size.value * 14.5038:.0f} psi", is_inch=False)
        return size
    if size.is_inch:
        value = round(size.value, 1)
        mark = "," if rnd.random() < 0.3 else "."
        return Size(size.role, size.value, f"{value:g} mm".replace(".", mark), is_inch=False)
    return Size(size.role, size.value, f"{size.value / INCH:.3f} in", is_inch=True)


def _misspelt(word: str, rnd: random.Random) -> str:
    if len(word) < 6:
        return word
    at = rnd.randrange(1, len(word) - 2)
    how = rnd.randrange(3)
    if how == 0:
        return word[:at] + word[at + 1 :]
    if how == 1:
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    return word[:at] + rnd.choice("aeiourstn") + word[at + 1 :]
