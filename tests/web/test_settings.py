"""The shop's rules, the log and the help page over HTTP."""

import re
from html import unescape

import pytest

from server.domain.specification import Role, Use, Weight
from server.domain.strictness import SHIPPED
from server.domain.verdict import Concern, Outcome, Verdict
from server.services import candidates, house_rules
from server.services.house_rules import cell_name
from server.storage.log import read_log
from tests.web.conftest import Register

STRENGTH = (Use.DISPLAY, Role.PRIMARY, Concern.STRENGTH)
LOOKS = (Use.PERMIT, Role.FURNISHING, Concern.APPEARANCE)
FIT = (Use.PERMIT, Role.PRIMARY, Concern.FIT)
REASON = "Children climb into the cockpit on open days."


def _counts(**given: str) -> dict[str, str]:
    return {"reason": REASON, **given}


@pytest.mark.parametrize("role", ["viewer", "restorer", "approver"])
def test_only_a_keeper_sees_and_changes_the_rules(register: Register, role: str) -> None:
    client = register.client_as(role)
    assert client.get("/settings").status_code == 403
    assert client.post("/settings/name", data={"name": "Mine"}).status_code == 403
    assert client.post("/settings/counts", data=_counts(**{cell_name(STRENGTH): "governs"})).status_code == 403
    assert house_rules.shop_of(register.store).name == "Makegood"


def test_the_register_gets_a_name_that_stands_on_every_page(register: Register) -> None:
    keeper = register.client_as("keeper")
    assert keeper.post("/settings/name", data={"name": "Vennmere shop"}).status_code == 303
    assert "· Vennmere shop</title>" in keeper.get("/steps").text
    assert "<del>Makegood</del> became <ins>Vennmere shop</ins>" in keeper.get("/log").text
    for bad in ("", "x" * 61):
        assert keeper.post("/settings/name", data={"name": bad}).status_code == 422


def test_the_page_offers_every_cell_that_can_be_tightened_and_no_other(register: Register) -> None:
    page = register.client_as("keeper").get("/settings").text
    for cell, weight in SHIPPED.items():
        assert (f'name="{cell_name(cell)}"' in page) == (weight is not Weight.GOVERNS), cell
    select = page.split(f'name="{cell_name(STRENGTH)}"')[1].split("</select>")[0]
    assert re.findall(r'value="([^"]+)"', select) == ["governs", "contributes"]


def test_a_tightened_cell_counts_and_each_change_is_logged_with_its_reason(register: Register) -> None:
    keeper = register.client_as("keeper")
    given = {cell_name(STRENGTH): "governs", cell_name(LOOKS): "contributes"}
    assert keeper.post("/settings/counts", data=_counts(**given)).status_code == 303
    with register.store.read() as session:
        strictness = candidates.strictness_of(session)
        lines = read_log(session, "setting/tightened")
    assert strictness.weight(*STRENGTH) is Weight.GOVERNS
    assert strictness.weight(*LOOKS) is Weight.CONTRIBUTES
    assert len(lines) == 2
    assert all(line.said["reason"] == REASON for line in lines)
    page = keeper.get("/settings").text
    assert "2 cells are tightened here." in page
    assert page.count("came as “") == 2
    log = keeper.get("/log?about=setting/tightened").text
    assert "Strength of primary structure, static display: <del>contributes</del> became <ins>governs</ins>" in log


def test_a_cell_goes_back_to_how_it_came_and_the_others_stay(register: Register) -> None:
    keeper = register.client_as("keeper")
    keeper.post("/settings/counts", data=_counts(**{cell_name(STRENGTH): "governs", cell_name(LOOKS): "governs"}))
    keeper.post("/settings/counts", data=_counts(**{cell_name(STRENGTH): "contributes"}))
    tightened = [cell for cell in house_rules.counting_table(register.store) if cell.is_tightened]
    assert [cell.name for cell in tightened] == [cell_name(LOOKS)]


@pytest.mark.parametrize("weight", ["contributes", "appearance only"])
def test_nothing_is_ever_loosened(register: Register, weight: str) -> None:
    keeper = register.client_as("keeper")
    given = {cell_name(FIT): weight, cell_name(STRENGTH): "governs"}
    answer = keeper.post("/settings/counts", data=_counts(**given))
    assert answer.status_code == 422
    assert "the table is only ever tightened" in answer.text
    assert REASON in answer.text
    assert not [cell for cell in house_rules.counting_table(register.store) if cell.is_tightened], "nothing was kept"


def test_a_change_needs_a_reason_and_no_change_needs_none(register: Register) -> None:
    keeper = register.client_as("keeper")
    answer = keeper.post("/settings/counts", data={cell_name(STRENGTH): "governs", "reason": " "})
    assert answer.status_code == 422
    assert "Give the reason" in answer.text
    kept = answer.text.split(f'name="{cell_name(STRENGTH)}"')[1].split("</select>")[0]
    assert '<option value="governs" selected>' in kept, "what was chosen is still chosen"
    same = {cell_name(cell): weight.value for cell, weight in SHIPPED.items()}
    assert keeper.post("/settings/counts", data={**same, "reason": ""}).headers["location"].endswith("said=unchanged")


