"""Makes sizes of the numbers of one phrase: one alone, or the members of a product such as 3/32 x 5/16."""

import re
from dataclasses import replace
from fractions import Fraction

from server.domain.quantities import INCH, Kind, Quantity
from server.domain.reading_fold import word_set
from server.domain.reading_line import Before, Line, Member
from server.domain.reading_numbers import Number
from server.domain.reading_sizes import (
    IN,
    MM,
    Amount,
    Size,
    bare_readings,
    has_two_readings,
    in_base,
    is_rule_fraction,
)
from server.domain.reading_threads import Thread, thread_of_count, thread_of_pitch, thread_of_two
from server.domain.reading_words import ORDERS, SIZED, classes_of
from server.domain.unit_spellings import MIL_NOTE, Spelled

_NEXT_WORDS = re.compile(r"[ ]{0,2}-?([a-z]{2,20})(?:[ ]([a-z]{2,20}))?(?:[ ]([a-z]{2,20}))?")
_LAST_WORD = re.compile(r"([a-z]{2,20})[ ]?$")
_SHARES = word_set("full scale size price off of left right half done finished complete")
_TYRE = re.compile(r"(?P<width>[0-9]{1,2}\.[0-9]{2})[ ]?-[ ]?(?P<rim>[0-9]{1,2})(?![0-9./,])")
_RESISTOR = re.compile(r"(?P<whole>[0-9]{1,3})(?P<scale>[rkm])(?P<part>[0-9])?(?![a-z0-9]|[.,][0-9])")
_TWO_VOLTAGES = re.compile(r"[0-9]{1,3}/[0-9]{2,3}")
_SAME_SYSTEM = {Fraction(a): Fraction(b) for a, b in ((24, 28), (28, 24), (12, 14), (14, 12))}
# "pitot head 24 V": the head is no role of the volts
_KINDS_WITH_ROLE = frozenset({Kind.LENGTH, Kind.THREADS})
_FIRST_DECIMAL = frozenset({"thk", "wall", "dia", "id", "thread"})
_FIRST_THOUSANDS = frozenset({"len", "width", "stock"})


def append(line: Line, member: Member, before: Before, position: int, weight: float = 1.0) -> None:
    """Keep the readings of one number whose unit is settled, or whose readings are ready."""
    span = (member.start, member.end if not member.cut_end else min(member.end, member.cut_end))
    role = member.role or before.role
    if member.ready:
        for quantity, own, share, thread in member.ready:
            line.add(Size(quantity, own or role, span, position, share * weight, thread))
        return
    number, unit = member.number, member.unit
    if number is None or unit is None:
        return
    if unit.kind not in _KINDS_WITH_ROLE:
        role = ""
    for quantity, share in _quantities(line, member, before, number, unit, role):
        line.add(Size(quantity, role, span, position, share * weight, fit=member.fit))


def _quantities(
    line: Line, member: Member, before: Before, number: Number, unit: Spelled, role: str
) -> list[tuple[Quantity, float]]:
    text = line.original[member.start : member.cut_end or member.end]
    value, half_step, other = in_base(number.text, unit)
    name, kind = unit.unit.name, unit.kind
    approximate = before.is_approximate or member.is_approximate
    if member.to is not None:
        high, high_step, high_other = in_base(member.to.text, unit)
        step = max(half_step, high_step)
        first = Quantity(kind, None, name, text, value, high, step, approximate, unit.note)
        if other is None or high_other is None or not has_two_readings(number, unit):
            return [(first, 1.0)]
        return [(first, 0.5), (replace(first, low=other, high=high_other, half_step=Fraction(0)), 0.5)]
    if member.up is not None and member.down is not None:
        spread = member.spread_unit or unit
        low, high = value - spread.span_to_base(member.down), value + spread.span_to_base(member.up)
        return [(Quantity(kind, value, name, text, low, high, half_step, approximate, unit.note), 1.0)]
    bound = member.bound or before.bound
    if bound:
        low_limit, high_limit = (None, value) if bound == "max" else (value, None)
        return [(Quantity(kind, None, name, text, low_limit, high_limit, half_step, approximate, unit.note), 1.0)]
    first = Quantity(kind, value, name, text, None, None, half_step, approximate, unit.note)
    if kind is Kind.VOLTAGE and _TWO_VOLTAGES.fullmatch(number.text):
        # 12/24 V serves either
        return [(replace(first, value=Fraction(part)), 0.9) for part in number.text.split("/")]
    if number.form == "fraction" and name in {"in", "ft"} and not is_rule_fraction(number.value):
        # 5/23 in: on no rule, so probably mistyped
        return [(first, 0.3)]
    if other is not None and number.form == "fraction":
        note = "read as if a blank were missing"
        second = Quantity(kind, other, name, text, is_approximate=approximate, note=note)
        return [(second, 0.7), (first, 0.3)]
    if other is not None and has_two_readings(number, unit):
        share = 0.2 if role in _FIRST_DECIMAL else 0.8 if role in _FIRST_THOUSANDS else 0.5
        return [(first, 1 - share), (Quantity(kind, other, name, text, is_approximate=approximate), share)]
    if unit.note is MIL_NOTE:
        return [(first, 1.0), (Quantity(kind, number.value, "mm", text, note=MIL_NOTE), 0.2)]
    if kind is Kind.VOLTAGE and value in _SAME_SYSTEM:
        note = "the same aircraft system, nominal and charging voltage (common practice)"
        return [(first, 1.0), (Quantity(kind, _SAME_SYSTEM[value], "V", text, note=note), 0.3)]
    return [(first, 1.0)]


