"""Rows on the metal of a structural part: casting factor, plated hard steel, bar for forging, weight, hole and bolt."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain.casting_factor import RULE as FACTOR_RULE
from server.domain.casting_factor import Inspection, allowable, least_factor
from server.domain.conformity import combined
from server.domain.demand import demand_for
from server.domain.general_tolerances import ISO_2768
from server.domain.material_table import Properties, ValueClass
from server.domain.materials import forms_of
from server.domain.offer import Basis
from server.domain.parts._kit import Case, Check, in_sentence
from server.domain.quantities import INCH, Kind, write_both, write_value
from server.domain.rows import characteristic_row
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role
from server.domain.strength import needs_bake_record
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

BAKE_RULE = Source("platers' pages on hydrogen in hard steel", "from 1000 MPa", standing=Standing.QUOTED)
STRESS_CORROSION = Source("MIL-HDBK-5J", "Table 3.1.2.3.1(a), stress-corrosion ratings; digitised copy", "31 Jan 2003")
BALANCE_RULE = common_practice("another weight at the same place: weigh it and do the balance again")
REAMED = Source(
    "wartime repair manual, reamed bolt holes",
    "0.250 to 0.257, 0.3125 to 0.3195, 0.375 to 0.382 in",
    standing=Standing.QUOTED,
)
THICKER_RULE = common_practice("thicker metal is no weaker; its weight and its fit are a person's to answer for")
HOLE_RULE = common_practice("a worn hole takes a bush or the next bolt, if the edge still holds")

_REAMED_MOST = Fraction("0.007") * INCH
"""Reamed holes run to 0.007 in over the bolt from AN4 up: 0.257 for 1/4 in."""


def _offered_lines(case: Case) -> tuple[Properties, ...]:
    form, offered_form = forms_of(case)
    found = case.handbook.resolve(case.word("material"), offered_form or form)
    return case.handbook.lines_for(found.alloy, found.temper, offered_form or form) if found.alloy else ()


_DONE = {
    "visual": frozenset({Inspection.VISUAL}),
    "visual and penetrant": frozenset({Inspection.VISUAL, Inspection.SURFACE}),
    "visual and magnetic": frozenset({Inspection.VISUAL, Inspection.SURFACE}),
    "full": frozenset(Inspection),
}


def casting_factor_rows(case: Case) -> Iterator[Row]:
    """How much of a casting's strength its inspection lets one count on; for what flies."""
    if not case.wanted.use.flies or forms_of(case)[1] in {"bar", "sheet", "forging"}:
        return
    critical = case.wanted.role in {Role.PRIMARY, Role.CONTROL}
    said, word = case.statement("inspection"), case.word("inspection")
    done = _DONE.get(word, frozenset())
    least = least_factor(done, is_critical=critical) if said and said.basis is Basis.MEASURED else None
    kind = "Taken as a critical casting" if critical else "Taken as a casting that is not critical"
    measure = None
    if least is None:
        verdict = Verdict.OPEN
        wants = "by eye and an approved method" if critical else "at least by eye"
        sentence = f"{kind}: every piece has to be inspected {wants} before its strength counts."
        if said and said.basis is Basis.CLAIMED and word in _DONE:
            sentence += " The inspection is only claimed."
        measure = MeasureNext("inspection", "Have the casting inspected, with a report", "penetrant, radiograph", 4)
    else:
        verdict = Verdict.JUDGED
        sentence = f"{kind}: this inspection carries a casting factor of {float(least):g}."
        strong = [line for line in _offered_lines(case) if line.value_class is ValueClass.IN_THE_CASTING and line.uts]
        if strong:
            weakest = min(line.uts for line in strong if line.uts)
            figure = write_value(allowable(weakest, least), Kind.STRESS)
            sentence += f" Of {write_value(weakest, Kind.STRESS)} in the casting {figure} may be counted on."
        sentence += " Which factor the original was designed with is for the engineer to find."
        if critical and least < Fraction(3, 2):
            sentence += " Under 1.5 three samples are tested as well."
    yield Row(
        "casting_factor",
        "Casting factor",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        "as the original was designed",
        said.text if said else "not said",
        verdict,
        sentence,
        sources=(FACTOR_RULE,),
        departs=verdict is Verdict.JUDGED,
        measure=measure,
    )


