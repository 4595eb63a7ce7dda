"""What a document or the trade names as a stand-in for a material that is not simply the same."""

from dataclasses import dataclass

from server.domain.material_families import lineage
from server.domain.material_meaning import Meaning, Resolution
from server.domain.material_table import source_of
from server.domain.sources import Source
from server.domain.tables.read import read_table


@dataclass(frozen=True, slots=True)
class StandIn:
    """What somebody names as a stand-in, with how far it goes."""

    kind: str
    note: str
    source: Source

    @property
    def settles_strength(self) -> bool:
        """True where a document or usage takes it although a figure may be lower."""
        return self.kind in {"near", "usual stand-in"}

    @property
    def is_major(self) -> bool:
        """True where it counts as a major alteration."""
        return self.kind == "major alteration"


def names_of(one: Meaning) -> frozenset[str]:
    """The names under which a stand-in may be listed: alloy, family and all it is a kind of."""
    return lineage(one.family) | {one.alloy}


def names_of_resolution(resolution: Resolution) -> frozenset[str]:
    """The same of a whole resolution."""
    names = {one.alloy for one in resolution.meanings}
    return frozenset(names.union(*(lineage(one) for one in resolution.families)))


def find_stand_in(originals: frozenset[str], candidates: frozenset[str]) -> StandIn | None:
    """The first listed stand-in of one of these for one of those; None where none is listed."""
    for row in read_table("material_stand_ins"):
        if row["original"] in originals and row["candidate"] in candidates:
            source = source_of(row["source"] or "shop practice", row["source_status"])
            return StandIn(row["kind"], row["note"], source)
    return None


def named_substitute(wanted: Meaning, offered: Meaning) -> StandIn | None:
    """What the designation's own line names beside it; None where it names something else or nothing."""
    if not wanted.substitute or wanted.substitute != offered.alloy:
        return None
    if wanted.substitute_temper and wanted.substitute_temper != offered.temper:
        return None
    return StandIn("functional substitute", wanted.note or f"named beside {wanted.alias}", wanted.source)
