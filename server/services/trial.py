"""The check by itself, for a quick question at the bench: no need, no find, nothing kept.

The whole question stands in the address, so that it can be shared: `w_` and
`o_` before a characteristic's key and a field's name for what is wanted and
offered ("w_bore_text", "o_bore_instrument"), the joint's fields as on a need.
What is left out has the value that `DEFAULTS` names; it is shown on the form.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from server.domain.drawing import Drawing
from server.domain.errors import NotFound
from server.domain.offer import Basis, Evidence, Offered, Origin, Stage, Statement
from server.domain.parts import part_class, part_classes
from server.domain.parts._kit import Characteristic, PartClass
from server.domain.specification import Access, Form, Joint, KnownFrom, Layer, Requirement, Role, Use, Wanted
from server.domain.verdict import Sheet
from server.services.candidates import check_in
from server.services.drawings import drawings_of
from server.services.place import MOST_PLIES, arm_given, read_joint
from server.services.sizes import requirement_values, statement_values
from server.services.typed import Typed
from server.storage.engine import Store
from server.storage.finds import statement_of
from server.storage.needs import requirement_of
from server.storage.tables import RequirementRow, StatementRow

Fields = Mapping[str, str | list[str]]

DEFAULTS = {
    "use": Use.CERTIFIED.value,
    "role": Role.UNKNOWN.value,
    "form": Form.LIMITS.value,
    "layer": Layer.DESIGNED.value,
    "known_from": KnownFrom.ESTIMATE.value,
    "basis": Basis.CLAIMED.value,
    "stage": Stage.UNKNOWN.value,
    "access": Access.UNKNOWN.value,
    "joint_known_from": KnownFrom.ESTIMATE.value,
}
"""What holds where the address says nothing: the strictest use and role, and the weakest proof."""
WANTED_FIELDS = ("text", "form", "known_from", "layer", "uncertainty", "sure")
OFFERED_FIELDS = ("text", "basis", "instrument", "uncertainty", "stage", "sure")
PLACE_FIELDS = ("offered", "use", "role", "touches", "arm", "drawing_unit", "evidence", "origin", "finish_to_come")
PLY_FIELDS = ("name", "material", "thickness", "uncertainty")
JOINT_FIELDS = (
    "hole",
    "hole_uncertainty",
    "edge_distance",
    "pitch",
    "seat_angle",
    "access",
    "joint_known_from",
    "joint_instrument",
)
_NEEDS_REFERENCE = {KnownFrom.DRAWING.value, KnownFrom.MANUAL.value, KnownFrom.CATALOGUE.value}
_UNITS = ("", "mm", "in")


@dataclass(frozen=True, slots=True)
class Trial:
    """One question and its answer: `sheet` None while nothing is typed or something can't be read."""

    wanted_class: PartClass
    offered_class: PartClass
    typed: dict[str, str]
    many: dict[str, list[str]]
    faults: dict[str, str]
    sheet: Sheet | None = None
    drawings: tuple[Drawing, ...] = ()

    @property
    def is_asked(self) -> bool:
        """True once anything was typed about either side."""
        return any(name.startswith(("w_", "o_", "ply")) or name in JOINT_FIELDS for name in self.typed)


@dataclass(frozen=True, slots=True)
class Compared:
    """One characteristic on the form: which side may say something of it."""

    one: Characteristic
    is_wanted: bool
    is_offered: bool


def compared_of(needed: PartClass, given: PartClass) -> tuple[Compared, ...]:
    """The characteristics of both classes, the wanted one's first and in its order."""
    theirs = {one.key for one in given.characteristics if not one.of_place}
    ours = [Compared(one, True, not one.of_place and one.key in theirs) for one in needed.characteristics]
    held = {one.key for one in needed.characteristics}
    more = [Compared(one, False, True) for one in given.characteristics if not one.of_place and one.key not in held]
    return (*ours, *more)


def tidy(class_key: str, given: Fields) -> list[tuple[str, str]]:
    """The question in its shortest form: known fields in order, nothing empty, nothing that holds anyway."""
    typed = Typed(given)
    needed, offered = part_class(class_key), part_classes().get(typed.raw("offered")) or part_class(class_key)
    kept: list[tuple[str, str]] = []
    for name in PLACE_FIELDS:
        default = class_key if name == "offered" else DEFAULTS.get(name, "")
        kept += [(name, text) for text in dict.fromkeys(typed.all(name)) if text != default]
    for one in compared_of(needed, offered):
        if one.is_wanted:
            kept += _side(typed, f"w_{one.one.key}_", WANTED_FIELDS)
        if one.is_offered:
            kept += _side(typed, f"o_{one.one.key}_", OFFERED_FIELDS)
    if needed.has_joint:
        names = [f"ply{place}_{name}" for place in range(1, MOST_PLIES + 1) for name in PLY_FIELDS]
        said = [(name, typed.raw(name)) for name in (*names, *JOINT_FIELDS)]
        kept += [(name, text) for name, text in said if text and text != DEFAULTS.get(name, "")]
    return kept