def plated_steel_rows(case: Case) -> Iterator[Row]:
    """Hard steel that was plated needs its bake record."""
    found = case.handbook.resolve(case.word("material"))
    plating = next((one for one in ("cadmium", "zinc", "chromium", "nickel") if one in _finish(case)), "")
    if "steel" not in found.bases or not (plating or found.finish):
        return
    strong = [line.uts for line in _offered_lines(case) if line.uts is not None]
    if not strong or not needs_bake_record(max(strong)):
        return
    yield Row(
        "bake_record",
        "Hydrogen after plating",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        "baked out, with a record",
        f"{found.said}, {plating or found.finish} plated",
        Verdict.OPEN,
        f"Steel of {write_value(max(strong), Kind.STRESS)} can crack later from hydrogen left by plating;"
        " the plater's bake record has to be there.",
        sources=(BAKE_RULE,),
        measure=MeasureNext("finish", "Ask the plater for the bake record", "papers", 3),
    )


def _finish(case: Case) -> str:
    return case.word("finish").casefold().replace("zinc-nickel", "zinc")


def machined_bar_rows(case: Case) -> Iterator[Row]:
    """Bar in place of a forging, casting or bent sheet: the grain runs another way."""
    found = case.handbook.resolve(case.word("material"))
    if case.word("process") != "machined" or found.alloy not in {"2014", "2024", "7075"}:
        return
    if case.wanted_word("process") == "machined" or found.temper.startswith(("O", "T7")):
        return
    yield Row(
        "stress_corrosion",
        "Stress corrosion",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        case.wanted_word("process") or "not known",
        f"machined from {found.said}",
        Verdict.JUDGED,
        f"{found.said} bar has the worst rating against stress corrosion through the grain; machined from bar it may be"
        " loaded that way where the original was not. A person says how the grain has to lie.",
        sources=(STRESS_CORROSION,),
        departs=True,
    )


def thickness_rows(key: str) -> Check:
    """The general row of a sheet's thickness or a tube's wall.

    Thicker than limits that no drawing gave, it is a person's to judge: what it
    bears stands in rows of its own.
    """

    def check(case: Case) -> Iterator[Row]:
        one = case.part_class.characteristic(key)
        assert one is not None
        demand, row = demand_for(case, one), characteristic_row(case, one)
        if row is None:
            return
        size, wanted = case.size(key), case.wanted_size(key)
        is_thicker = size is not None and wanted is not None and size > wanted
        if demand is None or row.verdict is not Verdict.AGAINST or not is_thicker or ISO_2768 not in demand.sources:
            yield row
            return
        said = case.statement(key)
        claimed = said is not None and said.basis is Basis.CLAIMED
        yield replace(
            row,
            verdict=Verdict.OPEN if claimed else Verdict.JUDGED,
            sentence=f"{row.sentence} It is thicker than the original, and no drawing limits it: what it bears stands"
            " in its own rows; weight, the length of fasteners and what has to go into or over it are a person's to"
            " answer for.",
            sources=(*row.sources, THICKER_RULE),
            departs=True,
            measure=MeasureNext(key, f"Measure: {in_sentence(one.label)}", "micrometer", 2) if claimed else None,
        )

    return check


