"""The shop's own handbook: materials and names that the shipped tables don't hold, entered by the keeper.

A row stands beside the shipped ones and never in place of one; each has its
document, edition and place. It is never changed: withdrawn with a reason, and
entered anew. What was signed keeps the rows it rested on.
"""

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from sqlmodel import Session

from server.domain.designations import listed, resolve
from server.domain.errors import Faults
from server.domain.handbook import SHOP_CLASSES, ShippedClaim, claim_on_figures, claim_on_name
from server.domain.material_families import Family, all_families
from server.domain.material_meaning import Found, Grade, Resolution
from server.domain.material_table import ValueClass
from server.domain.material_words import CAST_FORMS, fold_material
from server.domain.plain import read_fraction, write_fraction
from server.domain.quantities import Kind, Quantity
from server.domain.register import Actor, ShopRow, UserRole
from server.domain.sources import Standing
from server.domain.tempers import read_temper, temper_in
from server.services.typed import NOTE, Given, Typed
from server.services.yard import reason_given, require
from server.storage.engine import Store
from server.storage.handbook import ShopEntry, find_standing, get_shop_row, list_entries, load_handbook
from server.storage.log import write_log
from server.storage.tables import ShopMaterialRow

FORMS = ("sheet", "tube", "bar", "wire", "extrusion", "forging", *sorted(CAST_FORMS), "any")
GRADES = (Grade.SAME, Grade.NEAR)
SEEN = (Standing.SEEN, Standing.QUOTED)

FIGURES: dict[str, tuple[str, Kind, Fraction, Fraction]] = {
    "uts": ("Ultimate tensile strength", Kind.STRESS, Fraction(1), Fraction(4000)),
    "yield": ("Yield strength", Kind.STRESS, Fraction(1), Fraction(4000)),
    "shear": ("Ultimate shear strength", Kind.STRESS, Fraction(1), Fraction(3000)),
    "modulus": ("Modulus of elasticity", Kind.STRESS, Fraction(1), Fraction(500_000)),
    "density": ("Density", Kind.DENSITY, Fraction(1, 50), Fraction(23)),
    "elongation": ("Elongation", Kind.SHARE, Fraction(0), Fraction(1000)),
    "size_low": ("Holds from a thickness of", Kind.LENGTH, Fraction(1, 100), Fraction(1000)),
    "size_high": ("Holds up to a thickness of", Kind.LENGTH, Fraction(1, 100), Fraction(1000)),
}
"""Each figure: label, kind, and the span in the kind's own unit outside which it is refused as a slip."""
STRENGTHS = ("uts", "yield", "shear", "modulus", "density", "elongation")

_LARGE = re.compile(r"\b(GPa|Msi)\b", re.IGNORECASE)


class ShippedHolds(Faults):
    """A shipped table holds it already: the shipped rows come along, to be shown."""

    def __init__(self, typed: Typed, name: str, claim: ShippedClaim) -> None:
        super().__init__({**typed.faults, name: claim.sentence})
        self.claim = claim


def entries(store: Store, *, withdrawn: bool = False) -> list[ShopEntry]:
    """The shop's own rows, the newest first."""
    with store.read() as session:
        return list_entries(session, withdrawn=withdrawn)


def add_entry(store: Store, actor: Actor, given: Given) -> int:
    """Enter a row; its number.

    Fields: kind (figures, name), designation, document, edition, place, seen, note; for figures family,
    form, temper, clad, value_class and the figures with their units; for a name `means` and `grade`.
    Raises ShippedHolds where a shipped table has it already, Faults, NotAllowed.
    """
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    kind = typed.word("kind", ShopRow, "Figures, or another name") or ShopRow.FIGURES
    now = store.clock()
    with store.write() as session:
        values = _common(typed)
        values |= _figures(typed, values) if kind is ShopRow.FIGURES else _name(session, typed, values)
        _not_twice(session, typed, kind, values)
        typed.done()
        row = ShopMaterialRow(**values, kind=kind.value, entered_by=actor.name, created_at=now)
        session.add(row)
        session.flush()
        assert row.id is not None
        said = {"row": {name: value for name, value in values.items() if value}}
        did = f"entered {'figures of' if kind is ShopRow.FIGURES else 'the name'} “{row.designation}” in the handbook"
        write_log(session, now, actor, did, f"handbook/{row.id}", said)
        return row.id


