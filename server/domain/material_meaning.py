"""What a designation came to: one reading or several, each with who says so."""

from dataclasses import dataclass
from enum import StrEnum

from server.domain.material_families import Family
from server.domain.material_words import CAST_FORMS
from server.domain.sources import Source


class Found(StrEnum):
    """How far a text was understood."""

    ONE = "one material"
    SEVERAL = "one of several"
    FAMILY = "a family only"
    UNKNOWN = "not known"


class Grade(StrEnum):
    """How far a name and today's alloy are the same."""

    OWN = "its own name"
    SAME = "same composition"
    NEAR = "near"


@dataclass(frozen=True, slots=True)
class Meaning:
    """One reading of a designation: alloy, temper ("" while not known), form, and who says so.

    `temper_said` is the temper as written where today's letters differ from
    it; `temper_source` says who equates the two. `substitute` is what may
    only stand in for it.
    """

    alias: str
    alloy: str
    family: Family
    grade: Grade
    source: Source
    temper: str = ""
    temper_said: str = ""
    temper_source: Source | None = None
    form: str = ""
    is_clad: bool | None = None
    ask: str = ""
    note: str = ""
    substitute: str = ""
    substitute_temper: str = ""

    @property
    def needs_temper(self) -> bool:
        """True where strength is nothing without the temper."""
        return self.family.needs == "temper"

    @property
    def said(self) -> str:
        """As the sheet says it: "2024-T3 clad sheet"."""
        name = f"{self.alloy}-{self.temper}" if self.temper and not self.temper.islower() else self.alloy
        state = self.temper if self.temper.islower() else ""
        clad = "clad" if self.is_clad else ""
        form = f"{self.form} casting" if self.form in CAST_FORMS else self.form
        return " ".join(part for part in (name, state, clad, form) if part)


@dataclass(frozen=True, slots=True)
class Resolution:
    """What a text means. `ask` says what has to be found out before it is one material."""

    text: str
    found: Found
    meanings: tuple[Meaning, ...] = ()
    families: tuple[Family, ...] = ()
    finish: str = ""
    form: str = ""
    is_clad: bool | None = None
    is_doubtful: bool = False
    ask: str = ""

    @property
    def alloy(self) -> str:
        """The alloy where all readings agree on one; else ""."""
        names = {one.alloy for one in self.meanings}
        return names.pop() if len(names) == 1 else ""

    @property
    def temper(self) -> str:
        """The temper where all readings agree on one; else ""."""
        names = {one.temper for one in self.meanings}
        return names.pop() if len(names) == 1 else ""

    @property
    def family(self) -> Family | None:
        """The one family where there is only one, or one that holds the others."""
        return self.families[0] if len(self.families) == 1 else None

    @property
    def bases(self) -> frozenset[str]:
        """What it can be at bottom: aluminium, steel, rubber …; more than one where it isn't settled."""
        return frozenset(one.base for one in self.families)

    @property
    def said(self) -> str:
        """As the sheet says it."""
        if self.meanings:
            return " or ".join(dict.fromkeys(one.said for one in self.meanings))
        return " or ".join(one.name for one in self.families)
