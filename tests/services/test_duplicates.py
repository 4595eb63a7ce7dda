"""Is it here already? What is asked about, what is not, and that joining loses nothing and doubles nothing."""

import io

import pytest
from PIL import Image

from server.domain.errors import Faults, NotAllowed, NotFound
from server.services import finds, needs, yard
from server.services.duplicates import finds_like, needs_like, was_captured
from server.services.held_photos import hold_photos, small_held
from server.services.joining import join_find, join_need
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import get_find_row
from server.storage.log import read_log
from tests.builders import Shop, account, shop

TEXT = "brass tubular rivets, oval head, 3 x 8 mm"


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    """A shop with a few other parts: in an empty register no word tells anything."""
    made = shop(store, files)
    for text, part_class in (("hex nut 2 BA", "nut"), ("ash strip 12 mm", "timber"), ("rubber hose, black", "hose")):
        made.find(text, part_class=part_class)
        made.need(item=text, part_class=part_class)
    return made


def photograph(shade: int = 90) -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (40, 30), (shade, 80, 70)).save(written, "PNG")
    return written.getvalue()


def supplier(made: Shop, name: str) -> str:
    return str(yard.save_supplier(made.store, made.restorer, {"name": name}))


def like(made: Shop, text: str, **given: str) -> list[int]:
    return [one.id for one in finds_like(made.store, {"text": text, **given})]


# --- finds ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text", [TEXT, "Tubular rivets brass oval head 3x8", "oval head tubular rivets in brass, 3 mm x 8 mm long"]
)
def test_the_same_thing_in_other_words_is_asked_about(made: Shop, text: str) -> None:
    find = made.find(TEXT)
    assert like(made, text) == [find]


@pytest.mark.parametrize(
    "text",
    [
        "brass tubular rivets, oval head, 4 x 8 mm",
        "steel tubular rivets, oval head, 3 x 8 mm",
        "brass solid rivets, oval head, 3 x 8 mm",
        "rivets",
        "",
    ],
)
def test_another_thing_or_next_to_nothing_is_not(made: Shop, text: str) -> None:
    made.find(TEXT)
    assert like(made, text) == []


def test_what_comes_from_somebody_else_is_not(made: Shop) -> None:
    ours, theirs = supplier(made, "Nobody & Daughters"), supplier(made, "Else Bros")
    find = made.find(TEXT, supplier_id=ours)
    assert like(made, TEXT, supplier_id=theirs) == []
    assert like(made, TEXT, supplier_id=ours) == [find]
    (one,) = finds_like(made.store, {"text": TEXT, "supplier_id": ours})
    assert one.because[0] == "the same supplier"


def test_a_withdrawn_find_is_not_asked_about(made: Shop) -> None:
    find = made.find(TEXT)
    finds.withdraw_find(made.store, made.restorer, find, "sold")
    assert like(made, TEXT) == []


def test_joining_adds_everything_to_the_find_that_is_here(made: Shop) -> None:
    find = made.find(TEXT, quantity_text="50 off", note="in a tobacco tin")
    given: dict[str, str | list[str]] = {
        "text": TEXT + ", bright",
        "quantity_text": "20 off",
        "bin": "drawer 4",
        "price_text": "GBP 4.00",
        "m1_characteristic": "body_diameter",
        "m1_text": "3.02 mm",
        "m1_basis": "measured",
        "m1_instrument": "micrometer",
        "evidence": ["tag"],
        "evidence_note": "a torn tag",
        "note": "heads a little marked",
        "further": "yes",
    }
    assert join_find(made.store, made.files, made.restorer, find, given, [("a.png", photograph())]) == find
    joined = finds.get_find(made.store, find)
    assert (joined.quantity, joined.quantity_text) == (70, "50 off + 20 off")
    assert (joined.bin, joined.price_text) == ("drawer 4", "GBP 4.00")
    assert [one.text for one in joined.statements] == ["3.02 mm"]
    assert [one.note for one in joined.proofs] == ["a torn tag"]
    assert [one.name for one in joined.attachments] == ["a.png"]
    assert joined.note.startswith("in a tobacco tin\n2026-11-24, Rosa, further pieces: ")
    assert "bright" in joined.note
    assert "heads a little marked" in joined.note
    with made.store.read() as session:
        last = read_log(session, f"find/{find}")[0]
    assert last.did == "added further pieces to the find"
    assert last.said["changes"]["quantity"] == [50, 70]


