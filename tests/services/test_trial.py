"""A check without a need or a find: what the address may leave out, and that nothing is kept."""

from collections import defaultdict

import pytest
import sqlalchemy as sa
from sqlmodel import SQLModel

from server.domain.errors import NotFound
from server.domain.parts import part_classes
from server.domain.parts._kit import Example, PartClass
from server.domain.specification import KnownFrom, Role, Use
from server.domain.verdict import Outcome, Verdict
from server.services import trial
from server.services.trial_examples import WorkedExample, examples_of, worked_out
from server.storage.engine import Store

EXAMPLES = [
    pytest.param(one, example, asked, id=f"{one.key}-{place}")
    for one in part_classes().values()
    for place, (example, asked) in enumerate(zip(one.examples, examples_of(one.key), strict=True))
]
RIVET = {
    "w_body_diameter_text": "2.95 to 3.05 mm",
    "o_body_diameter_text": "3.01 mm",
    "o_body_diameter_basis": "measured",
    "o_body_diameter_instrument": "micrometer",
    "o_body_diameter_stage": "bare, will stay so",
}


def fields_of(asked: WorkedExample) -> dict[str, str | list[str]]:
    """The question as a browser sends it: a name that stands several times is a list."""
    several: dict[str, list[str]] = defaultdict(list)
    for name, text in asked.fields:
        several[name].append(text)
    return {name: texts if len(texts) > 1 else texts[0] for name, texts in several.items()}


@pytest.mark.parametrize(("one", "example", "asked"), EXAMPLES)
def test_every_worked_example_comes_out_through_the_form_as_it_is_known_to(
    sqlite_store: Store, one: PartClass, example: Example, asked: WorkedExample
) -> None:
    """The outcomes are those of the part classes' examples, each with its published source."""
    made = trial.ask(sqlite_store, one.key, fields_of(asked))
    assert made.faults == {}
    assert made.sheet is not None
    assert made.sheet.outcome is example.outcome
    assert trial.tidy(one.key, fields_of(asked)) == list(asked.fields), "the shortest form is its own shortest form"


def test_nothing_is_kept(sqlite_store: Store) -> None:
    def rows() -> dict[str, int]:
        with sqlite_store.read() as session:
            return {
                name: session.connection().execute(sa.select(sa.func.count()).select_from(table)).scalar_one()
                for name, table in SQLModel.metadata.tables.items()
            }

    before = rows()
    assert trial.ask(sqlite_store, "tubular_rivet", RIVET).sheet is not None
    assert rows() == before


def test_what_is_left_out_is_held_as_strictly_as_can_be(sqlite_store: Store) -> None:
    made = trial.ask(sqlite_store, "tubular_rivet", RIVET)
    strict = {**RIVET, "use": Use.CERTIFIED.value, "role": Role.UNKNOWN.value}
    assert made.sheet is not None
    assert made.sheet == trial.ask(sqlite_store, "tubular_rivet", strict).sheet
    assert made.sheet.probability_wanted == pytest.approx(0.975)


def test_the_shortest_form_leaves_out_what_holds_anyway_and_what_is_empty() -> None:
    given = {
        **RIVET,
        "use": Use.CERTIFIED.value,
        "offered": "tubular_rivet",
        "w_body_diameter_form": "limits",
        "w_body_diameter_known_from": "estimate",
        "w_material_text": " ",
        "w_material_known_from": "drawing",
        "o_material_basis": "measured",
        "nonsense": "1",
    }
    assert dict(trial.tidy("tubular_rivet", given)) == RIVET


def test_a_sample_needs_no_text(sqlite_store: Store) -> None:
    given = {"w_look_form": "as the sample", "o_look_text": "black, ribbed", "o_look_basis": "measured"}
    made = trial.ask(sqlite_store, "bush", given)
    assert made.sheet is not None
    row = next(row for row in made.sheet.rows if row.key == "look")
    assert row.verdict is Verdict.JUDGED


def test_faults_stand_at_their_fields_and_nothing_is_compared(sqlite_store: Store) -> None:
    given = {
        "w_bore_text": "ten",
        "o_bore_text": "10",
        "o_outside_diameter_text": "12 mm",
        "o_outside_diameter_instrument": "scale",
        "arm": "1.85 m",
        "use": "for flying",
        "drawing_unit": "furlong",
        "evidence": "a hunch",
    }
    made = trial.ask(sqlite_store, "bush", given)
    assert made.sheet is None
    assert set(made.faults) == {
        "w_bore_text",
        "o_bore_text",
        "o_outside_diameter_instrument",
        "arm",
        "use",
        "drawing_unit",
        "evidence",
    }
    assert made.typed["w_bore_text"] == "ten", "what was typed is kept"


def test_an_implausible_size_is_asked_about_and_believed_when_insisted(sqlite_store: Store) -> None:
    given = {"w_bore_text": "10 mm", "o_bore_text": "9000 mm"}
    asked = trial.ask(sqlite_store, "bush", given)
    assert "tick the box" in asked.faults["o_bore_text"]
    assert trial.ask(sqlite_store, "bush", {**given, "o_bore_sure": "yes"}).sheet is not None


def test_an_unknown_class_is_said_so(sqlite_store: Store) -> None:
    with pytest.raises(NotFound):
        trial.ask(sqlite_store, "teapot", {})
    made = trial.ask(sqlite_store, "bush", {"offered": "teapot", "w_bore_text": "10 mm"})
    assert "teapot" in made.faults["offered"]


def test_another_kind_of_part_is_asked_its_own_characteristics() -> None:
    bolt, rivet = part_classes()["bolt"], part_classes()["solid_rivet"]
    lines = {line.one.key: line for line in trial.compared_of(rivet, bolt)}
    assert lines["tail_form"].is_wanted
    assert not lines["tail_form"].is_offered
    assert lines["thread"].is_offered
    assert not lines["thread"].is_wanted
    assert lines["material"].is_wanted
    assert lines["material"].is_offered
    assert not any(line.is_offered for line in trial.compared_of(bolt, bolt) if line.one.of_place)


def test_a_source_that_a_need_would_have_to_name_is_not_asked_for(sqlite_store: Store) -> None:
    for known in KnownFrom:
        given = {**RIVET, "w_body_diameter_known_from": known.value}
        assert trial.ask(sqlite_store, "tubular_rivet", given).faults == {}


def test_nothing_typed_gives_no_answer(sqlite_store: Store) -> None:
    made = trial.ask(sqlite_store, "bush", {"use": Use.DISPLAY.value})
    assert not made.is_asked
    assert made.sheet is None


def test_the_joint_and_the_drawing_come_along(sqlite_store: Store) -> None:
    (asked, *_) = examples_of("tubular_rivet")
    made = trial.ask(sqlite_store, "tubular_rivet", fields_of(asked))
    assert made.drawings
    assert made.sheet is not None
    without = {name: text for name, text in fields_of(asked).items() if not name.startswith(("ply", "hole"))}
    bare = trial.ask(sqlite_store, "tubular_rivet", without)
    assert bare.sheet is not None
    assert bare.sheet.outcome is Outcome.NOT_PROVEN, "without its joint no length is proven"


def test_what_a_class_judges_by_its_own_rules_is_named() -> None:
    assert "Grip against the stack" in worked_out("bolt")
    assert not any(label.startswith(("Hazard", "In contact")) for key in part_classes() for label in worked_out(key))