def test_an_open_proposal_is_judged_by_the_new_table(register: Register) -> None:
    plane = register.aeroplane(use="DISPLAY")
    need = register.need(
        plane,
        role="PRIMARY",
        r1_characteristic="material",
        r1_text="brass",
        r1_known_from="estimate",
    )
    number = candidates.propose(register.store, register.actor("restorer"), need, register.find())
    before = {row.key: row.weight for row in candidates.get_candidate(register.store, number).sheet.rows}
    key = next(key for key, weight in before.items() if weight is Weight.CONTRIBUTES)
    concern = next(row.concern for row in candidates.get_candidate(register.store, number).sheet.rows if row.key == key)
    cell = cell_name((Use.DISPLAY, Role.PRIMARY, concern))
    register.client_as("keeper").post("/settings/counts", data=_counts(**{cell: "governs"}))
    after = {row.key: row.weight for row in candidates.get_candidate(register.store, number).sheet.rows}
    assert after[key] is Weight.GOVERNS


# --- the log -------------------------------------------------------------


def test_everybody_reads_the_log_in_pages_and_misses_no_line(register: Register) -> None:
    for place in range(120):
        register.supplier(name=f"Supplier {place}")
    client = register.client_as("viewer")
    url, seen = "/log", []
    for _ in range(10):
        page = client.get(url).text
        seen += re.findall(r"entered supplier “(Supplier \d+)”", unescape(page))
        found = re.search(r'rel="next" href="([^"]+)"', page)
        if found is None:
            break
        url = unescape(found.group(1))
    assert seen == [f"Supplier {place}" for place in reversed(range(120))]


@pytest.mark.parametrize("written", ["need/2", "N 2", "N 0002", "n2", "N\u00a00002", "need 2", "needs/2"])
def test_the_log_of_one_record_is_asked_for_as_people_write_it(register: Register, written: str) -> None:
    plane = register.aeroplane()
    register.need(plane, item="First thing")
    register.need(plane, item="Second thing")
    page = register.client_as("viewer").get("/log", params={"about": written}).text
    assert "Second thing" in page
    assert "First thing" not in page
    assert "Log of N\u00a00002" in page


def test_a_record_that_cannot_be_read_is_answered_with_words(register: Register) -> None:
    answer = register.client_as("viewer").get("/log", params={"about": "<b>cabbage</b>"})
    assert answer.status_code == 422
    assert "names no record" in answer.text
    assert "<b>cabbage" not in answer.text


def test_the_log_says_changes_in_the_words_of_the_form(register: Register) -> None:
    number = register.supplier(last_confirmed="2020-02-01")
    register.client_as("restorer").post(
        f"/suppliers/{number}/edit",
        data={"name": "Nobody", "state": "gone", "last_confirmed": "2021-03-04", "version": "1"},
    )
    page = register.client_as("viewer").get(f"/log?about=supplier/{number}").text
    assert "Do they answer: <del>answers</del> became <ins>gone</ins>" in page
    assert "Last confirmed: <del>1 Feb 2020</del> became <ins>4 Mar 2021</ins>" in page
    assert f'href="/suppliers/{number}"' in page


def test_only_a_keeper_is_led_from_the_log_to_an_account(register: Register) -> None:
    viewer, keeper = register.client_as("viewer").get("/log").text, register.client_as("keeper").get("/log").text
    assert "signed in" in viewer
    assert 'href="/accounts/' not in viewer
    assert 'href="/accounts/' in keeper


# --- help ----------------------------------------------------------------


def test_help_is_open_to_everybody_and_explains_every_verdict(register: Register) -> None:
    page = register.client().get("/help")
    assert page.status_code == 200
    for word in [*Verdict, *Outcome]:
        assert f"<span>{word}</span>" in page.text
    for word in Weight:
        assert word.value in page.text.casefold()
    for said in ("airworthy", "lawful", "Asbestos", "Magnesium", "Cadmium", "local authority"):
        assert said in page.text
    assert "Signed in as" in register.client_as("viewer").get("/help").text
    assert 'href="/sign-in"' in page.text


def test_help_speaks_of_what_the_register_has_and_its_links_lead_somewhere(register: Register) -> None:
    keeper = register.client_as("keeper")
    page = keeper.get("/help").text
    for said in (
        "The shop’s words",
        "Watches",
        "Is it here already?",
        "Questions and answers",
        "Codes for signing",
        "Two signatures",
        "Conditions",
        "Seals",
        "Exported records",
    ):
        assert f"<b>{said}" in page
    inside = page.partition('<article class="sheet narrow">')[2].partition("</article>")[0]
    links = set(re.findall(r'href="(/[^"]*)"', inside))
    assert {"/words", "/watches", "/search", "/to-sign", "/account", "/aeroplanes", "/settings/signing"} <= links
    for link in links:
        assert keeper.get(link).status_code == 200, link
    for client in (register.client(), register.client_as("viewer")):
        assert 'href="/settings/signing"' not in client.get("/help").text