def test_the_figure_of_a_price_goes_with_its_words(made: Shop) -> None:
    """Own rule: a price in words that names no sum takes no sum from another one."""
    find = made.find(TEXT, quantity_text="50 off", price_text="a bottle")
    join_find(made.store, made.files, made.restorer, find, {"text": TEXT, "price_text": "GBP 4.00"})
    with made.store.read() as session:
        row = get_find_row(session, find)
        assert (row.price_text, row.price_minor, row.price_currency) == ("a bottle", None, "")
        assert "price: GBP 4.00" in row.note


def test_the_same_pieces_logged_twice_are_not_counted_twice(made: Shop) -> None:
    find = made.find(TEXT, quantity_text="50 off", bin="drawer 4")
    join_find(made.store, made.files, made.restorer, find, {"text": TEXT, "quantity_text": "48 off", "bin": "shelf"})
    joined = finds.get_find(made.store, find)
    assert (joined.quantity, joined.quantity_text, joined.bin) == (50, "50 off", "drawer 4")
    assert "48 off" in joined.note
    assert "lies in: shelf" in joined.note


def test_further_pieces_of_what_was_counted_have_to_be_counted(made: Shop) -> None:
    find = made.find(TEXT, quantity_text="50 off")
    with pytest.raises(Faults) as refused:
        join_find(made.store, made.files, made.restorer, find, {"text": TEXT, "further": "yes"})
    assert list(refused.value.faults) == ["quantity_text"]
    assert finds.get_find(made.store, find).quantity == 50


def test_what_was_not_counted_stays_so(made: Shop) -> None:
    find = made.find(TEXT, quantity_text="a tin")
    given = {"text": TEXT, "quantity_text": "20 off", "further": "yes"}
    join_find(made.store, made.files, made.restorer, find, given)
    joined = finds.get_find(made.store, find)
    assert (joined.quantity, joined.quantity_text) == (None, "a tin + 20 off")


def test_a_capture_sent_twice_is_added_once(made: Shop) -> None:
    find = made.find(TEXT, quantity_text="50 off")
    given = {"text": TEXT, "quantity_text": "20 off", "further": "yes", "capture_id": "phone-7"}
    for _ in range(2):
        assert join_find(made.store, made.files, made.restorer, find, given) == find
    assert finds.get_find(made.store, find).quantity == 70
    assert was_captured(made.store, "phone-7")
    # and logging it gives back the find it was added to
    assert finds.log_find(made.store, made.files, made.restorer, given) == find


def test_nothing_is_added_to_a_withdrawn_find(made: Shop) -> None:
    find = made.find(TEXT)
    finds.withdraw_find(made.store, made.restorer, find, "sold")
    with pytest.raises(Faults, match="withdrawn"):
        join_find(made.store, made.files, made.restorer, find, {"text": TEXT})


def test_who_may_join(made: Shop) -> None:
    find, need = made.find(TEXT), made.need()
    with pytest.raises(NotAllowed):
        join_find(made.store, made.files, made.viewer, find, {"text": TEXT})
    with pytest.raises(NotAllowed):
        join_need(made.store, made.viewer, need, {})


# --- photographs of a form that came back -----------------------------------------------------------------------------


def test_held_photographs_go_to_the_find_of_their_sender_once(made: Shop) -> None:
    (held,) = hold_photos(made.store, made.files, made.restorer, [("tin.png", photograph()), ("x.png", b"no picture")])
    given: dict[str, str | list[str]] = {"text": TEXT, "held": [held.digest]}
    stranger = finds.log_find(made.store, made.files, made.keeper, given)
    assert finds.get_find(made.store, stranger).attachments == ()
    own = finds.log_find(made.store, made.files, made.restorer, given)
    (kept,) = finds.get_find(made.store, own).attachments
    assert (kept.digest, kept.name, kept.media_type) == (held.digest, "tin.png", "image/jpeg")
    assert finds.get_find(made.store, finds.log_find(made.store, made.files, made.restorer, given)).attachments == ()


def test_a_paper_can_not_be_claimed_as_a_photograph(made: Shop) -> None:
    find = made.find(TEXT)
    finds.attach(made.store, made.files, made.restorer, papers=[("list.txt", b"a list")], find_id=find)
    digest = finds.get_find(made.store, find).attachments[0].digest
    other = finds.log_find(made.store, made.files, made.restorer, {"text": "a nut", "held": [digest]})
    assert finds.get_find(made.store, other).attachments == ()