def withdraw_entry(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Withdraw a row with a reason; it counts no more from now on. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.KEEPER)
    reason = reason_given(given)
    now = store.clock()
    with store.write() as session:
        row = get_shop_row(session, number)
        if row.withdrawn_at is not None:
            raise Faults({"reason": "This row was withdrawn already."})
        row.withdrawn_at, row.withdrawn_by, row.withdrawn_reason = now, actor.name, reason
        session.add(row)
        write_log(
            session, now, actor, f"withdrew “{row.designation}” from the handbook: {reason}", f"handbook/{number}"
        )


def _common(typed: Typed) -> dict[str, Any]:
    """What every row has: its name, and the document that says so."""
    designation = " ".join(typed.text("designation", "Designation", most=60, required=True).split())
    if designation and len(re.sub(r"[\W_]", "", designation)) < 3:
        typed.fault("designation", f"“{designation}” is too short: it would be found inside other names.")
    seen = typed.word("seen", Standing, "How it was seen", required=True)
    if seen is not None and seen not in SEEN:
        typed.fault(
            "seen", "Either the document itself was seen, or it is quoted elsewhere; from memory nothing goes in."
        )
    return {
        "designation": designation,
        "folded": fold_material(designation),
        "document": typed.text("document", "The document", required=True),
        "edition": typed.text("edition", "Its edition or date", most=100, required=True),
        "place": typed.text("place", "The place in it", required=True),
        "is_quoted": seen is Standing.QUOTED,
        "note": typed.text("note", "Note", most=NOTE),
    }


# ---- figures ----


def _figures(typed: Typed, values: dict[str, Any]) -> dict[str, Any]:
    designation = str(values["designation"])
    one = _family_given(typed, designation)
    form = typed.raw("form")
    if form not in FORMS:
        typed.fault(
            "form", "Choose the form: a bar's figures are not a sheet's." if not form else f"“{form}” is no form."
        )
    held = listed(designation)
    alloy, temper = designation, ""
    if designation and "designation" not in typed.faults:
        claim = claim_on_name(designation)
        if claim is not None and (not held or len({meaning.alloy for meaning in held}) > 1):
            raise ShippedHolds(typed, "designation", claim)
        if held:
            alloy, temper = held[0].alloy, resolve(designation, "" if form == "any" else form).temper
    temper = _temper_given(typed, one, alloy, form) or temper
    if one is not None and one.needs == "temper" and not temper:
        typed.fault("temper", f"Figures of {one.name} are nothing without the temper: T4, H14, N, 125 ksi, O.")
    figures = _figures_given(typed)
    value_class = typed.word("value_class", ValueClass, "What kind of figures", required=True)
    if value_class is not None and value_class not in SHOP_CLASSES:
        typed.fault("value_class", f"“{value_class}” decides nothing; enter figures that a document gives.")
    if value_class in SHOP_CLASSES and form in FORMS and not {"temper", "designation"} & set(typed.faults):
        claim = claim_on_figures(alloy, temper, form, value_class, _span(figures))
        if claim is not None:
            raise ShippedHolds(typed, "designation", claim)
    return {
        "alloy": alloy,
        "family": one.key if one else "",
        "form": form,
        "temper": temper,
        "is_clad": {"clad": True, "bare": False}.get(typed.raw("clad")),
        "figures": figures,
        "value_class": value_class.value if value_class else "",
    }


def _family_given(typed: Typed, designation: str) -> Family | None:
    key = typed.raw("family")
    one = all_families().get(key)
    if one is None:
        typed.fault("family", "Choose the family: it says what it touches well and which tempers it has.")
        return None
    known = resolve(designation)
    # a number inside a name only hints at its family; a word for a family, or the number alone, does not
    is_settled = (
        bool(listed(designation))
        or known.found is Found.FAMILY
        or (not known.ask and _is_its_number(designation, known))
    )
    if known.bases and one.base not in known.bases and is_settled:
        taken = " or ".join(each.name for each in known.families)
        typed.fault("family", f"The handbook takes “{designation}” for {taken}; that is not {one.name}.")
    return one


def _is_its_number(designation: str, known: Resolution) -> bool:
    """Is the designation no more than the name that was found in it, with a prefix such as SAE or BS at most?"""
    length = len(re.sub(r"[\W_]", "", designation))
    return any(length - len(re.sub(r"[\W_]", "", one.alias)) <= 4 for one in known.meanings)


def _temper_given(typed: Typed, one: Family | None, alloy: str, form: str) -> str:
    text = typed.text("temper", "Temper", most=40)
    if not text or one is None:
        return ""
    said = temper_in(fold_material(text))
    readings = {read.now for read in read_temper(one.base, alloy, said, form)} if said else set()
    readings.discard("")
    if len(readings) == 1:
        return readings.pop()
    meant = f"means {' or '.join(sorted(readings))}" if readings else "is no temper known here"
    typed.fault("temper", f"“{text}” {meant}; write today's letters, such as T4, H14, O, N, 1/2 hard or 125 ksi.")
    return ""


