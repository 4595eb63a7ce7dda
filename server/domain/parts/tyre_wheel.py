"""Tyres, tubes and wheels."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    cure_date,
    finish,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    word,
)
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._rubbers import cure_row
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("tyre", "Tyre", "tire", "Reifen", "pneu"),
    ("tube", "Inner tube", "Schlauch", "chambre à air"),
    ("wheel", "Wheel", "rim and hub", "Rad", "roue"),
    ("wheel and tyre", "Wheel with tyre", "complete wheel"),
    ("tail wheel", "Tail wheel, solid", "solid tyre", "Spornrad", "roulette de queue"),
    ("brake", "Brake drum or plate", "Bremse", "frein"),
)

EXAMPLES = (
    Example(
        "A barrow tyre of the right size without an aeroplane rating",
        Wanted(
            "tyre_wheel",
            (
                wants("kind_of_wheel_part", "tyre"),
                wants("tyre_size", "6.00-6"),
                wants("rim_diameter", of(Kind.LENGTH, low="151", high="154")),
                wants("rim_width", of(Kind.LENGTH, low="125", high="130")),
                wants("load_rating", of(Kind.FORCE, "7800"), form=Form.AT_LEAST),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "tyre_wheel",
            (
                measures("kind_of_wheel_part", "tyre"),
                measures("tyre_size", "6.00-6"),
                measures("rim_diameter", of(Kind.LENGTH, "152.5"), instrument="calliper"),
                measures("rim_width", of(Kind.LENGTH, "127.5"), instrument="calliper"),
                claims("load_rating", of(Kind.FORCE, "3500")),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("the load rating of a tyre is moulded on it"),
    ),
)

PART_CLASS = PartClass(
    key="tyre_wheel",
    name="Tyre or wheel",
    family="Mechanical",
    names=listed(
        "tyre, tire, inner tube, wheel, tail wheel, tailwheel, nose wheel, wheel rim, hub, brake drum, Reifen",
        "Luftschlauch, Rad, Spornrad, Bugrad, Felge, Nabe, Bremstrommel, pneu, pneumatique, chambre à air, roue",
        "roulette de queue, jante, moyeu",
    ),
    characteristics=(
        word("kind_of_wheel_part", "Kind", KINDS, essential=True),
        standard_number(),
        word(
            "tyre_size",
            "Tyre size",
            hint="As moulded, for example 6.00-6 or 750x150; the two systems don't convert.",
            concern=Concern.FIT,
            essential=True,
        ),
        length("rim_diameter", "Rim diameter at the bead", ("40", "800"), essential=True),
        length("rim_width", "Width between flanges", ("15", "500"), essential=True),
        length("outside_diameter", "Overall diameter", ("80", "2000"), "Inflated and unloaded."),
        length(
            "section_width", "Section width", ("20", "600"), "Inflated and unloaded: it has to clear fork and spat."
        ),
        size("ply_rating", "Ply rating", Kind.COUNT, ("1", "40"), concern=Concern.STRENGTH),
        size(
            "load_rating",
            "Load rating",
            Kind.FORCE,
            ("100", "300000"),
            concern=Concern.STRENGTH,
            essential=True,
            effort=2,
        ),
        size("pressure", "Pressure", Kind.PRESSURE, ("0.3", "25"), concern=Concern.STRENGTH),
        word(
            "speed_rating",
            "Speed rating",
            hint="As moulded on it; a car or barrow tyre is not rated for a landing run.",
            concern=Concern.STRENGTH,
        ),
        length("axle_bore", "Axle bore", ("3", "200"), "Of the hub or its bearings."),
        length("hub_width", "Width over the hub", ("10", "500")),
        word("valve", "Valve", hint="Kind and place, straight or bent.", concern=Concern.FIT),
        word("tread", "Tread", hint="Pattern or smooth.", concern=Concern.APPEARANCE, judged=True),
        cure_date(),
        material("Material of the wheel"),
        finish(),
        marking(),
        look(),
    ),
    checks=(at_least("load_rating", "ply_rating"), cure_row, number_rows("standard_number")),
    covers=frozenset({"load_rating", "ply_rating", "cure_date", "standard_number"}),
    cautions=(
        "An inflated tyre on a cracked or split wheel explodes: let the air out before a wheel bolt is touched.",
        "Old wheels may be magnesium: no water on burning chips. Old linings may hold asbestos.",
    ),
    draw=rings("Wheel and tyre, from the side", "axle_bore", "rim_diameter", "outside_diameter"),
    examples=EXAMPLES,
    chapter="32",
    help="Wheels, brakes' drums, tyres and tubes.",
)