def test_only_the_sender_looks_at_a_held_photograph(made: Shop) -> None:
    (held,) = hold_photos(made.store, made.files, made.restorer, [("tin.png", photograph())])
    assert small_held(made.store, made.files, made.restorer, held.digest).startswith(b"\xff\xd8")
    with pytest.raises(NotFound):
        small_held(made.store, made.files, made.keeper, held.digest)


# --- needs ------------------------------------------------------------------------------------------------------------


def wish(made: Shop, **given: str | list[str]) -> dict[str, str | list[str]]:
    return {
        "item": "Rivet, tubular: door lining rail",
        "part_class": "tubular_rivet",
        "aeroplane_id": str(made.aeroplane),
        "zone": "cabin",
        "side": "left",
        "role": "furnishing",
        "quantity_text": "12 off",
        "r1_characteristic": "body_diameter",
        "r1_text": "3.0 mm",
        "r1_known_from": "estimate",
        **given,
    }


def a_need(made: Shop, **given: str | list[str]) -> int:
    return needs.open_need(made.store, made.restorer, wish(made, quantity_text="40 off", **given))


def test_the_same_need_of_the_same_aeroplane_is_asked_about(made: Shop) -> None:
    need = a_need(made)
    assert [one.id for one in needs_like(made.store, wish(made))] == [need]
    (one,) = needs_like(made.store, wish(made, item="tubular rivet for the door lining"))
    assert one.because[0] == "the same place: cabin, left"


@pytest.mark.parametrize(
    "given",
    [{"side": "right"}, {"zone": "tail"}, {"r1_text": "4.0 mm"}, {"part_class": "solid_rivet", "item": "Rivet, solid"}],
)
def test_another_place_size_or_class_is_not(made: Shop, given: dict[str, str]) -> None:
    a_need(made)
    assert needs_like(made.store, wish(made, **given)) == ()


def test_another_aeroplane_is_not(made: Shop) -> None:
    a_need(made)
    other = yard.save_aeroplane(made.store, made.keeper, {"type": "Wren 1", "use": "static display"})
    assert needs_like(made.store, wish(made, aeroplane_id=str(other))) == ()
    assert needs_like(made.store, wish(made, aeroplane_id="")) == ()


def test_joining_a_need_adds_numbers_sources_and_more_pieces(made: Shop) -> None:
    need = a_need(made, mark=["T2-41-207"], mark_kind=["drawing"])
    given = wish(
        made,
        text="tubular rivet 3 mm, 12 off",
        further="yes",
        mark=["t2 41 207", "K-9"],
        mark_kind=["drawing", "drawing"],
        station="frame 5",
        note="two more were torn",
        r2_characteristic="material",
        r2_text="brass",
        r2_known_from="estimate",
    )
    assert join_need(made.store, made.restorer, need, given) == need
    joined = needs.get_need(made.store, need)
    assert (joined.quantity, joined.still_wanted, joined.quantity_text) == (52, 52, "40 off + 12 off")
    assert [one.text for one in joined.designations] == ["T2-41-207", "K-9"]
    assert [(one.characteristic, one.text) for one in joined.requirements] == [
        ("body_diameter", "3.0 mm"),
        ("material", "brass"),
    ]
    assert joined.station == "frame 5"
    assert "two more were torn" in joined.note
    with made.store.read() as session:
        assert read_log(session, f"need/{need}")[0].did == "added to the need: more wanted"


def test_the_same_wish_written_twice_wants_no_more(made: Shop) -> None:
    need = a_need(made)
    join_need(made.store, made.restorer, need, wish(made))
    joined = needs.get_need(made.store, need)
    assert (joined.quantity, joined.still_wanted) == (40, 40)
    assert "12 off" in joined.note


def test_a_need_that_is_no_longer_open_is_not_added_to(made: Shop) -> None:
    need = a_need(made)
    needs.withdraw_need(made.store, made.restorer, need, "found in the hold")
    assert needs_like(made.store, wish(made)) == ()
    with pytest.raises(Faults, match="withdrawn"):
        join_need(made.store, account(made.store, "gil", "restorer"), need, wish(made))
