"""The shop's own words: who may, when they are read, and what the register proposes by itself."""

import pytest
import sqlalchemy as sa

from server.domain.errors import Faults, NotAllowed
from server.domain.register import WordState
from server.matching.index import VERSION
from server.matching.lexicon import standard_lexicon
from server.services import rereading, word_mining
from server.services.dictionary import lexicon_of
from server.services.matching import finds_for_text, needs_for_text, read_line
from server.services.word_mining import propose_words
from server.services.words import ShopWord, decide_word, list_words, propose_word
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import read_log
from server.storage.search_index import Scope, SearchIndex
from tests.builders import Shop, shop


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    """A shop with a few other parts: in an empty register no word tells anything."""
    made = shop(store, files)
    for text, part_class in (("hex nut 2 BA", "nut"), ("ash strip 12 mm", "timber"), ("rubber hose, black", "hose")):
        made.find(text, part_class=part_class)
        made.need(item=text, part_class=part_class)
    return made


def words(made: Shop, state: WordState = WordState.PROPOSED) -> list[ShopWord]:
    with made.store.read() as session:
        return list_words(session, state)


def accept(made: Shop, number: int) -> int:
    return decide_word(made.store, made.keeper, number, {"decision": "accepted"}).left


def rivet_word(made: Shop, word: str = "gommit", means: str = "tubular rivet") -> int:
    return propose_word(made.store, made.restorer, {"word": word, "means": means, "note": "old Hedda"})


def test_a_proposed_word_is_not_read_and_an_accepted_one_is(made: Shop) -> None:
    need = made.need()
    number = rivet_word(made, "wurzelkram")
    assert not needs_for_text(made.store, "wurzelkram").hits
    accept(made, number)
    assert [hit.id for hit in needs_for_text(made.store, "wurzelkram").hits] == [need]
    assert needs_for_text(made.store, "Wurzelkrams, lining").read[0] == "tubular rivet"


def test_records_that_hold_the_word_are_read_anew_when_it_is_accepted(made: Shop) -> None:
    find = made.find("wurzelkram, brass, a bag", part_class="")
    assert not finds_for_text(made.store, "washers").hits
    assert accept(made, rivet_word(made, "wurzelkram", "washer")) == 0
    assert [hit.id for hit in finds_for_text(made.store, "washers").hits] == [find]


def test_taking_a_word_back_unreads_it(made: Shop) -> None:
    made.find("wurzelkram, brass, a bag", part_class="")
    number = rivet_word(made, "wurzelkram", "washer")
    accept(made, number)
    assert finds_for_text(made.store, "washers").hits
    with pytest.raises(Faults) as refused:
        decide_word(made.store, made.keeper, number, {"decision": "refused"})
    assert "reason" in refused.value.faults
    decide_word(made.store, made.keeper, number, {"decision": "refused", "reason": "it is the rivets"})
    assert not finds_for_text(made.store, "washers").hits
    with made.store.read() as session:
        assert lexicon_of(session) is standard_lexicon()


def test_many_records_are_read_anew_step_by_step(made: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rereading, "AT_ONCE", 2)
    made_finds = {made.find(f"wurzelkram, brass, tin {number}", part_class="") for number in range(5)}
    assert accept(made, rivet_word(made, "wurzelkram", "washer")) == 5
    # found as before until their turn comes
    found = finds_for_text(made.store, "tin brass bag", limit=20).hits
    assert {one for hit in found for one in (hit.id, *hit.alike_ids)} >= made_finds
    assert rereading.read_anew(made.store, 2) == 3
    assert rereading.read_all_anew(made.store) == 0
    hits = finds_for_text(made.store, "washers", limit=20).hits
    assert {one for hit in hits for one in (hit.id, *hit.alike_ids)} == made_finds


