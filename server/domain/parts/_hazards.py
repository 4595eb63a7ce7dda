"""Asbestos and radium in electrical parts: never fitted again, never opened here."""

from server.domain.hazards import all_hazards
from server.domain.parts._computed import demand_of, is_checked, offered_words, statement_row
from server.domain.parts._kit import Case
from server.domain.verdict import MeasureNext, Row, Verdict

ASBESTOS = "asbestos"

_BY_KEY = {hazard.key: hazard for hazard in all_hazards()}
ASBESTOS_RULE = _BY_KEY["asbestos"].source
RADIUM_RULE = _BY_KEY["luminous"].source
RADIUM_CAUTION = _BY_KEY["luminous"].caution
ASBESTOS_CAUTION = (
    "Old white or grey cloth on wires and near heat may be asbestos: don't cut, pull about or blow it off before"
    " a laboratory has said what it is; the local authority says who may take it out."
)


def radium_row(case: Case, key: str) -> Row | None:
    """Luminous paint on the find: what it is has to be known before anybody works on it."""
    one = case.part_class.characteristic(key)
    assert one is not None
    demand = demand_of(case, key)
    offered = case.word(key)
    wanted = demand.text if demand is not None else "not known"
    original = set(demand.words) if demand is not None else set()
    caution = RADIUM_CAUTION if offered in {"radium", "unknown", ""} or original & {"radium", "unknown"} else ""
    survey = MeasureNext(key, "Have the luminous paint surveyed", "a survey by a qualified person", 5)
    measure = None
    if offered == "":
        if demand is None and not one.essential:
            return None
        verdict, said = Verdict.OPEN, "Nobody has said yet whether the find carries luminous paint."
        measure = MeasureNext(key, "Look for luminous or brown figures, without opening it", "eye", 1)
    elif offered == "unknown":
        verdict, said, measure = Verdict.OPEN, "The find is luminous; what with is not known.", survey
    elif offered == "radium":
        verdict = Verdict.JUDGED
        said = "The find carries radium or is suspected of it. Whether it may be kept and fitted is not for the bench."
    elif case.statement(key) is not None and offered == "no":
        verdict, said = Verdict.PROVEN, "No luminous paint on the find."
    else:
        verdict, said = Verdict.JUDGED, "Luminous, said to be tested free of radium; keep the test with the piece."
    if verdict is Verdict.PROVEN and not is_checked(case, key):
        verdict, said = Verdict.OPEN, "Claimed to carry no luminous paint; nobody here has looked."
        measure = MeasureNext(key, "Look for luminous or brown figures, without opening it", "eye", 1)
    return statement_row(
        case,
        one,
        verdict,
        said,
        wanted=wanted,
        offered=offered_words(case, key),
        sources=(RADIUM_RULE,),
        caution=caution,
        departs=verdict is Verdict.JUDGED,
        measure=measure,
    )
