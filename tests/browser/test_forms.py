"""What a form must never do: lose what was typed, send twice, or leave somebody without a word."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import FilePayload, Page, Route, expect
from sqlmodel import select

from server.jobs.load_seed import PASSWORD
from server.services import candidates
from server.storage.tables import CandidateRow, FindRow, SessionRow, SignOffRow
from tests.browser.conftest import DESK, PHONE, Demonstration, Site, faults_of, serve
from tests.browser.test_every_page import TOO_WIDE

pytestmark = pytest.mark.browser

LINE = "semi tubular rivet brass oval hd 3/32 x 5/16, door lining, 40 off"
ENDLESS = "Verbindungsschraube" * 12
"""A word that no line holds: 228 letters without a blank."""


def waits(site: Site) -> int:
    """A candidate that waits for the signature and has something to answer."""
    with site.store.read() as session:
        lines = candidates.list_candidates(session, undecided=True)
    return next(one.id for one in lines if one.proposed_by != "Agnes Thorncote" and one.outcome == "not proven")


def count(site: Site, table: type) -> int:
    with site.store.read() as session:
        return len(list(session.exec(select(table))))


def test_a_refused_signature_leads_to_its_faults(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    before = count(site, SignOffRow)
    page = site.visit("agnes", width, scripts=scripts)
    page.goto(f"/candidates/{waits(site)}")
    page.locator("textarea[name=conditions]").fill("Mark the part\nInspect after 10 hours")
    page.get_by_role("button", name="Sign", exact=True).click()
    summary = page.locator("form[action$='/sign'] .error-summary")
    expect(summary).to_be_focused()
    expect(page).to_have_title(re.compile("^Error: "))
    expect(page.locator("textarea[name=conditions]")).to_have_value("Mark the part\nInspect after 10 hours")
    # each fault leads to its field, and the field says it too
    first = summary.locator("a[href^='#f-reason_']").first
    field = page.locator(first.get_attribute("href") or "")
    first.click()
    expect(field).to_be_focused()
    expect(field).to_have_attribute("aria-invalid", "true")
    assert count(site, SignOffRow) == before
    assert faults_of(page) == []


def test_a_need_is_opened_from_one_line(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    page = site.visit("wim", width, scripts=scripts)
    page.goto("/needs/new")
    page.get_by_label("In one line").fill(LINE)
    page.get_by_role("button", name="Read it").click()
    read = page.locator("section", has_text="Read out of the line")
    for said in ("Rivet, semi-tubular", "40 off", "brass", "oval", "3/32 in", "5/16 in"):
        expect(read).to_contain_text(said)
    # what the line does not say is asked for, and nothing typed is lost by that
    page.get_by_label("Zone").fill("cabin door")
    page.get_by_role("button", name="Open the need").click()
    expect(page.locator(".error-summary")).to_be_focused()
    expect(page.get_by_label("Zone")).to_have_value("cabin door")
    page.get_by_label("Aeroplane").select_option(index=1)
    page.get_by_role("button", name=re.compile("Open the need|Open it all the same|anyway", re.IGNORECASE)).last.click()
    expect(page.locator("h1")).to_contain_text("Rivet, semi-tubular")
    original = page.get_by_role("table", name="What the original was")
    for said in ("brass", "oval", "3/32 in", "5/16 in", "estimate"):
        expect(original).to_contain_text(said)
    assert faults_of(page) == []


def test_the_measuring_rows_keep_what_was_typed(shown: Site) -> None:
    page = shown.visit("jory", PHONE)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill("seat bucket casting left")
    page.locator("input[name=m1_text]").fill("8 mm")
    page.locator("select[name=m1_basis]").select_option("measured")
    page.locator("select[name=part_class]").select_option("casting")
    expect(page.locator("select[name=m1_characteristic] option", has_text="Lug thickness")).to_have_count(1)
    expect(page.locator("input[name=m1_text]")).to_have_value("8 mm")
    expect(page.locator("select[name=m1_basis]")).to_have_value("measured")
    assert faults_of(page) == []


def test_no_signal_and_a_failing_register_are_said(shown: Site) -> None:
    page = shown.visit("jory", PHONE)
    page.goto("/finds/new")
    said = page.locator("#live")
    box = page.locator("textarea[name=text]")
    page.route("**/finds/matches*", lambda route: route.fulfill(status=500, body="<p>broken</p>"))
    box.fill("seat bucket casting")
    expect(said).to_contain_text("The register failed")
    page.unroute("**/finds/matches*")
    page.context.set_offline(True)
    box.fill("seat bucket casting left")
    expect(said).to_contain_text("No answer from the register")
    page.context.set_offline(False)
    box.fill("seat bucket casting left, no cracks")
    expect(page.locator("#matches")).to_contain_text("Read as")
    expect(said).to_be_empty()
    expect(box).to_have_value("seat bucket casting left, no cracks")


def sign_out_behind_their_back(site: Site) -> None:
    with site.store.write() as session:
        for row in session.exec(select(SessionRow)):
            session.delete(row)


def test_whoever_was_signed_out_meanwhile_loses_nothing(site: Site) -> None:
    page = site.visit("jory", PHONE)
    page.goto("/finds/new")
    sign_out_behind_their_back(site)
    page.locator("textarea[name=text]").fill("aileron bracket, bent")
    expect(page.locator("#matches")).to_contain_text("You are signed out")
    expect(page.locator("textarea[name=text]")).to_have_value("aileron bracket, bent")
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_have_text("You are signed out")
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Sign in in another tab").click()
    other = opened.value
    other.locator("input[name=sign_in]").fill("jory")
    other.locator("input[name=password]").fill(PASSWORD)
    other.locator("main").get_by_role("button", name="Sign in").click()
    expect(other.locator("h1")).to_have_text("Bench")
    page.reload()  # the browser sends the form once more
    expect(page.locator("h1")).to_contain_text("aileron bracket, bent")


def test_two_taps_send_once(site: Site) -> None:
    page = site.visit("jory", PHONE)
    page.goto("/")
    before = count(site, CandidateRow)
    sent: list[str] = []

    def slowly(route: Route) -> None:
        if route.request.method == "POST":
            sent.append(route.request.url)
            page.wait_for_timeout(300)
        route.continue_()

    page.route("**/propose/*", slowly)
    button = page.get_by_role("button", name="Propose it").first
    button.evaluate("one => { one.click(); one.click(); }")
    expect(page).to_have_url(re.compile("/candidates/"))
    assert len(sent) == 1
    assert count(site, CandidateRow) == before + 1


def test_sending_a_capture_again_keeps_one_find(site: Site) -> None:
    page = site.visit("jory", PHONE, scripts=False)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill("odd bracket, three holes")
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_contain_text("odd bracket")
    kept = page.locator(".balloon").first.text_content() or ""
    number = count(site, FindRow)
    page.go_back()
    if page.locator("textarea[name=text]").input_value():  # the browser brought the form back as it was sent
        page.get_by_role("button", name="Keep this find").click()
        # the same again, or the question whether it is here already: never a second one unasked
        expect(page.locator("main")).to_contain_text(kept)
    assert count(site, FindRow) == number


def test_back_comes_back_to_the_search(shown: Site) -> None:
    page = shown.visit("nella", PHONE)
    page.goto("/search")
    box = page.locator("#wide")
    box.press_sequentially("hinge", delay=30)
    found = page.locator("#results .ticket h3 a").first
    expect(found).to_contain_text("Hinge")
    expect(page).to_have_url(re.compile("q=hinge"))
    found.click()
    expect(page.locator("h1")).to_contain_text("Hinge")
    page.go_back()
    expect(page.locator("h1")).to_have_text("Search")
    expect(page.locator("#wide")).to_have_value("hinge")
    expect(page.locator("#results .ticket").first).to_contain_text("Hinge")
    assert faults_of(page) == []


def test_a_long_list_goes_on(shown: Site) -> None:
    page = shown.visit("maud", DESK)
    page.goto("/finds")
    total = int((page.locator("main .list > [role=status]").text_content() or "").split()[0])
    seen: set[str] = set()
    while True:
        seen |= {link.get_attribute("href") or "" for link in page.locator("table.stack tbody td a").all()}
        more = page.get_by_role("link", name="Show more")
        if not more.count():
            break
        more.click()
        expect(page.get_by_role("link", name="Back to the start")).to_be_visible()
        page.wait_for_load_state()
    assert len(seen) == total > 100


def test_an_endless_word_breaks_no_page(site: Site) -> None:
    page = site.visit("jory", 320)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill(ENDLESS)
    page.locator("input[name=bin]").fill("B" * 60)
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_contain_text(ENDLESS)
    find = page.url.split("?")[0]
    for address in (find, f"{find}/tag", f"{find}/edit", "/finds", f"/search?q={ENDLESS}", "/", "/log"):
        page.goto(address)
        assert page.evaluate(TOO_WIDE) == [], address


@pytest.fixture
def narrow_site(
    demonstration: Demonstration, site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Site]:
    """A register that takes one MB in one go, so that a test need not send a hundred."""
    monkeypatch.setattr("server.app.MAX_BODY", 1024 * 1024)
    yield from serve(site.settings.folder, site.browser, demonstration.cookies)


def test_too_much_at_once_is_said_on_a_page(narrow_site: Site) -> None:
    page = narrow_site.visit("jory", PHONE, scripts=False)
    page.goto("/finds/new")
    page.locator("textarea[name=text]").fill("much too much")
    big = b"\xff\xd8\xff" + bytes(3 * 1024 * 1024)
    noise: FilePayload = {"name": "big.jpg", "mimeType": "image/jpeg", "buffer": big}
    page.locator("input[type=file][multiple][name=photos]").set_input_files([noise])
    page.get_by_role("button", name="Keep this find").click()
    expect(page.locator("h1")).to_have_text("Too big to take")
    expect(page.locator("main")).to_contain_text("At most 1 MB")
    page.go_back()
    expect(page.locator("textarea[name=text]")).to_have_value("much too much")


def test_a_withdrawal_without_a_reason_comes_back(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    page = site.visit("jory", width, scripts=scripts)
    page.goto("/finds/3")
    section = page.locator("section", has=page.get_by_role("heading", name="Claimed and measured"))
    folded = section.locator("details.withdraw")
    folded.locator("summary").click()
    folded.get_by_role("button", name="Withdraw it").first.click()
    expect(page.locator(".error-summary")).to_be_focused()
    form = page.locator("details.withdraw[open] form").first
    form.locator("input[name=reason]").fill("read off the wrong piece")
    form.get_by_role("button", name="Withdraw it").click()
    expect(page.locator(".notice")).to_contain_text("Withdrawn, with its reason")
    assert faults_of(page) == []


def test_a_viewer_is_offered_nothing_to_write(shown: Site) -> None:
    page: Page = shown.visit("maud", DESK)
    for address in ("/", "/needs/12", "/finds/3", "/needs", "/finds", "/candidates/2"):
        page.goto(address)
        forms = page.locator("main form[method=post]")
        assert forms.count() == 0, address
        expect(page.locator("main a[href$='/new']")).to_have_count(0)