def _side(typed: Typed, prefix: str, names: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The fields of one side of one characteristic; none where nothing is said of it."""
    as_sample = typed.raw(f"{prefix}form") == Form.AS_SAMPLE.value
    if not typed.raw(f"{prefix}text") and not as_sample:
        return
    for name in names:
        text = typed.raw(f"{prefix}{name}")
        if text and text != DEFAULTS.get(name, ""):
            yield f"{prefix}{name}", text


def ask(store: Store, class_key: str, given: Fields) -> Trial:
    """Read the question and answer it by this register's own rules. Nothing is kept. Raises NotFound."""
    needed = part_class(class_key)
    fields = tidy(class_key, given)
    said: dict[str, str | list[str]] = {}
    for name, text in fields:
        held = said.get(name)
        said[name] = [*(held if isinstance(held, list) else [held]), text] if held is not None else text
    typed = Typed(said)
    offered_class = _offered_class(typed, needed)
    unit = _unit(typed)
    wanted = _wanted(typed, needed, unit)
    offered = _offered(typed, offered_class, unit)
    texts = dict(fields)
    many = {name: typed.all(name) for name in said}
    trial = Trial(needed, offered_class, texts, many, dict(typed.faults))
    if typed.faults or not trial.is_asked:
        return trial
    with store.read() as session:
        sheet = check_in(session, wanted, offered)
    return replace(trial, sheet=sheet, drawings=drawings_of(wanted, offered))


def _offered_class(typed: Typed, needed: PartClass) -> PartClass:
    key = typed.raw("offered") or needed.key
    try:
        return part_class(key)
    except NotFound as unknown:
        typed.fault("offered", str(unknown))
        return needed


def _unit(typed: Typed) -> str:
    """What bare figures are in; "" where nobody said."""
    unit = typed.raw("drawing_unit")
    if unit in _UNITS:
        return unit
    typed.fault("drawing_unit", f"Bare figures are in mm, in inches, or it is not known; “{unit}” is neither.")
    return ""


def _wanted(typed: Typed, needed: PartClass, unit: str) -> Wanted:
    requirements: list[Requirement] = []
    for one in needed.characteristics:
        prefix = f"w_{one.key}_"
        if f"{prefix}text" not in typed.given and f"{prefix}form" not in typed.given:
            continue
        inner = Typed(_wanted_fields(typed.given, prefix, one.key))
        values = requirement_values(inner, needed.key, unit, prefix)
        _carry(typed, inner)
        if not inner.faults:
            requirements.append(requirement_of(RequirementRow(need_id=0, **values, created_by="")))
    use = typed.word("use", Use, "What the aeroplane will be") or Use(DEFAULTS["use"])
    role = typed.word("role", Role, "Role") or Role(DEFAULTS["role"])
    return Wanted(
        part_class=needed.key,
        requirements=tuple(requirements),
        joint=_joint(typed, unit) if needed.has_joint else None,
        role=role,
        use=use,
        touches=tuple(part.strip() for part in typed.text("touches", "What it touches").split(",") if part.strip()),
        arm=arm_given(typed),
    )


def _joint(typed: Typed, unit: str) -> Joint | None:
    inner = Typed({"joint_known_from": DEFAULTS["joint_known_from"], **typed.given})
    joint = read_joint(inner, unit)
    _carry(typed, inner)
    return joint


def _wanted_fields(given: Fields, prefix: str, key: str) -> dict[str, str | list[str]]:
    """One requirement's fields as a need's form would send them; a source that must be named is none here."""
    fields = {**given, f"{prefix}characteristic": key}
    known = str(fields.setdefault(f"{prefix}known_from", DEFAULTS["known_from"]))
    if known in _NEEDS_REFERENCE:
        fields[f"{prefix}reference"] = "not named here"
    return fields


def _offered(typed: Typed, given_class: PartClass, unit: str) -> Offered:
    statements: list[Statement] = []
    for one in given_class.characteristics:
        prefix = f"o_{one.key}_"
        if f"{prefix}text" not in typed.given or one.of_place:
            continue
        inner = Typed({**typed.given, f"{prefix}characteristic": one.key})
        values = statement_values(inner, given_class.key, prefix, unit)
        _carry(typed, inner)
        if not inner.faults:
            statements.append(statement_of(StatementRow(find_id=0, **values, created_by="")))
    return Offered(
        part_class=given_class.key,
        statements=tuple(statements),
        origin=typed.word("origin", Origin, "Where it comes from"),
        evidence=typed.words("evidence", Evidence, "Papers with it"),
        finish_to_come=typed.flag("finish_to_come"),
    )


def _carry(typed: Typed, inner: Typed) -> None:
    for name, sentence in inner.faults.items():
        typed.fault(name, sentence)