def mass_rows(case: Case) -> Iterator[Row]:
    """Another weight than the original's, measured or by the densities."""
    share, how = _mass_share(case)
    if share is None or abs(share) < Fraction(5, 100):
        return
    flying = " Weight and balance have to be done again." if case.wanted.use.flies else ""
    control = " On a control, ask after mass balance and flutter." if case.wanted.role is Role.CONTROL else ""
    yield Row(
        "mass_change",
        "Change of weight",
        Concern.FUNCTION,
        case.weight(Concern.FUNCTION),
        "as the original",
        f"{float(share) * 100:+.0f} %",
        Verdict.JUDGED,
        f"The find is {abs(float(share)) * 100:.0f} % {'heavier' if share > 0 else 'lighter'} than the original,"
        f" {how}.{flying}{control}",
        sources=(BALANCE_RULE,),
        departs=True,
    )


def _mass_share(case: Case) -> tuple[Fraction | None, str]:
    before, after = case.wanted_size("mass"), case.size("mass")
    if before and after:
        return after / before - 1, "as weighed or said"
    was = case.handbook.density_of(case.wanted_word("material"))
    now = case.handbook.density_of(case.word("material"))
    if was and now:
        return now / was - 1, "by the densities, at the same size"
    return None, ""


def hole_rows(case: Case) -> Iterator[Row]:
    """The hole against the bolt that goes through it: play, and what can be done about an oversize hole."""
    hole, bolt = case.statement("hole_diameter"), case.wanted_size("bolt_diameter") or case.size("bolt_diameter")
    size = case.size("hole_diameter")
    if hole is None or size is None or bolt is None:
        return
    doubt = case.doubt("hole_diameter")
    play = size - bolt
    spread = combined(doubt) if doubt else Fraction(0)
    claimed = hole.basis is Basis.CLAIMED or doubt is None
    verdict, sentence = _judge_play(play, spread, claimed=claimed)
    if verdict is Verdict.AGAINST and play > 0:
        sentence += f" {_remedy(case, size, bolt)}"
    gauge = MeasureNext("hole_diameter", "Gauge the hole, two ways and at both ends", "Pin gauges or bore gauge", 3)
    yield Row(
        "hole_play",
        "Hole and bolt",
        Concern.FIT,
        case.weight(Concern.FIT),
        f"bolt {write_both(bolt)}",
        f"hole {write_both(size)}",
        verdict,
        sentence,
        sources=(REAMED, HOLE_RULE),
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=gauge if verdict is Verdict.OPEN else None,
    )


def _judge_play(play: Fraction, spread: Fraction, *, claimed: bool) -> tuple[Verdict, str]:
    said = write_both(abs(play))
    most = write_value(_REAMED_MOST, Kind.LENGTH)
    if play + spread < 0:
        return Verdict.AGAINST, f"The hole is {said} smaller than the bolt; it would have to be opened up and reamed."
    if play - spread > _REAMED_MOST:
        return Verdict.AGAINST, f"The hole has {said} of play on the bolt; reamed holes ran to about {most}."
    if claimed:
        return Verdict.OPEN, f"By what is said the play is {said}; gauge the hole."
    if play - spread >= 0 and play + spread <= _REAMED_MOST:
        return (
            Verdict.JUDGED,
            f"The play is {said}, within the {most} of a reamed hole; its class of fit is a person's.",
        )
    return Verdict.OPEN, f"The play is {said}, less certain than the difference that counts."


def _remedy(case: Case, hole: Fraction, bolt: Fraction) -> str:
    edge = case.size("edge_distance")
    width = case.size("lug_width")
    room = edge or (width / 2 if width else None)
    next_bolt = bolt + Fraction(1, 16) * INCH
    said = [f"A bush or the next bolt ({write_both(next_bolt)}) can save it, if the approver agrees."]
    if room is not None:
        ratio = float(room / max(hole, next_bolt))
        said.append(f"From the middle of that hole to the edge is {ratio:.1f} diameters; 2 are the usual least.")
    if case.wanted.role is Role.PRIMARY:
        said.append("In spar caps, longerons and the like no hole is opened without the authority's word.")
    return " ".join(said)
