"""What a designation means: historic, national and trade names to one alloy, several, a family, or nothing known.

Case, blanks, dashes and dots make no difference. What is not known stays
unknown; a name that covers several alloys comes back as all of them, with
what to ask.
"""

import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import chain

from server.domain.material_families import Family, families_in, family, is_within
from server.domain.material_meaning import Found, Grade, Meaning, Resolution
from server.domain.material_series import Series, all_series
from server.domain.material_table import known_alloys, source_of
from server.domain.material_words import clad_in, finish_in, fold_material, form_in, is_doubtful
from server.domain.sources import common_practice
from server.domain.tables.read import read_table
from server.domain.tempers import read_temper, temper_in


@dataclass(frozen=True, slots=True)
class _Alias:
    pattern: re.Pattern[str]
    length: int
    meanings: tuple[Meaning, ...]


_PIECE = re.compile(r"[^\W\d_]+|\d+|[/·]")
_GAP = r"[\s\-.]*"
_GLUED_TEMPER = r"(?=(?:so|o|f|w|n|rt|t\d{0,4}p?|h\d{1,3})?(?![^\W_]))"
_TEMPERED = {"temper", "grade"}


def _pattern(folded: str, *, glued: bool) -> re.Pattern[str]:
    # a point between figures is part of the number (413.0 is no 4130); any other point is only typing
    name = re.sub(r"(?<=\d)[.,](?=\d)", "·", folded)
    pieces = [re.escape(piece) for piece in _PIECE.findall(name)]
    joined = _GAP.join(pieces).replace(f"{_GAP}·{_GAP}", "[.,]")
    end = _GLUED_TEMPER if glued else r"(?![^\W_])"
    if re.fullmatch(r"[1-3]·\d{4}", name):
        joined += r"(?:[.,]\d{1,2})?"  # a German number may carry its state behind a second point
    return re.compile(rf"(?<![^\W_])(?<!\d[.,]){joined}{end}(?![.,]\d)")


@cache
def _aliases() -> tuple[_Alias, ...]:
    """All names, the longest first; a name on several lines has several meanings."""
    said: dict[str, list[Meaning]] = {}
    for row in read_table("material_designations"):
        kind = family(row["family"])
        meaning = Meaning(
            alias=row["alias"],
            alloy=row["alloy"],
            family=kind,
            grade=Grade(row["grade"]),
            source=source_of(row["source"], row["source_status"]),
            temper=row["temper"],
            form=row["form"],
            is_clad=True if row["clad"] else None,
            ask=row["ask"],
            note=row["note"],
            substitute=row["substitute"],
            substitute_temper=row["substitute_temper"],
        )
        said.setdefault(fold_material(row["alias"]), []).append(meaning)
    return _by_length(said)


@lru_cache(maxsize=64)
def _own(names: tuple[Meaning, ...]) -> tuple[_Alias, ...]:
    """A shop's own names, the longest first."""
    said: dict[str, list[Meaning]] = {}
    for one in names:
        said.setdefault(fold_material(one.alias), []).append(one)
    return _by_length(said)


def _by_length(said: dict[str, list[Meaning]]) -> tuple[_Alias, ...]:
    made = [
        _Alias(
            _pattern(name, glued=any(one.family.needs in _TEMPERED for one in meanings) and name[-1].isalnum()),
            len(re.sub(r"\W", "", name)),
            tuple(meanings),
        )
        for name, meanings in said.items()
    ]
    return tuple(sorted(made, key=lambda one: -one.length))


@dataclass(frozen=True, slots=True)
class _Hit:
    start: int
    end: int
    meanings: tuple[Meaning, ...]


def listed(text: str) -> tuple[Meaning, ...]:
    """What every name of the shipped list that stands in this text means; empty where none does."""
    hits, _ = _named(finish_in(fold_material(text))[1], (), with_series=False)
    return tuple(meaning for hit in hits for meaning in hit.meanings)


def _named(text: str, names: tuple[Meaning, ...], *, with_series: bool = True) -> tuple[list[_Hit], str]:
    """Every name found, in the order of the text, and the text with the names blanked out.

    A shop's `names` are looked for in what the shipped ones leave, and before a number is told by its form only.
    """
    rest, found = text, []
    for alias in chain(_aliases(), _own(names)):
        hit = alias.pattern.search(rest)
        while hit:
            found.append(_Hit(hit.start(), hit.end(), alias.meanings))
            rest = f"{rest[: hit.start()]}{' ' * (hit.end() - hit.start())}{rest[hit.end() :]}"
            hit = alias.pattern.search(rest)
    if not found and with_series:
        for series in all_series():
            hit = series.pattern.search(rest)
            if hit:
                found.append(_Hit(hit.start(), hit.end(), _of_series(series.family, series.alloy(hit), series)))
                rest = f"{rest[: hit.start()]}{' ' * (hit.end() - hit.start())}{rest[hit.end() :]}"
                break
    return sorted(found, key=lambda one: one.start), rest


def _of_series(key: str, alloy: str, series: Series) -> tuple[Meaning, ...]:
    source = common_practice("the number is its own name")
    return (Meaning(alloy, alloy, family(key), Grade.OWN, source, ask=series.ask, note=series.note),)


def _tempered(hits: list[_Hit], rest: str, form: str) -> list[list[Meaning]]:
    """The readings of each name with the temper that stands behind it; anywhere in the text for a single name."""
    every = []
    for number, hit in enumerate(hits):
        until = hits[number + 1].start if number + 1 < len(hits) else len(rest)
        said = temper_in(rest if len(hits) == 1 else rest[hit.end : until])
        every.append([one for meaning in hit.meanings for one in _with_temper(meaning, said, meaning.form or form)])
    return every


