"""Rows on what the find touches once it is fitted."""

from collections.abc import Iterator

from server.domain.galvanic import (
    AREA_RULE,
    JOINT_RULE,
    Couple,
    Surface,
    couple,
    protection,
    said_of,
    sources_of,
    surface_of,
)
from server.domain.material_meaning import Found, Resolution
from server.domain.offer import Basis, Evidence
from server.domain.parts._kit import Case
from server.domain.rivet_strength import alloy_of
from server.domain.sources import Source, common_practice
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

_UNKNOWN_RULE = common_practice("what is not known is not called similar")
_MAGNESIUM_CAUTION = (
    "Magnesium in the joint: its chips burn and water feeds the fire. No steel brush on it; ask somebody who knows it."
)


def galvanic_rows(case: Case) -> Iterator[Row]:
    """The find against everything that its place says it touches."""
    said = case.statement("material")
    touched = _touched(case)
    if not touched or case.part_class.characteristic("material") is None:
        return
    if said is None and not case.wanted_word("material"):
        # nothing is said of either metal: the material itself is asked for first
        return
    find = _metal(said.words[0] if said and said.words else said.text if said else "", case)
    finish = _finish(case, wanted=False)
    original = _metal(case.wanted_word("material"), case)
    before = surface_of(original, _finish(case, wanted=True))
    compared: set[str] = set()
    for name, text in touched:
        neighbour = case.handbook.resolve(text)
        number = len(compared) + 1
        key, label = f"galvanic_{number}", f"In contact with {name}"
        if neighbour.families and not any(one.is_metal for one in neighbour.families):
            continue
        if find.families and not any(one.is_metal for one in find.families):
            continue
        other = surface_of(neighbour)
        if other is not None and other.key in compared:
            continue
        compared.add(other.key if other is not None else text)
        mine = surface_of(find, finish)
        if mine is None or other is None:
            yield _unknown(case, key, label, text, find, is_neighbour=other is None)
        else:
            yield _judged(case, key, label, text, couple(mine, other), couple(before, other) if before else None)


def _metal(text: str, case: Case) -> Resolution:
    """The metal of a designation; on a rivet also of its code letters ("AD")."""
    rivet = alloy_of(text) if "rivet" in case.part_class.key else None
    return case.handbook.resolve(rivet.designation if rivet else text)


def _touched(case: Case) -> list[tuple[str, str]]:
    joint = case.wanted.joint
    plies = [(ply.name or ply.material, ply.material or ply.name) for ply in joint.plies] if joint else []
    named = [(text, text) for text in case.wanted.touches]
    seen: dict[str, tuple[str, str]] = {}
    for name, text in (*named, *plies):
        if text:
            seen.setdefault(text.casefold(), (name, text))
    return list(seen.values())


def _finish(case: Case, *, wanted: bool) -> str:
    for key in ("finish", "plating", "surface"):
        word = case.wanted_word(key) if wanted else case.word(key)
        if word:
            # a choice key such as "cadmium" means the plating, not the metal
            return f"{word} plated" if word in {"cadmium", "zinc", "nickel", "chromium", "tin", "silver"} else word
    return ""


def _unknown(case: Case, key: str, label: str, text: str, find: Resolution, *, is_neighbour: bool) -> Row:
    if is_neighbour:
        sentence = f"“{text}” doesn't say which metal it is, so the couple can't be told."
        measure = MeasureNext(key, f"Say what metal this is: {text}", "eye, magnet or drawing", 1, True)
    else:
        known = "isn't known" if find.found is Found.UNKNOWN else f"may be {find.said}"
        sentence = f"What the find is made of {known}, so what it does to {text} can't be told."
        measure = MeasureNext("material", "Find out what metal it is, and its plating", "magnet, file, analysis", 2)
    return Row(
        key,
        label,
        Concern.FUNCTION,
        case.weight(Concern.FUNCTION),
        f"no couple that eats {text}",
        find.said or "not known",
        Verdict.OPEN,
        sentence,
        sources=(_UNKNOWN_RULE,),
        measure=measure,
    )


