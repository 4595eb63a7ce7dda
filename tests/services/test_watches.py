"""Watches: what they tell, whom, and that they stay within bounds."""

import pytest

from server.domain.errors import Faults, NotAllowed, NotFound
from server.services import finds, watches, yard
from server.services.bench import bench_of
from server.services.exchange import import_finds
from server.services.lines import Line
from server.services.matching import matches_for_find
from server.services.watches import end_watch, open_watch, own_watches, set_aside, watched_for
from server.services.words import decide_word, propose_word
from server.storage.engine import Store
from server.storage.files import Files
from tests.builders import Shop, account, shop


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    """A shop with a few finds: in an empty register no word tells anything."""
    made = shop(store, files)
    for text, part_class in (("hex nut 2 BA", "nut"), ("ash strip 12 mm", "timber"), ("rubber hose, black", "hose")):
        made.find(text, part_class=part_class)
    return made


def told(made: Shop) -> list[tuple[int, int]]:
    with made.store.read() as session:
        return [(one.watch_id, one.find_id) for one in watched_for(session, made.viewer)]


def test_a_find_that_is_logged_later_turns_up_on_the_owners_bench_only(made: Shop) -> None:
    watch = open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    find = made.find("brass tubular rivets, 3.0 mm, a tin")
    assert told(made) == [(watch, find)]
    (one,) = bench_of(made.store, made.viewer).watched
    assert (one.find_id, one.watch_text) == (find, "tubular rivet brass 3 mm")
    assert bench_of(made.store, made.restorer).watched == ()


def test_an_imported_find_turns_up_too(made: Shop) -> None:
    open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    lines = [Line(1, {"text": "brass tubular rivets 3 mm"}), Line(2, {"text": "birch plywood 3 mm"})]
    assert import_finds(made.store, made.files, made.restorer, lines).count == 2
    assert len(told(made)) == 1


@pytest.mark.parametrize("text", ["steel tubular rivets 3 mm", "brass tubular rivets 6 mm", "birch plywood 3 mm"])
def test_what_contradicts_the_watch_is_not_told(made: Shop, text: str) -> None:
    open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    made.find(text, part_class="")
    assert told(made) == []


def test_what_was_here_before_is_not_told(made: Shop) -> None:
    made.find("brass tubular rivets 3 mm")
    open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    assert told(made) == []


def test_filters_narrow_it(made: Shop) -> None:
    supplier = yard.save_supplier(made.store, made.restorer, {"name": "Nobody & Daughters"})
    watch = open_watch(
        made.store,
        made.viewer,
        {"q": "brass rivets", "part_class": "tubular_rivet", "supplier": str(supplier), "place": "Shelf"},
    )
    made.find("brass rivets")
    made.find("brass rivets", supplier_id=str(supplier), bin="drawer 4")
    made.find("brass rivets", supplier_id=str(supplier), bin="shelf 2", part_class="solid_rivet")
    find = made.find("brass rivets", supplier_id=str(supplier), bin="shelf 2")
    assert told(made) == [(watch, find)]
    (one,) = own_watches(made.store, made.viewer)
    assert one.further == "Rivet, tubular · from Nobody & Daughters · lying in shelf"
    assert f"supplier={supplier}" in one.url


def test_set_aside_is_for_good(made: Shop) -> None:
    watch = open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    find = made.find("brass tubular rivets 3 mm")
    set_aside(made.store, made.viewer, watch, find)
    made.measure(find, "body_diameter", "3.0 mm", instrument="micrometer")
    assert told(made) == []


def test_nobody_touches_somebody_elses_watch(made: Shop) -> None:
    watch = open_watch(made.store, made.viewer, {"q": "tubular rivet"})
    find = made.find()
    with pytest.raises(NotAllowed):
        end_watch(made.store, made.keeper, watch)
    with pytest.raises(NotAllowed):
        set_aside(made.store, made.keeper, watch, find)
    with pytest.raises(NotFound):
        end_watch(made.store, made.keeper, 999)
    assert own_watches(made.store, made.keeper) == ()


def test_an_ended_watch_and_a_withdrawn_find_tell_nothing(made: Shop) -> None:
    first = open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    find = made.find("brass tubular rivets 3 mm")
    finds.withdraw_find(made.store, made.restorer, find, "sold")
    assert told(made) == []
    end_watch(made.store, made.viewer, first)
    made.find("brass tubular rivets 3 mm, more")
    assert told(made) == []


def test_looking_makes_what_is_there_old(made: Shop) -> None:
    open_watch(made.store, made.viewer, {"q": "tubular rivet brass 3 mm"})
    made.find("brass tubular rivets 3 mm")
    (one,) = own_watches(made.store, made.viewer)
    assert (one.waiting, one.fresh) == (1, 1)
    (one,) = own_watches(made.store, made.viewer)
    assert (one.waiting, one.fresh) == (1, 0)


def test_the_shops_own_words_are_read_in_a_watch(made: Shop) -> None:
    number = propose_word(made.store, made.restorer, {"word": "wurzelkram", "means": "washer"})
    decide_word(made.store, made.keeper, number, {"decision": "accepted"})
    watch = open_watch(made.store, made.viewer, {"q": "wurzelkram 3 mm"})
    find = made.find("washers, 3 mm", part_class="")
    assert told(made) == [(watch, find)]


def test_there_is_a_bound_for_one_account_and_for_all(made: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watches, "MOST_OF_ONE", 2)
    monkeypatch.setattr(watches, "MOST_WATCHES", 3)
    assert open_watch(made.store, made.viewer, {"q": "one"}) == open_watch(made.store, made.viewer, {"q": "one"})
    open_watch(made.store, made.viewer, {"q": "two"})
    with pytest.raises(Faults, match="2 watches"):
        open_watch(made.store, made.viewer, {"q": "three"})
    open_watch(made.store, made.keeper, {"q": "three"})
    with pytest.raises(Faults, match="3 watches in all"):
        open_watch(made.store, account(made.store, "gil", "viewer"), {"q": "four"})


@pytest.mark.parametrize(
    ("given", "field"),
    [({"q": " "}, "q"), ({"q": "x", "supplier": "99"}, "supplier"), ({"q": "x", "part_class": "hubcap"}, "part_class")],
)
def test_what_can_not_be_watched_for_is_refused(made: Shop, given: dict[str, str], field: str) -> None:
    with pytest.raises(Faults) as refused:
        open_watch(made.store, made.viewer, given)
    assert list(refused.value.faults) == [field]


def test_measuring_a_find_never_takes_its_offer_away(made: Shop) -> None:
    need = made.need()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find("brass tubular rivets, 3 mm, off the fair at Oldmarket, 12 quid the bag")
    readings = (
        ("body_diameter", "3.00 mm", "micrometer"),
        ("length_under_head", "6.02 mm", "calliper"),
        ("head_diameter", "5.2 mm", "calliper"),
        ("finish", "tarnished", "eye"),
    )
    for other in ("Hex nut, 2 BA", "Strip, ash, 12 mm", "Hose, rubber, black", "Lamp, red, 12 V"):
        made.need(item=other, part_class="general")
    for characteristic, text, instrument in readings:
        made.measure(find, characteristic, text, instrument=instrument)
        assert need in offered(made, find), characteristic


def offered(made: Shop, find: int) -> list[int]:
    return [hit.id for hit in matches_for_find(made.store, find).hits]
