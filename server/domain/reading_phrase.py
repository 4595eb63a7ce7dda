"""One phrase of numbers in a running text: a size, a range, a product; appended to the line under reading."""

import re
from fractions import Fraction

from server.domain.reading_line import Before, Line, Member
from server.domain.reading_members import gauge_before, member_at, thread_end, thread_ready
from server.domain.reading_numbers import NUMBER_START, Number
from server.domain.reading_products import append, inherited, product, single
from server.domain.reading_sizes import IN, MM, Size, plain_quantity
from server.domain.reading_threads import Thread, ThreadCall

_TIMES = re.compile(rf"[ ]{{0,2}}(?:x|\*|by(?=[ ]))[ ]{{0,2}}(?={NUMBER_START}|ø|[sa]wg)")
_WALL_NEXT = re.compile(r"[ ](?=\.[0-9]{2,4}(?![0-9]))")
_MAX_MEMBERS = 6


def read_phrase(line: Line, at: int, before: Before) -> int | None:
    """Read the phrase that begins at this digit (or Ø) and append its sizes; its end, None if it is no size."""
    members: list[Member] = []
    end = at
    while len(members) < _MAX_MEMBERS:
        member = member_at(line, end, before if not members else Before())
        if member is None:
            break
        members.append(member)
        end = member.end
        times = _TIMES.match(line.low, end) or _tube_gap(line, member)
        if times is None:
            break
        end = times.end()
    if not members:
        return None
    made = single(line, members[0], before) if len(members) == 1 else product(line, members, before)
    if not made:
        return None
    first = before.cut if before.cut >= 0 else members[0].start
    line.cuts.append((first, members[-1].cut_end or members[-1].end))
    return members[-1].end


def _tube_gap(line: Line, member: Member) -> re.Match[str] | None:
    """ "7/8 .035": diameter and wall of a tube, the times sign left out."""
    is_bare_fraction = member.number is not None and member.number.form == "fraction" and member.unit is None
    return _WALL_NEXT.match(line.low, member.end) if is_bare_fraction else None


def add_thread(line: Line, call: ThreadCall, at: int, before: Before) -> int:
    """Append a thread call that begins with a letter ("M6x20") and the product behind it; its end."""
    member = Member(at, call.end, ready=thread_ready(line, call, at))
    if call.length:
        member.end = thread_end(line, call)
        append(line, member, before, 1)
        end = _length_behind(line, call.length_start) or call.end
    else:
        times = _TIMES.match(line.low, call.end)
        append(line, member, before, 1 if times else 0)
        end = (_length_behind(line, times.end(), call.thread) if times else None) or call.end
    line.cuts.append((before.cut if before.cut >= 0 else at, end))
    return end


def gauge_first(line: Line, at: int, before: Before) -> int | None:
    """Read "swg 16" or "awg22" at this letter; its end, None if it is no gauge."""
    member = gauge_before(line, at)
    if member is None:
        return None
    append(line, member, before, 0)
    line.cuts.append((before.cut if before.cut >= 0 else at, member.end))
    return member.end


def _length_behind(line: Line, at: int, thread: Thread | None = None) -> int | None:
    """The length behind a thread; its end, None if there is none."""
    member = member_at(line, at, Before())
    if member is None or member.number is None or member.ready:
        return None
    member.role = member.role or "len"
    if member.unit is None:
        is_inch = thread is not None and thread.form not in {"M", ""}
        member.unit = inherited(member.number, IN if is_inch else MM)
    if member.unit is None:
        return None
    append(line, member, Before(), 2)
    return member.cut_end or member.end


def lone_quantity(line: Line, at: int, end: int, value: Fraction, role: str = "", cut: int = -1) -> None:
    """Append a length in inches that was written in words ("three eighths inch")."""
    quantity = plain_quantity(Number(value, Fraction(0), "fraction", str(value)), IN, line.original[at:end])
    line.add(Size(quantity, role, (at, end)))
    line.cuts.append((cut if cut >= 0 else at, end))