def single(line: Line, member: Member, before: Before) -> bool:
    """A number that stands alone: its unit, or what licenses it without one."""
    if member.ready:
        append(line, member, before, 0)
        return True
    number = member.number
    if number is None:
        return False
    if member.unit is not None:
        _usual_role(line, member, before)
        append(line, member, before, 0)
        return True
    if number.form == "whole" and "resistor" in line.classes and _resistor(line, member):
        return True
    if number.form == "decimal" and "tyre" in line.classes and _tyre(line, member):
        return True
    is_licensed = member.up is not None or bool(member.fit)
    role = member.role or before.role
    if role:
        is_weak = before.is_weak if before.role else member.is_weak
        is_licensed = is_licensed or not (is_weak and number.form == "whole")
    if not is_licensed:
        return _lone(line, member, before, number)
    readings = ((MM, 1.0),) if member.fit else bare_readings(number)
    for unit, weight in readings:
        member.unit = unit
        append(line, member, before, 0, weight)
    return bool(readings)


def _lone(line: Line, member: Member, before: Before, number: Number) -> bool:
    """No unit, no role: only ".065" and a fraction beside a part's name are lengths, with less weight."""
    if number.is_point_first and number.places >= 2:
        weight = 0.8
    elif number.form == "fraction" and is_rule_fraction(number.value) and _beside_a_part(line, member):
        weight = 0.6
    else:
        return False
    member.unit = IN
    append(line, member, before, 0, weight)
    return True


def _beside_a_part(line: Line, member: Member) -> bool:
    found = _NEXT_WORDS.match(line.low, member.end)
    words = [word for word in found.groups() if word] if found else []
    if words and words[0] in _SHARES:
        return False
    last = _LAST_WORD.search(line.low, max(0, member.start - 22), member.start)
    if last is not None and last.group(1) not in _SHARES:
        words.append(last.group(1))
    return any(one in SIZED for word in words for one in classes_of(word))


def _usual_role(line: Line, member: Member, before: Before) -> None:
    """Metres, feet and yards of a thing sold by length are stock; a count per inch is a thread's."""
    unit = member.unit
    if member.role or before.role or unit is None:
        return
    if unit.kind is Kind.THREADS:
        member.role = "thread"
    elif unit.unit.name in {"m", "ft", "yd"}:
        member.role = "stock" if "reel" in line.classes else "len"


def _resistor(line: Line, member: Member) -> bool:
    found = _RESISTOR.match(line.low, member.start)
    if found is None:
        return False
    typed = Fraction(f"{found['whole']}.{found['part'] or 0}")
    ohms = typed * {"r": 1, "k": 1000, "m": 1_000_000}[found["scale"]]
    member.end = found.end()
    quantity = Quantity(Kind.RESISTANCE, ohms, "Ω", line.original[member.start : member.end])
    line.add(Size(quantity, "", (member.start, member.end)))
    return True


