"""Where a figure or a rule comes from, and how far it may be leaned on."""

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How the source was seen. The last three are shaky: they may inform, never prove alone."""

    SEEN = "seen"
    QUOTED = "quoted"
    DERIVED = "derived"
    COMMON_PRACTICE = "common practice"
    MEMORY = "from memory, unverified"


SHAKY = frozenset({Standing.QUOTED, Standing.COMMON_PRACTICE, Standing.MEMORY})


@dataclass(frozen=True, slots=True)
class Source:
    """A document with its edition and the place in it, and how we saw it.

    `is_method` marks a way of judging rather than a figure (the decision rule,
    "a claim is no measurement"): nobody has to answer for having used it.
    """

    document: str
    place: str = ""
    edition: str = ""
    standing: Standing = Standing.SEEN
    is_method: bool = False

    @property
    def is_shaky(self) -> bool:
        """True where the source may inform but does not prove by itself."""
        return self.standing in SHAKY

    def __str__(self) -> str:
        said = ", ".join(part for part in (self.document, self.edition, self.place) if part)
        return said if self.standing is Standing.SEEN else f"{said} [{self.standing}]"


def common_practice(what: str) -> Source:
    """A rule of the trade with no document behind it."""
    return Source(what, standing=Standing.COMMON_PRACTICE)


def method(what: str) -> Source:
    """A way of judging that the trade shares; it brings no figure of its own."""
    return Source(what, standing=Standing.COMMON_PRACTICE, is_method=True)


def from_memory(what: str, place: str = "") -> Source:
    """A figure or rule that nobody looked up for this project."""
    return Source(what, place, standing=Standing.MEMORY)
