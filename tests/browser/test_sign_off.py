"""A sign-off from the proposal to what is found out years later, by the people it takes, in a real browser."""

import re

import pytest
from playwright.sync_api import Page, expect
from sqlmodel import col, select

from server.jobs.load_seed import PASSWORD
from server.services import accounts, candidates, finds, needs, verifying
from server.storage.tables import SignOffRow
from server.storage.yard import list_aeroplanes
from tests.browser.conftest import PHONE, Site, faults_of

pytestmark = pytest.mark.browser

ROWS = {"body_diameter": "2.95 to 3.05 mm", "head_style": "oval", "material": "brass"}


def want_and_find(site: Site) -> tuple[int, int]:
    """A systems rivet wanted on the aeroplane that will fly, and a find with nothing measured; their numbers."""
    jory = site.actor("jory")
    with site.store.read() as session:
        plane = next(one for one in list_aeroplanes(session) if one.use.flies)
    need = needs.open_need(
        site.store,
        jory,
        {
            "item": "Rivet, tubular, fuse board",
            "part_class": "tubular_rivet",
            "aeroplane_id": str(plane.id),
            "role": "systems",
            "quantity_text": "4 off",
        },
    )
    for characteristic, text in ROWS.items():
        said = {"characteristic": characteristic, "text": text, "known_from": "drawing", "reference": "board sheet 1"}
        needs.add_requirement(site.store, jory, need, said)
    find = finds.log_find(
        site.store,
        site.files,
        jory,
        {"text": "tubular rivets, brass, oval, 3 mm", "part_class": "tubular_rivet", "quantity_text": "20 off"},
    )
    return need, find


def enter(page: Page, find: int, characteristic: str, text: str, instrument: str) -> None:
    """One measurement, as it is entered on the find's own page."""
    page.goto(f"/finds/{find}")
    form = page.locator(f"form[action='/finds/{find}/statements']")
    if not form.is_visible():
        page.locator("details", has=form).locator("summary").first.click()
    form.locator("select[name=characteristic]").select_option(characteristic)
    form.locator("[name=text]").fill(text)
    form.locator("select[name=basis]").select_option("measured")
    form.locator("select[name=instrument]").select_option(instrument)
    form.get_by_role("button").last.click()
    # the page that comes back, not the one that is left: going on too early would call the entry off
    expect(page).to_have_url(re.compile(rf"/finds/{find}\?said="))


def test_proposed_measured_again_stopped_answered_signed_and_what_came_later(
    site: Site, seat: tuple[int, bool]
) -> None:
    width, scripts = seat
    need, find = want_and_find(site)

    restorer = site.visit("jory", width, scripts=scripts)
    restorer.goto(f"/finds/{find}")
    restorer.locator(f"form[action='/needs/{need}/propose/{find}'] button").first.click()
    expect(restorer.locator("h1")).to_contain_text("Rivet, tubular, fuse board")
    sheet = "/" + restorer.url.split("?")[0].split("/", 3)[3]
    number = int(sheet.rsplit("/", 1)[1])

    inspector = site.visit("nella", width, scripts=scripts)
    for characteristic, text, instrument in (
        ("body_diameter", "3.00 mm", "micrometer"),
        ("head_style", "oval", "eye"),
        ("material", "brass", "analysis"),
    ):
        enter(inspector, find, characteristic, text, instrument)

    approver = site.visit("agnes", width, scripts=scripts)
    approver.goto(sheet)
    expect(approver.locator("tr", has=approver.locator("#row-body_diameter"))).to_contain_text("Nella Obermoor")
    shown = candidates.get_candidate(site.store, number).sheet
    open_rows = [f"reason_{row.key}" for row in shown.to_answer]
    assert open_rows, "a sheet with nothing to answer tells nothing here"
    for name in open_rows[1:]:
        approver.locator(f"textarea[name='{name}']").fill("Measured by Nella; the board hangs on four of them.")
    approver.locator("input[name=decision][value='approved with conditions']").check()
    approver.locator("textarea[name=conditions]").fill("Looked at again, due next annual")
    approver.locator("input[name=change_kind][value='another part or material']").check()
    approver.locator("input[name=change_critical][value='no']").check()
    approver.locator("textarea[name=change_data]").fill("Board sheet 1; the readings on this sheet")
    approver.locator("input[name=change_authority][value='need not be asked']").check()
    approver.locator("textarea[name=change_authority_said]").fill("Permit office letter of May: fuse board is ours.")
    approver.locator("input[name=password]").last.fill(PASSWORD)
    approver.get_by_role("button", name="Sign", exact=True).click()

    # one row has no reason: nothing is signed, and nothing typed is lost
    expect(approver.locator(".error-summary")).to_contain_text("There is a problem")
    expect(approver.locator("textarea[name=conditions]")).to_have_value("Looked at again, due next annual")
    assert candidates.get_candidate(site.store, number).standing is None
    approver.locator(f"textarea[name='{open_rows[0]}']").fill("Four off a drawer of the maker of the board.")
    approver.locator("input[name=password]").last.fill(PASSWORD)
    approver.get_by_role("button", name="Sign", exact=True).click()
    expect(approver).to_have_url(re.compile(r"/records/\d+"))
    expect(approver.locator("main")).to_contain_text("Looked at again")
    record = "/" + approver.url.split("?")[0].split("/", 3)[3]
    approver.emulate_media(media="print")
    expect(approver.locator(".screen-only").first).to_be_hidden()
    approver.emulate_media(media="screen")
    paper = approver.context.request.get(f"{record}/pdf")
    assert paper.status == 200
    assert paper.body().startswith(b"%PDF")
    plane = candidates.get_candidate(site.store, number).need.aeroplane.id
    approver.goto(f"/aeroplanes/{plane}/conditions")
    expect(approver.locator("main")).to_contain_text("Looked at again")

    # later somebody measures again, and it is less than was thought: the record stays, and says what differs
    before = approver.context.request.get(f"{record}/json").body()
    enter(inspector, find, "body_diameter", "2.80 mm", "micrometer")
    approver.goto(sheet)
    expect(approver.get_by_role("heading", name="Since then")).to_be_visible()
    expect(approver.locator("main")).to_contain_text("2.80 mm")
    assert approver.context.request.get(f"{record}/json").body() == before
    assert verifying.verify(site.store, site.files)[1] == []
    assert [*faults_of(restorer), *faults_of(inspector), *faults_of(approver)] == []