def _judged(case: Case, key: str, label: str, text: str, pair: Couple, before: Couple | None) -> Row:
    same_as_before = before is not None and {before.one.key, before.other.key} == {pair.one.key, pair.other.key}
    verdict, sentence, more = _verdict(case, pair, same_as_before=same_as_before)
    said = case.statement("material")
    on_paper = bool({Evidence.CERTIFICATE, Evidence.TEST} & set(case.offered.evidence))
    if verdict is Verdict.PROVEN and (said is None or said.basis is Basis.CLAIMED) and not on_paper:
        verdict, sentence = Verdict.OPEN, "So it is claimed; nobody here has told the metal yet."
    needs_care = pair.has_magnesium and verdict is not Verdict.PROVEN and not pair.is_insulated
    measure = None
    if verdict is Verdict.OPEN and said is not None and said.basis is Basis.CLAIMED and pair.is_similar:
        measure = MeasureNext("material", "Find out what metal it is, and its plating", "magnet, file, analysis", 2)
    elif verdict is Verdict.OPEN:
        measure = MeasureNext(key, f"Say how it is kept apart from {text}", "drawing or a person's decision", 1)
    return Row(
        key,
        label,
        Concern.FUNCTION,
        case.weight(Concern.FUNCTION),
        f"as designed: {before.one.name} on {before.other.name}" if before else f"no couple that eats {text}",
        f"{pair.one.name} on {pair.other.name}",
        verdict,
        f"{pair.one.name.capitalize()} on {pair.other.name}: {said_of(pair)}. {sentence}".strip(),
        sources=(*sources_of(pair), *more),
        caution=_MAGNESIUM_CAUTION if needs_care else "",
        departs=verdict is not Verdict.PROVEN,
        measure=measure,
    )


def _verdict(case: Case, pair: Couple, *, same_as_before: bool) -> tuple[Verdict, str, tuple[Source, ...]]:
    if pair.is_insulated:
        return Verdict.JUDGED, "Where the coating is scratched it insulates no more, and a bonding path is broken.", ()
    if pair.one.key == pair.other.key:
        return Verdict.PROVEN, "", ()
    if pair.is_similar:
        if pair.disagrees:
            return Verdict.JUDGED, "The sources disagree; the groups allow it, a person decides.", ()
        if pair.same_419:
            return Verdict.PROVEN, "", ()
        return Verdict.JUDGED, "Only a quoted table says so; a person decides.", ()
    care = protection(pair)
    if same_as_before:
        return Verdict.JUDGED, f"The original had the same couple. {care}", (JOINT_RULE,)
    if pair.is_similar is None:
        return Verdict.OPEN, care, (JOINT_RULE,)
    fastener_eaten = case.part_class.has_joint and pair.eaten is not None and pair.eaten.key == pair.one.key
    if fastener_eaten and _is_noble(pair.other):
        return (
            Verdict.AGAINST,
            f"The small part would be the one that is eaten ({pair.one.name}); the other way round would be tolerable.",
            (AREA_RULE,),
        )
    if case.part_class.has_joint and not pair.has_magnesium:
        eaten = f"{pair.eaten.name} is the one that is eaten; " if pair.eaten else ""
        said = f"{eaten}a small noble fastener in a large sheet is tolerable. {care}"
        return Verdict.JUDGED, said[0].upper() + said[1:], (AREA_RULE, JOINT_RULE)
    eaten = f"{pair.eaten.name.capitalize()} is the one that is eaten. " if pair.eaten else ""
    return Verdict.OPEN, f"{eaten}A couple that the original did not have. {care}", (JOINT_RULE,)


def _is_noble(surface: Surface) -> bool:
    return surface.group5 in {"IV", "V"}
