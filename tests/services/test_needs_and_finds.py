"""Opening needs, logging finds, and what happens when two people work on one need."""

import io
from fractions import Fraction

import pytest
from PIL import Image

from server.domain.errors import Faults, NotAllowed
from server.domain.specification import Role
from server.services import finds, needs
from server.services.matching import matches_for_find, needs_for_text
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import get_find_row
from server.storage.log import read_log
from server.storage.needs import NeedFilter, list_needs
from tests.builders import Shop, shop


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def test_a_need_keeps_what_was_typed_beside_what_was_read(made: Shop) -> None:
    number = made.need()
    made.require(number, "body_diameter", "3/32 in", known_from="manual", reference="page 12")
    need = needs.get_need(made.store, number)
    (one,) = need.requirements
    assert one.text == "3/32 in"
    assert one.quantity is not None
    assert one.quantity.value == Fraction(3, 32) * Fraction(254, 10)
    assert need.still_wanted == 40


def test_a_role_nobody_named_is_not_guessed(made: Shop) -> None:
    assert needs.get_need(made.store, made.need(role="")).role is Role.UNKNOWN


def test_every_fault_is_named_at_its_field(made: Shop) -> None:
    with pytest.raises(Faults) as refused:
        made.need(item="", part_class="hubcap", side="upper", chapter="7", step_id="99")
    assert set(refused.value.faults) == {"item", "part_class", "side", "chapter", "step_id"}


def test_a_drawing_has_to_be_named(made: Shop) -> None:
    with pytest.raises(Faults) as refused:
        made.require(made.need(), "body_diameter", "3 mm", reference="")
    assert "reference" in refused.value.faults


def test_several_numbers_in_one_field_are_several(made: Shop) -> None:
    number = made.need()
    needs.add_designation(made.store, made.restorer, number, {"text": "W 41, W 42", "kind": "schematic designator"})
    assert [one.text for one in needs.get_need(made.store, number).designations] == ["W 41", "W 42"]
    assert needs_for_text(made.store, "W42").hits[0].id == number


def test_an_empty_first_number_leaves_the_second_its_kind(made: Shop) -> None:
    """Own rule: the kind beside a number is that number's."""
    number = made.need(mark=["", "W 41", "K-9"], mark_kind=["drawing", "schematic designator", ""])
    said = [(one.text, one.kind.value) for one in needs.get_need(made.store, number).designations]
    assert said == [("W 41", "schematic designator"), ("K-9", "drawing")]


def test_a_lost_zero_is_questioned_and_never_corrected(made: Shop) -> None:
    number = made.need()
    with pytest.raises(Faults) as refused:
        made.require(number, "body_diameter", "300 mm")
    assert "really so" in refused.value.faults["text"]
    made.require(number, "body_diameter", "300 mm", sure="yes")
    assert needs.get_need(made.store, number).requirements[0].text == "300 mm"


def test_a_viewer_opens_nothing(made: Shop) -> None:
    with pytest.raises(NotAllowed):
        needs.open_need(made.store, made.viewer, {})


def test_the_second_of_two_people_sees_what_the_first_changed(made: Shop) -> None:
    number = made.need()
    opened = needs.get_need(made.store, number)
    form = {
        "item": opened.item,
        "part_class": opened.part_class,
        "aeroplane_id": str(opened.aeroplane.id),
        "role": "furnishing",
        "version": str(opened.version),
    }
    needs.change_need(made.store, made.keeper, number, {**form, "station": "frame 5"})
    with pytest.raises(needs.NeedOvertaken) as overtaken:
        needs.change_need(made.store, made.restorer, number, {**form, "station": "frame 6"})
    was, now, who = overtaken.value.changes["station"]
    assert (was, now, who) == ("", "frame 5", "Keeper")
    needs.change_need(
        made.store, made.restorer, number, {**form, "station": "frame 6", "version": str(overtaken.value.version)}
    )
    assert needs.get_need(made.store, number).station == "frame 6"


def test_withdrawing_needs_a_reason_and_deletes_nothing(made: Shop) -> None:
    number = made.need()
    with pytest.raises(Faults):
        needs.withdraw_need(made.store, made.restorer, number, "  ")
    needs.withdraw_need(made.store, made.restorer, number, "the rail was found in the loft")
    assert needs.get_need(made.store, number).withdrawn_reason == "the rail was found in the loft"
    with made.store.read() as session:
        assert list_needs(session, NeedFilter()) == []
        assert [line.id for line in list_needs(session, NeedFilter(state="withdrawn"))] == [number]
        assert "withdrew" in read_log(session, f"need/{number}")[0].did