def test_two_people_sign_and_neither_of_them_twice(site: Site, width: int) -> None:
    with site.store.read() as session:
        firsts = session.exec(
            select(SignOffRow).where(SignOffRow.decision == "first signature").order_by(col(SignOffRow.id).desc())
        ).all()
    sheets = [candidates.get_candidate(site.store, one.candidate_id) for one in firsts]
    waiting = next(one for one in sheets if one.standing is None)
    sheet = f"/candidates/{waiting.id}"
    first = site.visit("agnes", width)
    first.goto(sheet)
    expect(first.locator("main")).to_contain_text("the second has to be another person’s")
    expect(first.locator("form[action$='/sign']")).to_have_count(0)
    second = site.visit("bertil", width)
    second.goto(sheet)
    second.locator("input[name=decision][value='approved']").check()
    second.locator("#f-reason").fill("as discussed")
    second.locator("input[name=password]").last.fill(PASSWORD)
    second.get_by_role("button", name="Give the second signature").click()
    expect(second.locator(".error-summary")).to_contain_text("There is a problem")
    second.locator("#f-reason").fill("Gauged five of the batch myself and read the plater’s card.")
    second.locator("input[name=password]").last.fill(PASSWORD)
    second.get_by_role("button", name="Give the second signature").click()
    expect(second).to_have_url(re.compile(r"/records/\d+"))
    for name in ("Agnes Thorncote", "Bertil Okonmark"):
        expect(second.locator("main")).to_contain_text(name)
    assert verifying.verify(site.store, site.files)[1] == []
    assert [*faults_of(first), *faults_of(second)] == []


def test_an_authority_that_ran_out_signs_nothing(site: Site) -> None:
    need, find = want_and_find(site)
    number = candidates.propose(site.store, site.actor("jory"), need, find)
    agnes = site.actor("agnes")
    held = {"name": agnes.name, "role": "approver", "is_active": "yes", "licence_kind": agnes.licence_kind}
    held |= {"licence_number": agnes.licence_number, "licence_until": "2026-01-31", "version": "1"}
    accounts.change_account(site.store, site.actor("hedda"), agnes.id, held)
    page = site.visit("agnes", PHONE)
    page.goto(f"/candidates/{number}")
    expect(page.locator("main")).to_contain_text("ran out on 2026-01-31")
    expect(page.locator("form[action$='/sign']")).to_have_count(0)
    assert faults_of(page) == []