def _with_temper(meaning: Meaning, said: str, form: str) -> list[Meaning]:
    """A reading with its temper: several where an old letter means different tempers by form."""
    if not said:
        return [meaning]
    made = []
    for temper in read_temper(meaning.family.base, meaning.alloy, said, form):
        is_old = temper.source is not None or not temper.now
        ask = f"what the letters “{said}” meant for {meaning.alloy} in this form"
        made.append(
            replace(
                meaning,
                temper=temper.now,
                temper_said=said if is_old and meaning.family.needs in _TEMPERED else "",
                temper_source=temper.source,
                form=temper.form or meaning.form,
                ask=meaning.ask or (ask if not temper.now and meaning.needs_temper else ""),
            )
        )
    return made


def _one_set(found: list[list[Meaning]]) -> tuple[list[Meaning], str]:
    """Readings of all names together: what they agree on, else all of them with a question."""
    held = found[0]
    for more in found[1:]:
        shared = {one.alloy for one in more} & {one.alloy for one in held}
        if not shared:
            return [one for group in found for one in group], "Several materials are named; say which one it is."
        both = [one for one in (*held, *more) if one.alloy in shared]
        if all(one.temper for one in both) and len({one.temper for one in both}) > 1:
            return both, "Two tempers are named; say which one it is."
        held = [one for one in both if one.temper] or both
    return held, ""


_FILLERS = {"textile", "cotton", "linen", "paper"}
"""What a laminate is made of is no second material."""


@lru_cache(maxsize=4096)
def resolve(text: str, form: str = "", names: tuple[Meaning, ...] = ()) -> Resolution:
    """What a material's name means.

    `form` (sheet, tube, bar, extrusion, forging, wire, or a casting's kind)
    is used where the text names none; `names` are a shop's own beside the
    shipped ones. Nothing is raised: what can't be read is Found.UNKNOWN with
    what to ask.
    """
    folded = fold_material(text)
    finish, bare = finish_in(folded)
    form_said = form_in(bare)
    shape = form_said if form_said and form_said != "cast" else form
    clad = clad_in(bare)
    hits, rest = _named(bare, names)
    named_families = families_in(rest)
    doubtful = is_doubtful(bare)
    if not hits:
        return _of_families(text, named_families, finish, form_said, clad, doubtful=doubtful)
    readings, ask = _one_set(_tempered(hits, rest, shape))
    meanings = tuple(
        dict.fromkeys(
            replace(one, form=shape or one.form, is_clad=clad if clad is not None else one.is_clad) for one in readings
        )
    )
    families = tuple(dict.fromkeys(one.family for one in meanings))
    strange = [one for one in named_families if one.base not in {known.base for known in families}]
    strange = [one for one in strange if not any(is_within(known.key, one.key) for known in families)]
    if any(known.base == "phenolic laminate" for known in families):
        strange = [one for one in strange if one.key not in _FILLERS]
    if strange:
        ask = f"“{text}” names {families[0].name} and {strange[0].name}; say which one it is."
        families = (*families, *strange)
    ask = ask or next((one.ask for one in meanings if one.ask), "") or _ask_temper(meanings)
    open_question = any(one.ask for one in meanings)
    settled = len({(one.alloy, one.temper) for one in meanings}) == 1 and not strange and not open_question
    return Resolution(
        text,
        Found.ONE if settled else Found.SEVERAL,
        meanings,
        families,
        finish,
        shape,
        clad,
        doubtful,
        ask,
    )


def _ask_temper(meanings: tuple[Meaning, ...]) -> str:
    tempers = {one.temper for one in meanings}
    if len({one.alloy for one in meanings}) == 1 and len(tempers) > 1:
        forms = ", ".join(f"{one.temper} for {one.form or 'other forms'}" for one in meanings)
        return f"Which form is it: {forms}?"
    if any(one.needs_temper and not one.temper for one in meanings):
        return "The temper is not said: look for it on the stamp, or have hardness and conductivity measured together."
    return ""


def _of_families(
    text: str,
    named: tuple[Family, ...],
    finish: str,
    form: str,
    clad: bool | None,
    *,
    doubtful: bool,
) -> Resolution:
    if not named and clad:
        named = (family("aluminium"),)
    if not named:
        ask = "Not a name known here: look for a stamp, a drawing or a specification number, or have it analysed."
        if temper_in(fold_material(text)):
            ask = "That is a temper; which alloy is it of?"
        return Resolution(text, Found.UNKNOWN, finish=finish, form=form, is_doubtful=doubtful, ask=ask)
    ask = " ".join(one.ask for one in named if one.ask)
    if len(named) > 1:
        return Resolution(
            text,
            Found.SEVERAL,
            families=named,
            finish=finish,
            form=form,
            is_clad=clad,
            is_doubtful=doubtful,
            ask=ask or "Several materials are named; say which one it is.",
        )
    one = named[0]
    source = common_practice("everyday word")
    has_line = one.key in known_alloys()
    if one.needs and not has_line:
        return Resolution(text, Found.FAMILY, (), named, finish, form, clad, doubtful, ask)
    meaning = Meaning(one.name, one.key, one, Grade.OWN, source, form=form)
    return Resolution(text, Found.ONE, (meaning,), named, finish, form, clad, doubtful, ask)
