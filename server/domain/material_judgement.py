"""May this material stand for that one? One reading of the original against one of the find."""

from server.domain.material_alloys import judge_alloys
from server.domain.material_families import Family, is_within, lineage
from server.domain.material_meaning import Found, Resolution
from server.domain.material_stand_ins import find_stand_in, names_of_resolution
from server.domain.material_verdict import (
    BASE_RULE,
    CLAIM_RULE,
    NAME_RULE,
    RELATED,
    Judged,
    Situation,
    capital,
    claim_tail,
    how_to_tell,
    shown_as_wanted,
    standing_in,
)
from server.domain.sources import Source
from server.domain.verdict import Verdict


def judge_material(wanted: Resolution, offered: Resolution, here: Situation) -> Judged:
    """One reading of the original against one of the find; never a silent guess."""
    early = _unsettled(wanted, offered)
    if early is not None:
        return early
    if wanted.found is Found.FAMILY and wanted.family is not None:
        return _against_family(wanted.family, offered, here)
    if offered.found is Found.FAMILY and offered.family is not None:
        return _offered_family(wanted, offered.family, offered, here)
    return judge_alloys(wanted.meanings[0], offered.meanings[0], offered, here)


def _unsettled(wanted: Resolution, offered: Resolution) -> Judged | None:
    """Whatever stops a comparison before it starts."""
    if wanted.found is Found.UNKNOWN:
        said = f"What the original's “{wanted.text}” is isn't known here."
        return Judged(Verdict.OPEN, said, (NAME_RULE,), wanted.ask, about_original=True)
    if offered.found is Found.UNKNOWN:
        return Judged(Verdict.OPEN, f"What “{offered.text}” is isn't known here.", (NAME_RULE,), offered.ask)
    doubtful = wanted.is_doubtful or offered.is_doubtful
    if not wanted.bases & offered.bases and not _related(wanted, offered) and not doubtful:
        return None if _both_settled(wanted, offered) else _other_base(wanted, offered)
    if wanted.found is Found.SEVERAL:
        said = f"The original's “{wanted.text}” may be {wanted.said}."
        return Judged(Verdict.OPEN, said, _sources(wanted), wanted.ask, about_original=True)
    if offered.found is Found.SEVERAL:
        return Judged(Verdict.OPEN, f"“{offered.text}” may be {offered.said}.", _sources(offered), offered.ask)
    if wanted.is_doubtful:
        said = f"The original is only guessed: “{wanted.text}”."
        return Judged(Verdict.OPEN, said, (NAME_RULE,), "Settle what the original is.", about_original=True)
    if offered.is_doubtful:
        said = f"The find is only guessed: “{offered.text}”."
        return Judged(Verdict.OPEN, said, (NAME_RULE,), "Settle what the find is: papers, tests or an analysis.")
    return None


def _both_settled(wanted: Resolution, offered: Resolution) -> bool:
    firm = {Found.ONE, Found.FAMILY}
    return wanted.found in firm and offered.found in firm


def _sources(resolution: Resolution) -> tuple[Source, ...]:
    return tuple(dict.fromkeys(one.source for one in resolution.meanings)) or (NAME_RULE,)


def _related(wanted: Resolution, offered: Resolution) -> bool:
    """Different at bottom, yet near enough that figures decide."""
    return any(wanted.bases & pair and offered.bases & pair for pair in RELATED)


def _other_base(wanted: Resolution, offered: Resolution) -> Judged:
    said = f"Wanted is {wanted.said}; {offered.said} is another kind of material."
    return Judged(Verdict.AGAINST, said, (BASE_RULE,))


# ---- a family only ----


def _against_family(wanted: Family, offered: Resolution, here: Situation) -> Judged:
    """Only a family is known of the original: brass, steel, rubber."""
    given = offered.families[0]
    if not is_within(given.key, wanted.key):
        stand_in = find_stand_in(lineage(wanted), names_of_resolution(offered))
        if stand_in is not None:
            return standing_in(wanted.name, offered.said, stand_in, here)
        if given.base != wanted.base:
            return Judged(
                Verdict.AGAINST, f"Wanted is {wanted.name}; {offered.said} is another kind of material.", (BASE_RULE,)
            )
        said = f"Wanted is {wanted.name}; whether {offered.said} is that can't be told."
        return Judged(Verdict.OPEN, said, (NAME_RULE,), offered.ask or wanted.ask)
    if here.strictly and wanted.needs and wanted.is_metal:
        said = f"The original is only known to be {wanted.name}; that says nothing of its strength."
        return Judged(Verdict.OPEN, said, (NAME_RULE,), wanted.ask, about_original=True)
    if not here.proof.tells(given, strictly=here.strictly):
        said = f"{capital(offered.said)}, as wanted.{claim_tail(here)}"
        return Judged(Verdict.OPEN, said, (CLAIM_RULE,), how_to_tell(given), departs=False)
    said = f"{capital(offered.said)}, as wanted, told {here.proof.shown}."
    return shown_as_wanted(said, (NAME_RULE,), here, here.proof.assumption(offered))


def _offered_family(wanted: Resolution, given: Family, offered: Resolution, here: Situation) -> Judged:
    """An alloy is wanted and only a family is known of the find."""
    kind = wanted.families[0]
    stand_in = find_stand_in(names_of_resolution(wanted), lineage(given))
    if stand_in is not None:
        return standing_in(wanted.said, given.name, stand_in, here)
    if given.base != kind.base and not _related(wanted, offered):
        return _other_base(wanted, offered)
    said = f"Wanted is {wanted.said}; of the find only “{given.name}” is known."
    return Judged(Verdict.OPEN, said, (NAME_RULE,), offered.ask or how_to_tell(given))