def test_a_register_of_another_reading_is_refused_until_all_of_it_is_read_anew(
    made: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Own rule: what nothing finds is never passed off as not there."""
    monkeypatch.setattr(rereading, "LONG_STEP", 2)
    need = made.need()
    rereading.refuse_unread(made.store)
    with made.store.write() as session:
        rows = session.execute(sa.text("SELECT count(*) FROM search_row")).scalar_one()
        session.execute(sa.text("UPDATE search_row SET row = :row, tokens = 'told'"), {"row": bytes([VERSION - 1, 0])})
    assert not needs_for_text(made.store, "tubular rivet").hits
    with pytest.raises(rereading.Unread, match="makegood upgrade"):
        rereading.refuse_unread(made.store)
    assert rereading.bring_up_to_date(made.store) == rows == 7
    rereading.refuse_unread(made.store)
    assert [hit.id for hit in needs_for_text(made.store, "tubular rivet").hits] == [need]
    with made.store.read() as session:
        assert SearchIndex(session, Scope("need")).doc_counts(["tnut", "told"]) == {"tnut": 2}
    assert rereading.bring_up_to_date(made.store) == 0


def test_reading_on_counts_the_words_anew(made: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rereading, "AT_ONCE", 0)
    made.find("wurzelkram, brass", part_class="")
    accept(made, rivet_word(made, "wurzelkram", "washer"))
    assert rereading.read_all_anew(made.store) == 0
    with made.store.read() as session:
        assert SearchIndex(session, Scope("find")).doc_counts(["twasher"]) == {"twasher": 1}


def test_two_registers_never_share_their_words(made: Shop, sqlite_store: Store) -> None:
    accept(made, rivet_word(made, "wurzelkram"))
    with made.store.read() as session:
        own = lexicon_of(session)
        assert own is lexicon_of(session)
        assert "wurzelkram" in own.senses
    if sqlite_store is not made.store:
        with sqlite_store.read() as session:
            assert lexicon_of(session) is standard_lexicon()


def test_the_opening_line_is_read_by_the_word_too(made: Shop) -> None:
    accept(made, rivet_word(made, "wurzelkram"))
    assert read_line(made.store, "wurzelkram brass 3 mm, door lining").typed["part_class"] == "tubular_rivet"


def test_who_may(made: Shop) -> None:
    with pytest.raises(NotAllowed):
        propose_word(made.store, made.viewer, {"word": "wurzelkram", "means": "bolt"})
    number = rivet_word(made)
    for actor in (made.restorer, made.approver):
        with pytest.raises(NotAllowed):
            decide_word(made.store, actor, number, {"decision": "accepted"})
        with pytest.raises(NotAllowed):
            propose_words(made.store, actor)
    with made.store.read() as session:
        assert [line.did for line in read_log(session, f"word/{number}")] == ["proposed “gommit” for Rivet, tubular"]


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"word": "", "means": "bolt"}, "word"),
        ({"word": "12", "means": "bolt"}, "word"),
        ({"word": "for it", "means": "bolt"}, "word"),
        ({"word": "one two three four five six", "means": "bolt"}, "word"),
        ({"word": "wurzelkram", "means": "nothing anybody knows"}, "means"),
        ({"word": "wurzelkram", "means": "AN470"}, "means"),
        ({"word": "wurzelkram", "means": ""}, "means"),
        ({"word": "tubular rivet", "means": "tubular rivet"}, "word"),
        ({"word": "wurzelkram", "means": "bolt", "language": "xx"}, "language"),
        ({"word": "3 mm", "means": "bolt"}, "word"),
    ],
)
def test_what_is_no_word_is_refused_at_its_field(made: Shop, given: dict[str, str], field: str) -> None:
    with pytest.raises(Faults) as refused:
        propose_word(made.store, made.restorer, given)
    assert list(refused.value.faults) == [field]


def test_a_word_with_two_meanings_has_to_be_told_apart(made: Shop) -> None:
    with pytest.raises(Faults) as refused:
        propose_word(made.store, made.restorer, {"word": "wurzelkram", "means": "Schlauch"})
    assert "several things" in refused.value.faults["means"]


def test_a_word_is_entered_once(made: Shop) -> None:
    rivet_word(made)
    with pytest.raises(Faults) as refused:
        rivet_word(made, "Gommit")
    assert "before" in refused.value.faults["word"]


def test_the_keeper_may_correct_what_it_means(made: Shop) -> None:
    number = rivet_word(made, "wurzelkram")
    decide_word(made.store, made.keeper, number, {"decision": "accepted", "means": "washer"})
    (word,) = words(made, WordState.ACCEPTED)
    assert (word.meaning, word.decided_by) == ("washer", "Keeper")


def test_the_count_says_in_how_many_records_it_stands(made: Shop) -> None:
    made.find("gommits, brass")
    made.need(item="Rivet, tubular: gommit of the door")
    rivet_word(made)
    assert [word.records for word in words(made)] == [2]


# --- what the register proposes by itself -----------------------------------------------------------------------------


def test_what_stands_beside_a_known_part_again_and_again_is_proposed(made: Shop) -> None:
    for place in range(3):
        made.find(f"wurzelkram {place + 2} mm", part_class="tubular_rivet")
        made.find(f"flanselgut {place + 2} mm", part_class="washer")
    (one, other) = (word.word for number in [propose_words(made.store, made.keeper)] if number for word in words(made))
    assert {one, other} == {"wurzelkram", "flanselgut"}
    found = {word.word: word for word in words(made)}
    assert found["wurzelkram"].meaning == "tubular_rivet"
    assert found["wurzelkram"].proposed_by == "the register"
    assert len(found["wurzelkram"].found_in) == 3
    assert found["wurzelkram"].found_in[0][1].startswith("/finds/")


def test_what_stands_beside_everything_is_not(made: Shop) -> None:
    for place in range(4):
        made.find(f"zubbelig {place + 2} mm", part_class="tubular_rivet")
        made.find(f"zubbelig {place + 2} mm", part_class="washer")
        made.find(f"zubbelig {place + 2} mm", part_class="nut")
    assert propose_words(made.store) == ()


def test_two_votes_are_too_few(made: Shop) -> None:
    for place in range(2):
        made.find(f"wurzelkram {place + 2} mm")
    made.find("plain nut", part_class="nut")
    assert propose_words(made.store) == ()


def test_a_phrase_is_proposed_whole(made: Shop) -> None:
    for place in range(3):
        made.find(f"hummel zinken {place + 2} mm", part_class="tubular_rivet")
        made.find(f"plain nut {place}", part_class="nut")
    propose_words(made.store)
    assert [word.word for word in words(made)] == ["hummel zinken"]


def test_names_of_people_and_aeroplanes_are_no_words(made: Shop) -> None:
    for place in range(3):
        made.find(f"rivet {place + 2} mm, Plover, Rosa")
        made.find(f"plain nut {place}", part_class="nut")
    assert propose_words(made.store) == ()


def test_what_was_refused_is_not_proposed_again(made: Shop) -> None:
    for place in range(3):
        made.find(f"wurzelkram {place + 2} mm")
        made.find(f"plain nut {place}", part_class="nut")
    (number,) = propose_words(made.store)
    decide_word(made.store, made.keeper, number, {"decision": "refused", "reason": "nobody says that"})
    assert propose_words(made.store) == ()


def test_a_large_register_asks_for_more_votes(made: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(word_mining, "FEW_RECORDS", 4)
    for place in range(4):
        made.find(f"wurzelkram {place + 2} mm")
        made.find(f"plain nut {place}", part_class="nut")
    assert propose_words(made.store) == ()
    made.find("wurzelkram, a handful")
    assert len(propose_words(made.store)) == 1