def _figures_given(typed: Typed) -> dict[str, list[str]]:
    found: dict[str, Fraction] = {}
    for name, (label, kind, low, high) in FIGURES.items():
        quantity = _figure(typed, name, label, kind)
        if quantity is None:
            continue
        value = quantity.value
        if value is None:
            typed.fault(name, f"{label}: one figure, no range.")
        elif not low <= value <= high:
            typed.fault(name, f"{label}: “{typed.raw(name)}” is no such figure of any material; is the unit right?")
        else:
            found[name] = value
    _agree(typed, found)
    if not any(name in found for name in STRENGTHS) and not any(name in typed.faults for name in STRENGTHS):
        typed.fault("uts", "Give at least one figure.")
    return {name: [typed.raw(name), write_fraction(value)] for name, value in found.items()}


def _figure(typed: Typed, name: str, label: str, kind: Kind) -> Quantity | None:
    """A figure with its unit; GPa and Msi are taken for a modulus. Its value is in the kind's own unit."""
    text = typed.raw(name)
    large = _LARGE.search(text) if kind is Kind.STRESS else None
    if large is None:
        return typed.quantity(name, label, kind, drawing_unit="%" if kind is Kind.SHARE else "")
    inner = Typed({name: _LARGE.sub("MPa" if large[1].casefold() == "gpa" else "ksi", text)})
    quantity = inner.quantity(name, label, kind)
    for field, sentence in inner.faults.items():
        typed.fault(field, sentence)
    if quantity is None or quantity.value is None:
        return quantity
    return Quantity(kind, quantity.value * 1000, quantity.unit, text)


def _agree(typed: Typed, found: dict[str, Fraction]) -> None:
    """Figures that can't all be true of one piece."""
    pairs: tuple[tuple[str, str, Callable[[Fraction, Fraction], bool]], ...] = (
        ("yield", "uts", lambda a, b: a <= b),
        ("shear", "uts", lambda a, b: a <= b),
        ("size_low", "size_high", lambda a, b: a <= b),
    )
    for lower, upper, holds in pairs:
        if lower in found and upper in found and not holds(found[lower], found[upper]):
            said = f"{FIGURES[lower][0]} above {FIGURES[upper][0].lower()}: one of the two is wrong."
            typed.fault(lower, said)


# ---- another name ----


def _name(session: Session, typed: Typed, values: dict[str, Any]) -> dict[str, Any]:
    designation = str(values["designation"])
    means = typed.text("means", "What it means", most=80, required=True)
    grade = typed.word("grade", Grade, "How far it is the same", required=True)
    if grade is Grade.OWN:
        typed.fault("grade", "Say whether it is the same composition, or only near.")
    if designation and "designation" not in typed.faults:
        claim = claim_on_name(designation)
        if claim is not None:
            raise ShippedHolds(typed, "designation", claim)
    known = load_handbook(session).resolve(means)
    if means and (known.found is not Found.ONE or not known.meanings):
        ask = f" {known.ask}" if known.ask else ""
        typed.fault("means", f"“{means}” is not one material in the handbook.{ask}")
        return {"alloy": "", "family": ""}
    meaning = known.meanings[0] if known.meanings else None
    return {
        "alloy": meaning.alloy if meaning else "",
        "family": meaning.family.key if meaning else "",
        "form": meaning.form if meaning else "",
        "temper": meaning.temper if meaning else "",
        "is_clad": meaning.is_clad if meaning else None,
        "grade": grade.value if grade else "",
    }


def _not_twice(session: Session, typed: Typed, kind: ShopRow, values: dict[str, Any]) -> None:
    """One row for one thing: the standing one is withdrawn before it is entered anew."""
    for row in find_standing(session, str(values["folded"])):
        other = row.kind != kind.value or kind is ShopRow.NAME or row.family != values["family"]
        if other or _same_piece(row, values):
            typed.fault(
                "designation", f"“{row.designation}” stands in the shop's handbook already; withdraw that first."
            )


def _same_piece(row: ShopMaterialRow, values: dict[str, Any]) -> bool:
    if (row.temper, row.form, row.is_clad) != (values["temper"], values["form"], values["is_clad"]):
        return False
    return _span(row.figures or {}) == _span(values["figures"])


def _span(figures: dict[str, Any]) -> tuple[Fraction | None, Fraction | None]:
    low, high = (read_fraction(figures[name][1]) if name in figures else None for name in ("size_low", "size_high"))
    return low, high
