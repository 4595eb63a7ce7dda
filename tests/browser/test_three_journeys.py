"""The three journeys the register exists for, in a real browser, on a phone and at a desk."""

import io
import re

import pillow_heif
import pytest
from PIL import Image
from playwright.sync_api import FilePayload, Page, expect
from sqlmodel import col, select

from server.jobs.load_seed import PASSWORD
from server.services import candidates, finds, needs, verifying
from server.services.candidates import get_candidate
from server.storage.tables import SignOffRow
from server.storage.yard import list_aeroplanes
from tests.browser.conftest import PHONE, Site, faults_of

pytestmark = pytest.mark.browser

SPOKEN = "seat bucket casting left, no cracks, two lugs 8 mm holes"


def photograph(kind: str) -> bytes:
    """A photograph as a phone sends it."""
    image = Image.new("RGB", (640, 480), "slategray")
    written = io.BytesIO()
    if kind == "heic":
        pillow_heif.from_pillow(image).save(written, quality=60)
    else:
        image.save(written, "JPEG")
    return written.getvalue()


def test_a_restorer_logs_a_salvaged_part(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    page = site.visit("jory", width, scripts=scripts)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill(SPOKEN)
    if scripts:
        # the register answers while it is being typed
        expect(page.locator("#matches")).to_contain_text("Casting, seat bucket pivot, rear seat")
    page.locator("input[type=file][multiple][name=photos]").set_input_files(
        [
            FilePayload(name="lug.jpg", mimeType="image/jpeg", buffer=photograph("jpeg")),
            FilePayload(name="IMG_0012.HEIC", mimeType="image/heic", buffer=photograph("heic")),
        ]
    )
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_contain_text("seat bucket casting left")
    expect(page.locator(".photos img")).to_have_count(2)
    page.get_by_role("button", name=re.compile("Propose for N")).first.click()
    expect(page.locator("h1")).to_contain_text("Casting, seat bucket pivot, rear seat")
    expect(page.locator("main")).to_contain_text("not proven")
    assert faults_of(page) == []


def test_what_fits_nothing_is_kept_and_offered_later(site: Site, width: int) -> None:
    page = site.visit("jory", width)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill("tail skid shoe, forged, two 7/16 holes")
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_contain_text("tail skid shoe")
    kept = page.url
    page.goto("/needs/new?text=tail+skid+shoe,+forged,+two+7/16+holes,+1+off")
    page.locator("select[name=aeroplane_id]").select_option(index=1)
    page.get_by_role("button", name="Open the need").click()
    expect(page.locator("main")).to_contain_text("may meet it")
    number = re.search(r"/finds/(\d+)", kept)
    assert number is not None
    expect(page.locator(f"a[href='/finds/{number.group(1)}']").first).to_be_visible()


@pytest.mark.parametrize(
    ("asked", "item"),
    [
        ("hinge K3 52 117", "Hinge, cabin door, lower half"),  # a drawing number torn apart
        ("H3.5217", "Hinge, cabin door, lower half"),
        ("clth lom slevng half inch black", "Sleeving, cloth, panel loom"),  # misspelt
        ("Gewebeschlauch 12,7 mm schwarz", "Sleeving, cloth, panel loom"),  # another language, other units
        ("W 41 wire", "Wire, magneto earth lead"),  # a schematic designator
    ],
)
def test_a_team_finds_the_open_need_in_any_words(shown: Site, width: int, asked: str, item: str) -> None:
    page = shown.visit("nella", width)
    page.goto("/")
    box = page.get_by_label("Search the register")
    box.fill(asked)
    box.press("Enter")
    first = page.locator("#results .ticket").first
    expect(first).to_contain_text(item)
    first.get_by_role("link", name=re.compile(item)).click()
    expect(page.locator("h1")).to_contain_text(item)
    for heading in ("What waits for it", "What the original was", "Offered for it", "Tried and asked"):
        expect(page.get_by_role("heading", name=heading)).to_be_visible()


def propose_another_kind(site: Site) -> int:
    """A semi-tubular brass rivet proposed for a tubular one of the same diameter; the candidate's number."""
    jory = site.actor("jory")
    with site.store.read() as session:
        plane = next(one for one in list_aeroplanes(session) if not one.use.flies)
    need = needs.open_need(
        site.store,
        jory,
        {
            "item": "Rivet, tubular, map pocket",
            "part_class": "tubular_rivet",
            "aeroplane_id": str(plane.id),
            "role": "furnishing",
            "quantity_text": "12 off",
        },
    )
    said = {"known_from": "drawing", "reference": "pocket sheet 2"}
    for characteristic, text in (("body_diameter", "2.95 to 3.05 mm"), ("head_style", "oval"), ("material", "brass")):
        needs.add_requirement(site.store, jory, need, {"characteristic": characteristic, "text": text, **said})
    find = finds.log_find(
        site.store, site.files, jory, {"text": "semi-tubular rivets, brass, oval", "part_class": "semi_tubular_rivet"}
    )
    for characteristic, text, instrument in (
        ("body_diameter", "3.00 mm", "micrometer"),
        ("head_style", "oval", "eye"),
        ("material", "brass", "analysis"),
    ):
        reading = {"characteristic": characteristic, "text": text, "basis": "measured", "instrument": instrument}
        finds.add_statement(site.store, jory, find, reading)
    return candidates.propose(site.store, jory, need, find)


def answer_all(page: Page, besides: str = "") -> None:
    for field in page.locator("textarea[name^=reason_]").all():
        if field.get_attribute("name") != besides:
            field.fill("Seen in the hand by two of us; a map pocket carries no load.")


def test_an_approver_signs_with_reasons(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    number = propose_another_kind(site)
    page = site.visit("agnes", width, scripts=scripts)
    page.goto(f"/candidates/{number}")
    expect(page.locator("#row-kind")).to_be_visible()
    answer_all(page, besides="reason_kind")
    page.locator("input[name=decision][value='approved with conditions']").check()
    page.locator("input[name=change_kind][value='another part or material']").check()
    page.locator("textarea[name=conditions]").fill("Only in the map pocket")
    page.locator("input[name=used]").fill("12")
    page.locator("input[name=password]").last.fill(PASSWORD)
    page.get_by_role("button", name="Sign", exact=True).click()
    # no reason for the kind: refused, nothing typed is lost
    expect(page.locator(".error-summary")).to_contain_text("There is a problem")
    expect(page.locator("textarea[name=conditions]")).to_have_value("Only in the map pocket")
    assert get_candidate(site.store, number).standing is None
    page.locator("textarea[name=reason_kind]").fill("The roll looks the same from the cabin and the back is covered.")
    page.locator("input[name=password]").last.fill(PASSWORD)
    page.get_by_role("button", name="Sign", exact=True).click()
    expect(page.locator("h1")).to_contain_text("Rivet, tubular, map pocket")
    expect(page).to_have_url(re.compile(r"/records/\d+"))
    expect(page.locator("main")).to_contain_text("Only in the map pocket")
    page.emulate_media(media="print")
    expect(page.locator(".screen-only").first).to_be_hidden()
    if scripts and width == PHONE:
        assert page.pdf(format="A4").startswith(b"%PDF")
    assert verifying.verify(site.store, site.files)[1] == []
    assert faults_of(page) == []


def test_what_changes_after_the_signature_is_shown_and_changes_nothing(site: Site) -> None:
    with site.store.read() as session:
        signed = session.exec(select(SignOffRow).where(col(SignOffRow.decision) == "approved")).first()
    assert signed is not None
    before = get_candidate(site.store, signed.candidate_id)
    measured = next(one for one in before.find.statements if one.quantity is not None and one.basis == "measured")
    jory = site.actor("jory")
    reading = {"characteristic": measured.characteristic, "text": "99 mm", "basis": "measured", "sure": "yes"}
    finds.add_statement(site.store, jory, before.find.id, reading | {"instrument": "calliper", "on": "2026-11-25"})
    page = site.visit("agnes")
    page.goto(f"/candidates/{signed.candidate_id}")
    expect(page.get_by_role("heading", name="Since then")).to_be_visible()
    after = get_candidate(site.store, signed.candidate_id)
    assert after.standing == before.standing


def test_the_second_of_two_people_loses_nothing(site: Site, width: int) -> None:
    first, second = site.visit("wim", width), site.visit("nella", width)
    for page in (first, second):
        page.goto("/needs/15/edit")
    first.locator("input[name=station]").fill("frame 5")
    first.get_by_role("button", name="Save").click()
    second.locator("textarea[name=note]").fill("Two clips are missing as well.")
    second.get_by_role("button", name="Save").click()
    expect(second.locator("main")).to_contain_text("Somebody else changed this need")
    expect(second.locator("main")).to_contain_text("frame 5")
    expect(second.locator("textarea[name=note]")).to_have_value("Two clips are missing as well.")


def test_by_keyboard_alone(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    page.keyboard.press("Tab")
    expect(page.locator("a.skip")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("/")
    expect(page.get_by_label("Search the register")).to_be_focused()
