"""The handbook as one register sees it: the tables that came with it, and the shop's own rows beside them.

A shop's row adds a material or a name that the shipped tables don't hold. It
never takes a shipped row's place: `shipped_claim` says what stands in its way.
"""

from dataclasses import dataclass
from fractions import Fraction

from server.domain.designations import listed, resolve
from server.domain.material_families import is_everyday
from server.domain.material_meaning import Meaning, Resolution
from server.domain.material_table import Properties, ValueClass, all_properties, lines_for
from server.domain.plain import as_plain, canonical, digest_of
from server.domain.sources import Source, Standing
from server.domain.strength import may_compare

SHOP_SAYS = "shop's own handbook: "
"""How the source of a shop's row begins, wherever it is shown or frozen."""
SHOP_CLASSES = tuple(one for one in ValueClass if one not in {ValueClass.MEMORY, ValueClass.NONE})
"""Classes of figure a shop may enter; a figure from memory is none."""


def shop_source(document: str, edition: str, place: str, *, is_quoted: bool = False) -> Source:
    """The source of a shop's row, named as such."""
    standing = Standing.QUOTED if is_quoted else Standing.SEEN
    return Source(f"{SHOP_SAYS}{document}", place, edition, standing)


_NAMED = ("alias", "alloy", "temper", "form", "is_clad", "grade", "source")


@dataclass(frozen=True, slots=True)
class Handbook:
    """The shipped tables with a shop's own lines of figures and names beside them."""

    lines: tuple[Properties, ...] = ()
    names: tuple[Meaning, ...] = ()

    def resolve(self, text: str, form: str = "") -> Resolution:
        """What a material's name means, the shop's names included; see `designations.resolve`."""
        return resolve(text, form, self.names)

    def lines_for(
        self, alloy: str, temper: str = "", form: str = "", size: Fraction | None = None, *, is_clad: bool | None = None
    ) -> tuple[Properties, ...]:
        """Lines of figures, the shop's included; see `material_table.lines_for`."""
        return lines_for(alloy, temper, form, size, is_clad=is_clad, more=self.lines)

    def density_of(self, text: str) -> Fraction | None:
        """The density in g/cm³ of what a material's name means; None where no figure is held."""
        found = self.resolve(text)
        if not found.alloy:
            return None
        every = {line.density for line in self.lines_for(found.alloy, found.temper) if line.density}
        return max(every) if every else None

    def used_on(self, texts: frozenset[str]) -> "Handbook":
        """The part of the shop's rows that these words lead to; empty where they lead to none."""
        if not self.lines and not self.names:
            return SHIPPED
        found = [one for text in texts if text for one in self.resolve(text).meanings]
        alloys = {one.alloy for one in found}
        return Handbook(
            tuple(one for one in self.lines if one.alloy in alloys),
            tuple(one for one in self.names if any(_is_same(one, other) for other in found)),
        )

    @property
    def digest(self) -> str:
        """The first twelve figures of SHA-256 over the shop's rows; "" where there are none."""
        if not self.lines and not self.names:
            return ""
        # sets have no order of their own, so they are put in one
        rows = [canonical({**as_plain(one), "forms": sorted(one.forms)}) for one in self.lines]
        rows += [canonical([getattr(one, name) for name in _NAMED] + [one.family.key]) for one in self.names]
        return digest_of("\n".join(sorted(rows)))[:12]

    @property
    def said(self) -> tuple[str, ...]:
        """Every row of the shop's in a sentence, with its source."""
        others = [one for one in self.names if one.alias != one.alloy]
        names = [f"{one.alias} is read as {one.said}, {one.grade} ({one.source})" for one in others]
        lines = [f"figures of {one.said}, {one.value_class} ({one.source})" for one in self.lines]
        return (*names, *lines)


SHIPPED = Handbook()
"""The tables as they came."""


def _is_same(one: Meaning, found: Meaning) -> bool:
    return (one.alias, one.alloy, one.source) == (found.alias, found.alloy, found.source)


@dataclass(frozen=True, slots=True)
class ShippedClaim:
    """Why a shop's row may not be entered: the sentence, and the shipped rows that hold it already."""

    sentence: str
    lines: tuple[Properties, ...] = ()
    meanings: tuple[Meaning, ...] = ()


def claim_on_name(name: str) -> ShippedClaim | None:
    """Does a shipped table read this name already? None where a shop may give it a meaning.

    A number that only tells its family by its form ("Fl.W. 3115" is an
    aluminium) is free: no table lists it.
    """
    if is_everyday(name):
        return ShippedClaim(f"“{name}” is an everyday word of the trade; it means what it always means.")
    held = listed(name)
    if not held:
        return None
    said = " or ".join(dict.fromkeys(one.said for one in held))
    return ShippedClaim(f"The handbook that came with the register reads “{name}” as {said}.", meanings=held)


Span = tuple[Fraction | None, Fraction | None]


def _overlaps(one: Properties, temper: str, form: str, size: Span) -> bool:
    """Would a question that finds the new line find this shipped one too?"""
    low, high = size
    apart = (low is not None and one.size_high is not None and low > one.size_high) or (
        high is not None and one.size_low is not None and high < one.size_low
    )
    if apart:
        return False
    every_temper = not temper or not one.tempers or one.tempers == ("any",)
    every_form = form == "any" or "any" in one.forms
    return not one.is_memory and (every_temper or temper in one.tempers) and (every_form or form in one.forms)


def claim_on_figures(
    alloy: str, temper: str, form: str, value_class: ValueClass, size: Span = (None, None)
) -> ShippedClaim | None:
    """Does a shipped table hold figures of this class for this already? None where a shop may add its own.

    `size` is the span of thickness in mm that the new line holds for. A typical
    value is no minimum, so neither bars the other. A line from memory decides
    nothing and bars nothing: the shop's line stands beside it.
    """
    of_alloy = (one for one in all_properties().values() if one.alloy == alloy and _overlaps(one, temper, form, size))
    held = [one for one in of_alloy if may_compare(one.value_class, value_class)[0]]
    if not held:
        return None
    return ShippedClaim(
        f"The handbook that came with the register has figures for {held[0].said}; a shop's row never replaces them.",
        tuple(held),
    )
