"""A comparison sheet from its stored form, for showing what was frozen."""

from collections.abc import Mapping
from typing import Any

from server.domain.plain import read_fraction
from server.domain.sources import Source, Standing
from server.domain.specification import Weight
from server.domain.verdict import Band, Concern, MeasureNext, Outcome, Row, Sheet, Verdict


def sheet_from_plain(plain: Mapping[str, Any]) -> Sheet:
    """The sheet as it was computed then; nothing is computed anew."""
    return Sheet(
        part_class=plain["part_class"],
        offered_class=plain["offered_class"],
        rows=tuple(_row(row) for row in plain["rows"]),
        outcome=Outcome(plain["outcome"]),
        decided_by=plain["decided_by"],
        measure_next=tuple(MeasureNext(**one) for one in plain["measure_next"]),
        cautions=tuple(plain["cautions"]),
        probability_wanted=plain["probability_wanted"],
        engine=plain["engine"],
        handbook=plain["handbook"],
        notes=tuple(plain.get("notes", ())),
    )


def _row(plain: Mapping[str, Any]) -> Row:
    return Row(
        key=plain["key"],
        label=plain["label"],
        concern=Concern(plain["concern"]),
        weight=Weight(plain["weight"]),
        wanted=plain["wanted"],
        offered=plain["offered"],
        verdict=Verdict(plain["verdict"]),
        sentence=plain["sentence"],
        sources=tuple(
            Source(
                one["document"], one["place"], one["edition"], Standing(one["standing"]), one.get("is_method", False)
            )
            for one in plain["sources"]
        ),
        margin=plain["margin"],
        probability=plain["probability"],
        known_from=plain["known_from"],
        offered_from=plain["offered_from"],
        assumption=plain["assumption"],
        caution=plain["caution"],
        departs=plain["departs"],
        measure=MeasureNext(**plain["measure"]) if plain["measure"] else None,
        band=_band(plain["band"]),
    )


def _band(plain: Mapping[str, Any] | None) -> Band | None:
    if not plain:
        return None
    value, doubt = read_fraction(plain["value"]), read_fraction(plain["doubt"])
    assert value is not None
    assert doubt is not None
    return Band(read_fraction(plain["low"]), read_fraction(plain["high"]), value, doubt, plain["unit"])
