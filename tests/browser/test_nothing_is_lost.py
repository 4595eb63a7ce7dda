"""Two people on one record, and what was withdrawn, in real browsers: nothing typed or kept goes unseen. Own rules."""

import pytest
from playwright.sync_api import Page, expect
from sqlmodel import col, select

from server.services import candidates, finds, needs
from server.storage.tables import NeedRow
from tests.browser.conftest import DESK, PHONE, Site, faults_of
from tests.browser.test_every_page import TOO_WIDE, violations

pytestmark = pytest.mark.browser

JOINT = {"ply1_name": "rail", "hole": "3.1 mm", "joint_known_from": "drawing", "joint_reference": "X 41"}


def looks_right(page: Page) -> None:
    """No fault of axe's, nothing sideways, no console error."""
    assert violations(page) == []
    assert page.evaluate(TOO_WIDE) == []
    assert faults_of(page) == []


def test_two_people_at_one_joint(site: Site, seat: tuple[int, bool]) -> None:
    width, scripts = seat
    with site.store.read() as session:
        open_rivets = select(NeedRow.id).where(
            NeedRow.part_class == "tubular_rivet", col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None)
        )
        number = session.exec(open_rivets.order_by(col(NeedRow.id))).first()
    assert number is not None
    page = site.visit("jory", width, scripts=scripts)
    page.goto(f"/needs/{number}")
    version = str(needs.get_need(site.store, number).version)
    needs.set_joint(site.store, site.actor("nella"), number, JOINT | {"pitch": "30 mm", "version": version})
    form = page.locator("form[action$='/joint']")
    if not form.is_visible():
        page.locator("details:has(form[action$='/joint']) > summary").first.click()
    form.locator("[name=ply1_name]").fill("rail, planed")
    form.locator("[name=hole]").fill("3.5 mm")
    form.locator("[name=joint_known_from]").select_option("drawing")
    form.locator("[name=joint_reference]").fill("X 41")
    form.get_by_role("button", name="Keep the joint").click()
    said = page.locator("form[action$='/joint'] .refused")
    expect(said).to_be_focused()
    expect(said.get_by_role("row", name="Joint pitch")).to_contain_text("30 mm")
    expect(form.locator("[name=hole]")).to_have_value("3.5 mm")
    if scripts:
        looks_right(page)
    form.locator("[name=pitch]").fill("30 mm")
    form.get_by_role("button", name="Keep the joint").click()
    page.locator("details:has(.log-details) > summary").last.click()
    expect(page.locator(".log-details").first).to_contain_text("Joint hole: 3.1 mm became 3.5 mm")
    joint = needs.get_need(site.store, number).joint
    assert joint is not None
    assert joint.pitch is not None


def test_two_people_judge_one_candidate(site: Site) -> None:
    with site.store.read() as session:
        number = candidates.list_candidates(session, undecided=True)[0].id
    page = site.visit("jory", PHONE)
    page.goto(f"/candidates/{number}")
    version = str(candidates.get_candidate(site.store, number).version)
    theirs = {"answer": "right", "reason": "the same oval head", "version": version}
    candidates.judge_authenticity(site.store, site.actor("nella"), number, theirs)
    form = page.locator("form[action$='/authenticity']")
    form.get_by_label("not right").check()
    form.locator("[name=reason]").fill("the head is too high")
    form.get_by_role("button", name="Keep the judgement").click()
    expect(form.locator(".error-summary")).to_be_focused()
    expect(form.locator(".error-summary")).to_contain_text("the same oval head")
    expect(form.locator("[name=reason]")).to_have_value("the head is too high")
    looks_right(page)
    form.get_by_role("button", name="Keep the judgement").click()
    expect(page.locator(".questions")).to_contain_text("the head is too high")


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_withdrawn_entries_are_struck_through(site: Site, width: int) -> None:
    nella = site.actor("nella")
    with site.store.read() as session:
        line = candidates.list_candidates(session, undecided=True)[0]
    need, find = needs.get_need(site.store, line.need_id), finds.get_find(site.store, line.find_id)
    needs.withdraw_entry(site.store, nella, "requirement", int(need.requirements[0].id), "misread")
    finds.withdraw_entry(site.store, nella, "statement", int(find.statements[0].id), "wrong drawer")
    page = site.visit("jory", width)
    for address, why in ((f"/needs/{need.id}", "misread"), (f"/finds/{find.id}", "wrong drawer")):
        page.goto(address)
        gone = page.locator(".gone li", has_text=why)
        expect(gone).to_contain_text(f"withdrawn by {nella.name}")
        assert "line-through" in gone.locator("del").evaluate("one => getComputedStyle(one).textDecorationLine")
        looks_right(page)
