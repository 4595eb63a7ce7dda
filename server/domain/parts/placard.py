"""Placards, plates, transfers and markings."""

from collections.abc import Iterable

from server.domain.offer import Offered
from server.domain.parts._characteristics import length, listed, look, material, one_of, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._hazards import radium_row
from server.domain.parts._kinds import allowed, number_rows
from server.domain.parts._kit import Case, Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.parts._trim_rows import plate_row, wording_row
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row

PROCESSES = one_of(
    ("engraved", "Engraved and filled", "graviert", "gravé"),
    ("etched", "Etched", "geätzt", "gravure chimique"),
    ("stamped", "Stamped or embossed", "geprägt", "estampé"),
    ("cast", "Cast", "gegossen"),
    ("enamelled", "Vitreous enamel", "Emaille", "émaillé"),
    ("transfer", "Transfer", "decal", "Abziehbild", "décalcomanie"),
    ("screen printed", "Screen printed", "Siebdruck", "sérigraphie"),
    ("printed", "Printed", "laser printed", "gedruckt"),
    ("painted", "Painted or stencilled", "stencil", "schabloniert", "pochoir"),
    ("anodised photo", "Photographic on anodised aluminium"),
)
DUTIES = one_of(
    ("identity", "Identity or data plate", "data plate", "Typenschild", "plaque signalétique"),
    ("limitation", "Operating limit", "limitation", "Betriebsgrenze"),
    ("control marking", "Marking of a control or cock", "Bedienschild"),
    ("warning", "Warning", "Warnschild"),
    ("instruction", "Instruction or filling", "Hinweisschild"),
    ("emergency", "Exit or emergency", "Notausstieg"),
    ("ornament", "Maker's badge or ornament", "badge", "Emblem"),
)


def _luminous(case: Case) -> Iterable[Row]:
    """Luminous paint is surveyed before anybody works on the plate."""
    row = radium_row(case, "luminous")
    if row is not None:
        yield row


EXAMPLES = (
    Example(
        "A limit placard with one figure wrong, for an aeroplane that flies",
        Wanted(
            "placard",
            (
                wants("duty", "limitation"),
                wants("wording", "NEVER EXCEED 145 MPH"),
                wants("process", "engraved"),
                wants("width_over_all", of(Kind.LENGTH, low="79", high="81")),
                wants("height_over_all", of(Kind.LENGTH, low="19", high="21")),
            ),
            role=Role.FURNISHING,
            use=Use.PERMIT,
        ),
        Offered(
            "placard",
            (
                measures("duty", "limitation"),
                measures("wording", "NEVER EXCEED 154 MPH"),
                measures("process", "engraved"),
                measures("width_over_all", of(Kind.LENGTH, "80"), instrument="calliper"),
                measures("height_over_all", of(Kind.LENGTH, "20"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("a placard is compared letter by letter"),
    ),
)

PART_CLASS = PartClass(
    key="placard",
    name="Placard or plate",
    family="Furnishing",
    names=listed(
        "placard, plate, data plate, name plate, label plate, transfer, decal, badge, instruction plate, Schild",
        "Hinweisschild, Typenschild, Warnschild, Abziehbild, plaquette, étiquette, plaque signalétique",
        "décalcomanie",
    ),
    characteristics=(
        word("duty", "What it is for", DUTIES, essential=True),
        word(
            "wording",
            "Wording",
            hint="Letter by letter, lines kept, as on the original or the drawing.",
            concern=Concern.FUNCTION,
            essential=True,
        ),
        word(
            "language",
            "Language",
            hint="Of the words; the local authority may ask for its own.",
            concern=Concern.FUNCTION,
        ),
        standard_number(),
        word("process", "How it is made", PROCESSES, concern=Concern.APPEARANCE, judged=True, essential=True),
        length("width_over_all", "Width over all", ("3", "2000"), general=True, essential=True),
        length("height_over_all", "Height over all", ("2", "2000"), general=True, essential=True),
        length("thickness", "Thickness", ("0.01", "20")),
        length("hole_centres", "Hole centres", ("2", "2000"), general=True),
        length("hole_diameter", "Hole diameter", ("0.5", "20")),
        length("letter_height", "Letter height", ("0.5", "1000"), "Of the capitals.", concern=Concern.FUNCTION),
        word(
            "lettering",
            "Lettering",
            hint="Face, weight, spacing; against a photograph.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        word("colours", "Colours", hint="Ground and letters.", concern=Concern.APPEARANCE, judged=True),
        word(
            "luminous",
            "Luminous",
            one_of(
                ("no", "No", "none"),
                ("radium", "Old luminous paint, may be radium", "radium"),
                ("modern", "Modern luminous paint", "photoluminescent"),
            ),
            "A plate that glowed once may still be radioactive.",
            concern=Concern.HAZARD,
            effort=4,
            tell_with=("analysis",),
        ),
        material(),
        look(),
    ),
    checks=(plate_row, wording_row, _luminous, number_rows("standard_number")),
    covers=frozenset({"duty", "luminous", "wording", "standard_number"}),
    stands_in={
        "paint_finish": allowed("it can't fall off.", "the plate.", common_practice("stencilled markings")),
    },
    cautions=(
        "Plates and switch tips that once glowed may be radium, whether they glow or not: don't scrape or open them.",
        "Placards that limit how it is flown or loaded are for the authority and the approver.",
    ),
    draw=boxes("Placard, from the front", "width_over_all", "height_over_all"),
    examples=EXAMPLES,
    chapter="11",
    help="Everything with words or signs on it.",
)
