"""Turnbuckles."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    breaking_load,
    finish,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    standard_number,
    thread,
    word,
)
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._section_drawings import thread_drawing
from server.domain.parts._sides import at_least
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

ENDS = one_of(
    ("cable eye", "Cable eye", "thimble eye", "Kauschenauge"),
    ("pin eye", "Pin eye", "eye", "Auge", "œil"),
    ("fork", "Fork", "clevis", "Gabel", "chape"),
    ("swaged", "Swaged on the cable", "swage terminal"),
    ("ball", "Ball seat"),
)


EXAMPLES = (
    Example(
        "A turnbuckle with a right-hand thread at both ends: it can't be set",
        Wanted(
            "turnbuckle",
            (
                wants("breaking_load", of(Kind.FORCE, "1600", "lbf"), form=Form.AT_LEAST),
                wants("thread_a", "10-32 UNF"),
                wants("thread_b", "10-32 UNF LH"),
                wants("end_a", "cable eye"),
                wants("end_b", "fork"),
            ),
            role=Role.CONTROL,
            use=Use.PERMIT,
        ),
        Offered(
            "turnbuckle",
            (
                claims("breaking_load", of(Kind.FORCE, "1600", "lbf")),
                measures("thread_a", "10-32 UNF", instrument="thread_gauge"),
                measures("thread_b", "10-32 UNF", instrument="thread_gauge"),
                measures("end_a", "cable eye"),
                measures("end_b", "fork"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("a turnbuckle has one left-hand end"),
    ),
)

PART_CLASS = PartClass(
    key="turnbuckle",
    name="Turnbuckle",
    family="Mechanical",
    names=listed(
        "turnbuckle, turnbarrel, strainer, rigging screw, barrel, Spannschloss, Spannschraube, tendeur, ridoir",
    ),
    characteristics=(
        standard_number(),
        breaking_load("Rated load", essential=True),
        thread("thread_a", "Thread at end A", essential=True),
        thread("thread_b", "Thread at end B, usually left hand", essential=True),
        word("end_a", "End A", ENDS, concern=Concern.FIT, essential=True),
        word("end_b", "End B", ENDS, concern=Concern.FIT, essential=True),
        length("pin_bore_a", "Pin bore at end A", ("1", "40")),
        length("pin_bore_b", "Pin bore at end B", ("1", "40")),
        length("fork_gap_a", "Fork gap at end A", ("1", "40")),
        length("fork_gap_b", "Fork gap at end B", ("1", "40")),
        length("barrel_length", "Length of barrel", ("10", "400"), general=True),
        length("length_closed", "Length pin to pin, screwed in", ("20", "900")),
        length(
            "take_up",
            "Take-up",
            ("3", "300"),
            "What it can lengthen with no more than three threads showing at each end.",
        ),
        length("cable_diameter", "Cable it is made for", ("0.5", "20")),
        word(
            "locking",
            "Locking",
            one_of(
                ("wire", "Locking wire", "Drahtsicherung", "fil frein"),
                ("clip", "Locking clip"),
                ("nut", "Lock nut", "Kontermutter"),
            ),
        ),
        material("Material of barrel and ends"),
        finish(),
        marking(),
        look(),
    ),
    checks=(thread_rows("thread_a", "thread_b"), at_least("breaking_load"), number_rows("standard_number")),
    covers=frozenset({"thread_a", "thread_b", "breaking_load", "standard_number"}),
    cautions=(
        "Locking wire is never used twice; no more than three threads show at an end. Controls are inspected twice.",
    ),
    examples=EXAMPLES,
    draw=thread_drawing("thread_a", "thread_b"),
    chapter="27",
    help="Barrel with a right-hand and a left-hand end, to set the tension of a cable or wire.",
)