def picture(width: int = 60, place: bool = False) -> bytes:
    image = Image.new("RGB", (width, 40), "silver")
    written = io.BytesIO()
    exif = Image.Exif()
    if place:
        exif[0x8825] = {1: "N", 2: (52.0, 0.0, 0.0)}
        exif[0x0110] = "A camera"
    image.save(written, "JPEG", exif=exif, comment=b"taken at home")
    return written.getvalue()


def test_a_find_gets_its_number_at_once_and_its_pictures_lose_their_place(made: Shop) -> None:
    number = finds.log_find(
        made.store,
        made.files,
        made.restorer,
        {"text": "seat bucket casting left, no cracks, two lugs 8 mm holes"},
        [("IMG_1.jpg", picture(place=True))],
    )
    find = finds.get_find(made.store, number)
    assert find.part_class == ""
    (photo,) = find.attachments
    content = made.files.get(photo.digest)
    with Image.open(io.BytesIO(content)) as kept:
        assert dict(kept.getexif()) == {}
        assert "comment" not in kept.info
    assert b"taken at home" not in content


def test_the_same_capture_sent_twice_is_one_find(made: Shop) -> None:
    given = {"text": "bag of eyelets", "capture_id": "phone-1"}
    first = finds.log_find(made.store, made.files, made.restorer, given)
    assert finds.log_find(made.store, made.files, made.restorer, given) == first


@pytest.mark.parametrize(
    ("content", "said"),
    [(b"MZ\x90\x00", "no photograph"), (picture(900)[:-300], "damaged"), (b"<svg onload=alert(1)>", "no photograph")],
)
def test_what_is_no_picture_is_refused_at_its_field(made: Shop, content: bytes, said: str) -> None:
    with pytest.raises(Faults) as refused:
        finds.log_find(made.store, made.files, made.restorer, {"text": "a bag"}, [("x.jpg", content)])
    assert said in refused.value.faults["photos"]


def test_eleven_pictures_are_one_too_many(made: Shop) -> None:
    with pytest.raises(Faults) as refused:
        finds.log_find(made.store, made.files, made.restorer, {"text": "a bag"}, [("x.jpg", picture())] * 11)
    assert "10" in refused.value.faults["photos"]


@pytest.mark.parametrize(
    ("said", "minor", "currency"),
    [
        ("GBP 12.50 the bag", 1250, "GBP"),
        ("€ 30", 3000, "EUR"),
        ("12,- EUR", 1200, "EUR"),
        ("two pints of bitter", None, ""),
        ("GBP 1,250.00", 125000, "GBP"),
        ("EUR 1.250,00", 125000, "EUR"),
        ("£12 10s", None, ""),
    ],
)
def test_the_price_is_kept_as_typed_beside_its_value(made: Shop, said: str, minor: int | None, currency: str) -> None:
    number = made.find(price_text=said)
    with made.store.read() as session:
        row = get_find_row(session, number)
        assert (row.price_text, row.price_minor, row.price_currency) == (said, minor, currency)


@pytest.mark.parametrize("said", ["10 g", "7 yd", "2 metres", "12 V 5 W"])
def test_a_quantity_by_measure_is_no_number_of_pieces(made: Shop, said: str) -> None:
    """Own rule: what is measured out is not counted; the words stay as typed."""
    find = finds.get_find(made.store, made.find(quantity_text=said))
    need = needs.get_need(made.store, made.need(quantity_text=said))
    assert (find.quantity_text, find.quantity) == (said, None)
    assert (need.quantity_text, need.quantity, need.still_wanted) == (said, None, None)


def test_a_find_that_fits_nothing_is_offered_when_a_need_opens(made: Shop) -> None:
    find = made.find("tubular rivets brass 3 mm")
    assert matches_for_find(made.store, find).hits == ()
    need = made.need(text="tubular rivet brass 3 mm, door lining")
    (hit,) = matches_for_find(made.store, find).hits
    assert hit.id == need


def test_a_need_is_found_by_another_name_in_other_units(made: Shop) -> None:
    need = made.need()
    made.require(need, "body_diameter", "3.0 mm")
    made.need(item="Washer, plain: door stay", part_class="washer")
    assert needs_for_text(made.store, "Hohlniet Türverkleidung 3mm").hits[0].id == need
    assert needs_for_text(made.store, "hollow rivit for dor lining").hits[0].id == need


@pytest.mark.parametrize(
    "rubbish", ["'; DROP TABLE need; --", '"', "AN470AD4-6", "* OR *", "\x00\x00", "🛩️" * 500, "(" * 5000]
)
def test_rubbish_is_answered(made: Shop, rubbish: str) -> None:
    made.need()
    needs_for_text(made.store, rubbish)