def _tyre(line: Line, member: Member) -> bool:
    found = _TYRE.match(line.low, member.start)
    if found is None:
        return False
    member.end = found.end()
    span = (member.start, member.end)
    text = line.original[member.start : member.end]
    note = "tyre code: section width and rim in inches (from memory, unverified)"
    for position, (group, role) in enumerate((("width", "width"), ("rim", "id")), start=1):
        quantity = Quantity(Kind.LENGTH, Fraction(found[group]) * INCH, "in", text, note=note)
        line.add(Size(quantity, role, span, position))
    return True


def product(line: Line, members: list[Member], before: Before) -> bool:
    """Keep the sizes of several numbers with times signs between them; False if they are none."""
    if _counted(line, members, before):
        return True
    unit = next((one.unit for one in reversed(members) if one.unit is not None), None)
    if unit is not None and unit.kind is Kind.THREADS:
        return _count_product(line, members)
    if "screw" in line.classes and len(members) == 2 and _metric_product(line, members):
        return True
    if _amount_in_front(line, members):
        members = members[1:]
        if len(members) == 1:
            return single(line, members[0], before)
    units = _assigned_units(members)
    if "timber" in line.classes and all(one.number and one.number.form == "whole" and not one.unit for one in members):
        # 1 x 8 is as likely in inches for a plank
        units = [((MM, 1.0), (IN, 0.3)) for _ in members]
    roles = _ordered_roles(line, members, before)
    before_these = len(line.sizes)
    for position, (member, given, role) in enumerate(zip(members, units, roles, strict=True), start=1):
        member.role = role or _role_behind(line, members, position, member)
        if not member.role and "reel" in line.classes:
            _usual_role(line, member, before if position == 1 else Before())
        first = before if position == 1 else Before()
        if member.ready or member.unit is not None:
            append(line, member, first, position)
            continue
        for one, weight in given:
            member.unit = one
            append(line, member, first, position, weight)
    made = line.sizes[before_these:]
    if len(made) == len(members):
        # with second readings it would not be known which belong together
        _derive_third(line, made)
    return bool(made)


def _metric_product(line: Line, members: list[Member]) -> bool:
    """ "3 mm x 0.6" of a screw: diameter and pitch."""
    size, pitch = members
    if size.number is None or pitch.number is None or pitch.number.form != "decimal" or size.to or pitch.to:
        return False
    if {one.unit for one in members} - {None, MM}:
        return False
    thread = thread_of_two(size.number.value, pitch.number.value)
    if thread is None:
        return False
    span = (size.start, pitch.end)
    quantity = Quantity(Kind.LENGTH, thread.major, "mm", line.original[span[0] : span[1]])
    line.add(Size(quantity, "thread", span, thread=thread))
    return True


def _counted(line: Line, members: list[Member], before: Before) -> bool:
    """ "2x1.5mm²", "3 x 24 V", "4 x M6": the whole number in front counts, the rest is the size."""
    front, rest = members[0], members[1:]
    if front.number is None or front.unit is not None or front.number.form != "whole" or front.role:
        return False
    kinds = {one.unit.kind for one in rest if one.unit} | {q.kind for one in rest for q, *_ in one.ready}
    is_thread = any(thread for one in rest for *_, thread in one.ready)
    if not (kinds and Kind.LENGTH not in kinds and Kind.THREADS not in kinds) and not is_thread:
        return False
    for member in rest:
        append(line, member, before if not before.role else Before(), 0)
    return True


def _amount_in_front(line: Line, members: list[Member]) -> bool:
    """ "50 x 1/8 rivets": so many of them."""
    front, size = members[0].number, members[1].number
    if front is None or size is None or members[0].unit is not None or members[0].role:
        return False
    if front.form != "whole" or front.value < 20 or size.form != "fraction" or size.value >= 2:
        return False
    line.amounts.append(Amount(int(front.value), "x", (members[0].start, members[0].end)))
    return True


