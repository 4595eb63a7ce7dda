"""Questions and answers on a candidate: open until the decision, then part of its record."""

import io
import json

import pytest
from PIL import Image

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.services import candidates, finds, remarks, signing, verifying
from server.services.bench import bench_of
from server.storage.engine import Store
from server.storage.files import Files
from tests.builders import Shop, shop
from tests.services.test_signing import a_candidate, answers


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def a_photo() -> tuple[str, bytes]:
    written = io.BytesIO()
    Image.new("RGB", (30, 20), "teal").save(written, "PNG")
    return "tail.png", written.getvalue()


def ask(made: Shop, number: int, text: str = "Was the tail rolled or peened?") -> int:
    return remarks.add_remark(made.store, made.files, made.approver, number, {"text": text})


def answer(made: Shop, number: int, question: int) -> int:
    given = {"text": "Rolled; see the photograph.", "answered_to": str(question)}
    return remarks.add_remark(made.store, made.files, made.restorer, number, given, [a_photo()])


def test_a_question_is_answered_with_a_photograph_and_both_are_frozen(made: Shop) -> None:
    number = a_candidate(made)
    question = ask(made, number)
    answered = answer(made, number, question)
    said = candidates.get_candidate(made.store, number).remarks
    assert [(one.id, one.answers, len(one.attachments)) for one in said] == [
        (question, None, 0),
        (answered, question, 1),
    ]
    signing.sign(made.store, made.approver, number, answers(made, number))
    standing = candidates.get_candidate(made.store, number).standing
    assert standing is not None
    frozen = json.loads(standing.record)["remarks"]
    assert [one["text"] for one in frozen] == ["Was the tail rolled or peened?", "Rolled; see the photograph."]
    assert frozen[1]["attachments"][0]["digest"] == said[1].attachments[0].digest
    assert verifying.verify(made.store, made.files) == (1, [])
    made.files.path(said[1].attachments[0].digest).unlink()
    _, broken = verifying.verify(made.store, made.files)
    assert "tail.png" in broken[0].what


def test_nothing_is_said_after_the_decision(made: Shop) -> None:
    number = a_candidate(made)
    question = ask(made, number)
    signing.sign(made.store, made.approver, number, answers(made, number))
    with pytest.raises(Faults, match="decided"):
        ask(made, number)
    with pytest.raises(Faults, match="decided"):
        answer(made, number, question)
    with pytest.raises(Faults, match="decided"):
        remarks.withdraw_remark(made.store, made.approver, question, "asked in error")


def test_a_question_that_comes_while_the_sheet_is_open_is_read_before_signing(made: Shop) -> None:
    number = a_candidate(made)
    form = answers(made, number)
    remarks.add_remark(made.store, made.files, made.keeper, number, {"text": "Has anybody tried the die?"})
    with pytest.raises(Overtaken):
        signing.sign(made.store, made.approver, number, form)


def test_a_viewer_reads_and_says_nothing(made: Shop) -> None:
    number = a_candidate(made)
    with pytest.raises(NotAllowed):
        remarks.add_remark(made.store, made.files, made.viewer, number, {"text": "Nice."})


def test_only_whoever_said_it_takes_it_back_and_its_photograph_goes_along(made: Shop) -> None:
    number = a_candidate(made)
    question = ask(made, number)
    said = answer(made, number, question)
    picture = candidates.get_candidate(made.store, number).remarks[1].attachments[0]
    with pytest.raises(NotAllowed):
        finds.withdraw_attachment(made.store, made.restorer, picture.id, "not ours to take")
    with pytest.raises(NotAllowed):
        remarks.withdraw_remark(made.store, made.approver, said, "not mine")
    remarks.withdraw_remark(made.store, made.restorer, said, "the wrong bag")
    assert [one.id for one in candidates.get_candidate(made.store, number).remarks] == [question]


@pytest.mark.parametrize("given", [{"text": " "}, {"text": "To what?", "answered_to": "99"}])
def test_an_empty_remark_and_an_answer_to_nothing_are_pointed_out(made: Shop, given: dict[str, str]) -> None:
    with pytest.raises(Faults):
        remarks.add_remark(made.store, made.files, made.restorer, a_candidate(made), given)


def test_the_bench_counts_what_waits_for_an_answer(made: Shop) -> None:
    number = a_candidate(made)

    def waiting() -> int:
        return bench_of(made.store, made.restorer).questions

    assert waiting() == 0
    question = ask(made, number)
    own = remarks.add_remark(made.store, made.files, made.restorer, number, {"text": "Shall I try another?"})
    assert waiting() == 1
    assert bench_of(made.store, made.restorer).questions_on == number
    assert bench_of(made.store, made.approver).questions == 0
    said = answer(made, number, question)
    assert waiting() == 0
    remarks.withdraw_remark(made.store, made.restorer, said, "the wrong bag")
    assert waiting() == 1
    signing.sign(made.store, made.approver, number, answers(made, number))
    assert waiting() == 0
    assert own != question
