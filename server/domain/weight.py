"""Weight and balance of a change: what the find weighs more or less than the original, and at which arm.

The moment of a change about the datum is its weight times its arm, aft of the
datum counted as more than nothing (elementary statics, as AC 43.13-1B chapter 10
tells it). Here it is given as kg·m of mass, as loading sheets do.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from server.domain.conformity import combined
from server.domain.errors import Unreadable
from server.domain.material_words import fold_material
from server.domain.offer import Basis
from server.domain.parts._kit import Case
from server.domain.quantities import UNITS, Kind, as_decimal_text, write_value
from server.domain.sources import Source, common_practice, method
from server.domain.specification import Role, Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

_AC43 = ("AC 43.13-1B", "Change 1, 27 Sep 2001")
MOMENT_RULE = Source(_AC43[0], "para 10-2h, moment = weight × arm", _AC43[1])
NEGLIGIBLE_RULE = Source(_AC43[0], "para 10-2c, negligible weight change", _AC43[1])
NEGLIGIBLE = UNITS["lb"].to_base(Fraction(1))
"""One pound, in g: what counts as negligible on aeroplanes under 5000 lb empty, and more than that on heavier ones."""
DATUM_SIDE = method("an arm aft of the datum counts as plus, one forward of it as minus")
SAME_SHAPE = common_practice("the same shape in another metal weighs in the ratio of the densities")
KEY = "weight_and_balance"

_AFT = re.compile(r"\b(?:aft|behind|rearwards?|hinter|nach hinten|en arriere)\b")
_FORWARD = re.compile(r"\b(?:forwards?|fwd|ahead|in front|vor|nach vorn|en avant)\b")
_ASIDE = re.compile(
    r"\b(?:of|the|at|to|from|datum|line|plane|station|sta|fs|arm|der|dem|bezugsebene|bezugspunkt|du|de|la|plan|reference)\b"
)


@dataclass(frozen=True, slots=True)
class Arm:
    """How far from the datum, in mm: plus aft of it, minus forward; with the unit it was written in."""

    text: str
    distance: Fraction
    unit: str

    @property
    def said(self) -> str:
        """As the sheet says it: "1.85 m aft of the datum"."""
        if not self.distance:
            return "at the datum"
        side = "aft of" if self.distance > 0 else "forward of"
        number = UNITS[self.unit].from_base(abs(self.distance))
        return f"{as_decimal_text(number, 3)}\u202f{self.unit} {side} the datum"


def read_arm(text: str) -> Arm:
    """An arm as it is written: "1.85 m aft of datum", "12 in forward of the datum", "-0.40 m".

    Raises Unreadable where the unit is missing, or where nothing says on which side of the datum it lies.
    """
    folded = fold_material(text).replace("\u2212", "-")
    aft, forward = bool(_AFT.search(folded)), bool(_FORWARD.search(folded))
    bare = _ASIDE.sub(" ", _FORWARD.sub(" ", _AFT.sub(" ", folded))).strip(" .,:")
    signed = re.match(r"([+-])\s*", bare)
    if signed:
        bare = bare[signed.end() :]
    sides = {side for side, said in ((1, aft), (-1, forward)) if said}
    if signed:
        sides.add(-1 if signed[1] == "-" else 1)
    if len(sides) > 1:
        raise Unreadable(f"“{text}” points both aft and forward of the datum; say one.", text)
    if not any(sign.isdigit() for sign in bare):
        raise Unreadable(f"“{text}” gives no distance; write “1.85 m aft of datum”.", text)
    # the check reads no other text, and the reader is a third of the core to load
    from server.domain.reading import read_quantity

    quantity = read_quantity(" ".join(bare.split()), Kind.LENGTH)
    if quantity.value is None:
        raise Unreadable(f"“{text}” is a range; an arm is one distance.", text)
    if not sides and quantity.value:
        raise Unreadable(
            f"On which side of the datum is “{text}”? Write “1.85 m aft of datum” or “forward of datum”.", text
        )
    return Arm(text, quantity.value * (sides.pop() if sides else 1), quantity.unit)


def moment_of(mass: Fraction, arm: Fraction) -> Fraction:
    """The moment about the datum in kg·m, of a mass in g at an arm in mm."""
    return mass / 1000 * arm / 1000


@dataclass(frozen=True, slots=True)
class Change:
    """What the find weighs over the original, in g, with U (k = 2) where it is known; how that was told."""

    grams: Fraction
    expanded: Fraction | None
    how: str
    is_weighed: bool
    assumption: str = ""
    sources: tuple[Source, ...] = ()


def weight_rows(case: Case) -> Iterator[Row]:
    """The change of weight at its arm; only where an arm was given, for one piece."""
    if not case.wanted.arm:
        return
    try:
        arm = read_arm(case.wanted.arm)
    except Unreadable as refused:
        yield _open(case, f"The arm can't be read: {refused}", None)
        return
    change = change_of(case)
    if change is None:
        yield _open(case, f"It sits {arm.said}. {_missing(case)}", _weigh(case))
        return
    tells = change.grams != 0 and (change.expanded is None or abs(change.grams) > change.expanded)
    doubt = f" ± {_mass(change.expanded)}" if change.expanded is not None else ""
    moment = moment_of(change.grams, arm.distance)
    if not tells:
        said = f"No difference in weight can be told ({_signed(change.grams)}{doubt}), {change.how}."
    else:
        word = "heavier" if change.grams > 0 else "lighter"
        said = (
            f"Each piece is {_mass(abs(change.grams))}{doubt} {word} than the original, {change.how};"
            f" {arm.said} that is {_moment(moment, change.grams, arm)} about the datum."
        )
    small = tells and _is_negligible(case, change)
    if small:
        said += f" Up to {write_value(NEGLIGIBLE, Kind.MASS)} (1 lb) counts as negligible, unless many pieces add up."
    yield Row(
        KEY,
        "Weight and balance",
        Concern.FUNCTION,
        Weight.CONTRIBUTES,
        f"as the original, {arm.said}",
        _signed(change.grams),
        Verdict.JUDGED,
        f"{said} {_who(case)}".strip(),
        sources=(MOMENT_RULE, DATUM_SIDE, *((NEGLIGIBLE_RULE,) if small else ()), *change.sources),
        assumption=change.assumption,
        departs=tells and not small,
        measure=None if change.is_weighed else _weigh(case),
    )


def _is_negligible(case: Case, change: Change) -> bool:
    """Under a pound, its doubt included; on a control the hinge line counts, and nothing is negligible there."""
    if change.expanded is None or case.wanted.role in {Role.CONTROL, Role.UNKNOWN}:
        return False
    return abs(change.grams) + change.expanded <= NEGLIGIBLE


def change_of(case: Case) -> Change | None:
    """The difference in weight of one piece: from both weights, else from sizes and densities; None if not known."""
    before, after = case.wanted_size("mass"), case.size("mass")
    if before is not None and after is not None:
        mine, theirs = _doubt_of_original(case), case.doubt("mass")
        expanded = combined(mine, theirs) if mine is not None and theirs is not None else theirs
        said = case.statement("mass")
        weighed = said is not None and said.basis is Basis.MEASURED
        return Change(after - before, expanded, "as weighed" if weighed else "by what is claimed", weighed)
    was = case.handbook.density_of(case.wanted_word("material"))
    now = case.handbook.density_of(case.word("material"))
    if was is None or now is None:
        return None
    if before is not None and _same_sizes(case):
        grams = before * (now / was - 1)
        how = f"by the densities ({as_decimal_text(was, 2)} and {as_decimal_text(now, 2)} g/cm³)"
        return Change(grams, None, how, False, "the find has the original's shape", (SAME_SHAPE,))
    old, new = _volume(case, offered=False), _volume(case, offered=True)
    if old is None or new is None:
        return None
    how = "by sizes and densities"
    return Change(new * now - old * was, None, how, False, "no holes, ends or fittings were counted", (SAME_SHAPE,))


def _doubt_of_original(case: Case) -> Fraction | None:
    return next((one.expanded for one in case.wanted.requirements if one.characteristic == "mass"), None)


_SHAPE = ("thickness", "wall", "outside_diameter", "diameter", "width", "height", "across_flats", "length_over_all")


def _same_sizes(case: Case) -> bool:
    """Is every size that both sides name the same on both, as far as stock goes (3 %)?"""
    both = [(case.wanted_size(key), case.size(key)) for key in _SHAPE]
    return all(abs(b - a) <= a * Fraction(3, 100) for a, b in both if a and b)


_PI = Fraction(355, 113)
"""Off by less than one part in ten million: no density is known so well."""


def _volume(case: Case, *, offered: bool) -> Fraction | None:
    """The volume in cm³ of a straight tube, round bar or square-edged timber; None for any other shape."""
    size = case.size if offered else case.wanted_size

    def mm(key: str) -> Fraction | None:
        return size(key)

    length, key = mm("length_over_all"), case.part_class.key
    if length is None or case.part_class.key != case.offered_class.key:
        return None
    outside, wall = mm("outside_diameter"), mm("wall")
    if key == "tube" and outside is not None and wall is not None:
        return _PI * (outside - wall) * wall * length / 1000
    across = mm("diameter")
    if key == "bar" and across is not None and {case.wanted_word("section"), case.word("section")} <= {"", "round"}:
        return _PI / 4 * across**2 * length / 1000
    width, thickness = mm("width"), mm("thickness")
    if key == "timber" and width is not None and thickness is not None:
        return width * thickness * length / 1000
    return None


def _missing(case: Case) -> str:
    lacking = [
        name
        for name, size in (("the original", case.wanted_size("mass")), ("the find", case.size("mass")))
        if size is None
    ]
    return f"What {' and '.join(lacking)} weighs isn't known, nor can it be worked out from sizes and metals."


def _open(case: Case, sentence: str, measure: MeasureNext | None) -> Row:
    return Row(
        KEY,
        "Weight and balance",
        Concern.FUNCTION,
        Weight.CONTRIBUTES,
        f"as the original, {case.wanted.arm}",
        "not known",
        Verdict.OPEN,
        sentence,
        sources=(MOMENT_RULE, method("missing is not zero")),
        measure=measure,
    )


def _weigh(case: Case) -> MeasureNext:
    about = case.size("mass") is not None
    what = "Weigh the original or its remains" if about else "Weigh the find"
    return MeasureNext("mass", what, "scale fine enough for the difference", 1, about)


def _who(case: Case) -> str:
    if not case.wanted.use.flies:
        return "On display it counts for lifting, jacking and how the aeroplane stands; a person says."
    control = ""
    if case.wanted.role is Role.CONTROL:
        control = " On a control surface its own hinge line counts too: ask after mass balance and flutter."
    return (
        "Whoever may keep this aeroplane's weight and balance record says whether it is weighed and worked out anew;"
        f" several pieces add up.{control}"
    )


def _mass(grams: Fraction) -> str:
    return write_value(grams, Kind.MASS)


def _signed(grams: Fraction) -> str:
    return f"{_sign(grams)}{_mass(abs(grams))}"


def _moment(moment: Fraction, grams: Fraction, arm: Arm) -> str:
    said = f"{_sign(moment)}{_three(abs(moment))}\u202fkg·m"
    if arm.unit in {"in", "ft"}:
        pounds = UNITS["lb"].from_base(grams) * UNITS["in"].from_base(arm.distance)
        said += f" ({_sign(pounds)}{_three(abs(pounds))}\u202flb·in)"
    return said


def _sign(number: Fraction) -> str:
    return "+" if number > 0 else "−" if number < 0 else "±"


def _three(number: Fraction) -> str:
    """A number in three figures; a change is never known better."""
    return f"{float(number):.3g}" if number >= Fraction(1, 1000) else as_decimal_text(number, 6)