def _count_product(line: Line, members: list[Member]) -> bool:
    """ "5/16 x 22 tpi", "27 mm x 10 tpi": a thread written apart."""
    size, count = members[0], members[-1]
    if size.number is None or count.number is None:
        return False
    thread: Thread | None
    if size.unit is None or size.unit is IN:
        thread = thread_of_count(size.number.text, int(count.number.value))
    else:
        thread = thread_of_pitch(in_base(size.number.text, size.unit)[0], count.number.value)
    if thread is None or thread.major is None:
        return False
    span = (size.start, count.end)
    unit = "in" if size.unit is None else size.unit.unit.name
    quantity = Quantity(Kind.LENGTH, thread.major, unit, line.original[span[0] : span[1]], note=thread.note)
    line.add(Size(quantity, "thread", span, thread=thread))
    return True


def _assigned_units(members: list[Member]) -> list[tuple[tuple[Spelled, float], ...]]:
    """The unit of every bare member: the next unit to the right, else to the left, else inches or millimetres.

    One fraction or leading point makes a product without units inches.
    """
    given: list[Spelled | None] = [one.unit for one in members]
    is_inch = any(one.number and (one.number.form == "fraction" or one.number.is_point_first) for one in members)
    out: list[tuple[tuple[Spelled, float], ...]] = []
    for at, member in enumerate(members):
        number = member.number
        if number is None or member.unit is not None:
            out.append(())
            continue
        right = next((unit for unit in given[at + 1 :] if unit is not None), None)
        left = next((unit for unit in reversed(given[:at]) if unit is not None), None)
        unit = right or left
        # 1/4 x 20, 1/4" x 20: nobody sells a twenty inch bolt
        unsure = number.form == "whole" and number.value >= 8
        if unit is not None and unit.kind is Kind.LENGTH and not (unsure and right is None and unit is IN):
            taken = inherited(number, unit)
            out.append(((taken, 1.0),) if taken else ())
        elif is_inch or unit is IN:
            out.append(((IN, 0.5), (MM, 0.5)) if unsure else ((IN, 1.0),))
        else:
            out.append(((MM, 1.0),) if number.places < 3 else ((IN, 0.6), (MM, 0.4)))
    return out


def _role_behind(line: Line, members: list[Member], position: int, member: Member) -> str:
    """Behind a thread stands a length; a gauge number beside lengths is a thickness."""
    if position > 1 and any(thread for *_, thread in members[0].ready):
        return "len"
    is_gauge = any(quantity.kind is Kind.LENGTH and thread is None for quantity, *_, thread in member.ready)
    return "thk" if is_gauge and "wire" not in line.classes else ""


def inherited(number: Number, unit: Spelled) -> Spelled | None:
    """A bare fraction is inches whatever its neighbour's unit."""
    if number.form == "fraction":
        return unit if unit.unit.name in {"in", "ft"} else IN if is_rule_fraction(number.value) else None
    return unit


def _ordered_roles(line: Line, members: list[Member], before: Before) -> list[str]:
    roles = [one.role for one in members]
    roles[0] = roles[0] or before.role
    if not any(roles) or line.classes & {"tube", "ring", "bearing"}:
        order = next((ORDERS[one] for one in ORDERS if one in line.classes), ())
        if order[:2] == ("id", "od") and _is_larger(members[0], members[1]):
            order = ("od", "id", *order[2:])
        roles = [
            role or (order[at] if at < len(order) and order[at] not in roles else "") for at, role in enumerate(roles)
        ]
    return roles


def _is_larger(one: Member, other: Member) -> bool:
    return bool(one.number and other.number and one.unit is other.unit and one.number.value > other.number.value)


def _derive_third(line: Line, made: list[Size]) -> None:
    """Outside diameter, bore and wall of one tube: the third follows from two."""
    found = {one.role: one for one in made if one.quantity.value is not None and one.quantity.kind is Kind.LENGTH}
    od, bore, wall = found.get("od"), found.get("id"), found.get("wall")
    if od is not None and wall is not None and bore is None:
        value, role, note = _value(od) - 2 * _value(wall), "id", "outside diameter − 2 × wall"
    elif od is not None and bore is not None and wall is None and "tube" in line.classes:
        value, role, note = (_value(od) - _value(bore)) / 2, "wall", "(outside diameter − bore) / 2"
    else:
        return
    if value > 0:
        quantity = Quantity(Kind.LENGTH, value, od.quantity.unit, od.quantity.text, note=note)
        line.add(Size(quantity, role, od.span, weight=od.weight, is_derived=True))


def _value(size: Size) -> Fraction:
    return size.quantity.value if size.quantity.value is not None else Fraction(0)
