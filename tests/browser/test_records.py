"""A signed record in years to come: printed, overtaken by what is known now, withdrawn by another signed entry."""

import re

import pytest
from playwright.sync_api import expect
from sqlmodel import col, select

from server.jobs.load_seed import PASSWORD
from server.services import verifying
from server.services.candidates import get_candidate
from server.services.needs import get_need
from server.storage.tables import SignOffRow
from tests.browser.conftest import PHONE, Site, faults_of

pytestmark = pytest.mark.browser


def signed(site: Site, decision: str) -> SignOffRow:
    """The newest record of this decision."""
    with site.store.read() as session:
        wanted = select(SignOffRow).where(SignOffRow.decision == decision).order_by(col(SignOffRow.id).desc())
        row = session.exec(wanted).first()
    assert row is not None
    return row


def test_a_record_is_made_for_paper(shown: Site) -> None:
    record = signed(shown, "approved with conditions")
    page = shown.visit("maud")
    page.goto(f"/records/{record.id}")
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    page.emulate_media(media="print")
    expect(page.locator("article h1")).to_be_visible()
    for gone in (page.get_by_role("button", name="Print"), page.get_by_role("link", name="Back")):
        expect(gone).to_be_hidden()
    expect(page.locator(".imprint")).to_contain_text(record.digest)
    expect(page.locator(".imprint")).to_contain_text("Maud Ferrowby")
    # a row is never cut in two, the headings stand on every page, and so does what record a loose page is of
    assert page.locator("tbody tr").first.evaluate("one => getComputedStyle(one).breakInside") == "avoid"
    assert page.locator("thead").first.evaluate("one => getComputedStyle(one).display") == "table-header-group"
    marks = page.request.get(f"/records/{record.id}/marks.css")
    assert record.digest[:16] in marks.text()
    assert "@bottom-left" in marks.text()
    paper = page.pdf(prefer_css_page_size=True)
    assert paper.startswith(b"%PDF")
    assert len(re.findall(rb"/MediaBox \[0 0 59[45][.\d]* 84[12][.\d]*\]", paper)) >= 2, "A4, more than one page"
    assert faults_of(page) == []


@pytest.mark.parametrize("address", ["/needs/12", "/finds/3", "/candidates/23", "/", "/needs"])
def test_pages_print_without_what_is_only_for_the_screen(shown: Site, address: str) -> None:
    page = shown.visit("agnes")
    page.goto(address)
    page.emulate_media(media="print")
    for gone in (".rail", ".find-anything", "main form", "main button", ".account"):
        for one in page.locator(gone).all():
            expect(one).to_be_hidden()
    expect(page.locator("h1")).to_be_visible()


def test_an_approval_is_withdrawn_by_another_signed_entry(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    approved = signed(site, "approved")
    before = get_candidate(site.store, approved.candidate_id)
    need = before.need
    assert need.is_met
    page = site.visit("bertil", width, scripts=scripts)
    page.goto(f"/candidates/{approved.candidate_id}")
    page.get_by_text("Withdraw the approval by another signed entry").click()
    form = page.locator("form[action$='/withdraw-approval']")
    form.get_by_label("The reason").fill("ok")
    form.get_by_label("Your password, again").fill(PASSWORD)
    form.get_by_role("button", name="Sign the withdrawal").click()
    # “ok” is no reason: the form is open again, and still holds it
    expect(form.locator(".error-summary")).to_be_focused()
    expect(form.get_by_label("The reason")).to_have_value("ok")
    form.get_by_label("The reason").fill("The batch was recalled by its maker: soft heads.")
    form.get_by_label("Your password, again").fill(PASSWORD)
    form.get_by_role("button", name="Sign the withdrawal").click()
    expect(page.locator("main")).to_contain_text("Approval withdrawn")
    expect(page.locator("main")).to_contain_text(approved.digest)
    assert get_need(site.store, need.id).is_open
    page.goto(f"/candidates/{approved.candidate_id}")
    history = page.locator("section", has=page.get_by_role("heading", name="Decisions on this candidate"))
    expect(history.get_by_role("listitem")).to_have_count(len(before.decisions) + 1)
    assert verifying.verify(site.store, site.files)[1] == []
    assert faults_of(page) == []


def test_a_record_reads_on_a_phone(shown: Site) -> None:
    record = signed(shown, "approved with conditions")
    page = shown.visit("agnes", PHONE)
    page.goto(f"/candidates/{record.candidate_id}")
    # what decides stands before the drawing, the drawing before the table
    tops = [
        page.locator(one).first.evaluate("one => one.getBoundingClientRect().top + scrollY")
        for one in (".answer .verdict", "#pictures", "#rows", "#decided")
    ]
    assert tops == sorted(tops)
    assert tops[0] < 700, "the answer is on the first screen"
