"""Every page there is, as the keeper sees it: axe finds nothing, nothing scrolls sideways, no console error.

A route without an entry in addresses.ADDRESSES fails. The rules: WCAG 2.2, levels A and AA, as far as axe-core
(tests/browser/vendor) can judge them; 1.4.10 reflow at 320 px; 1.4.4 text at twice its size.
"""

import io
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from server.services.candidates import get_candidate, list_candidates
from server.services.held_photos import hold_photos
from server.services.signing import may_sign_now
from tests.browser.addresses import ADDRESSES, FILE, PAGE, PIECE, Numbers, get_routes
from tests.browser.conftest import DESK, PHONE, Site, faults_of

pytestmark = pytest.mark.browser

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]

RUN_AXE = """async tags => {
    const found = await axe.run(document, {runOnly: {type: "tag", values: tags}, resultTypes: ["violations"]});
    return found.violations.map(one => `${one.id}: ${one.nodes.map(node => node.html.slice(0, 160)).join(" | ")}`);
}"""

TOO_WIDE = """() => {
    const room = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= room) return [];
    const out = [...document.body.querySelectorAll("*")].filter(one => one.getBoundingClientRect().right > room + 1);
    const shown = out.slice(0, 4).map(one => one.outerHTML.slice(0, 120));
    return [`${document.documentElement.scrollWidth} px wide`, ...shown];
}"""

CUT_OFF = """() => {
    document.documentElement.style.fontSize = "200%";
    const cut = [...document.body.querySelectorAll("main *")].filter(one => {
        const style = getComputedStyle(one);
        if (one.clientHeight < 3) return false; // for a screen reader only
        if (style.overflowY === "visible" || style.overflowY === "auto" || one.closest(".sr-only, svg")) return false;
        if (["INPUT", "SELECT", "TEXTAREA"].includes(one.tagName)) return false;
        return one.scrollHeight > one.clientHeight + 2;
    });
    return cut.slice(0, 4).map(one => one.outerHTML.slice(0, 120));
}"""


def violations(page: Page) -> list[str]:
    """What axe has against a page, one line a rule."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found: list[str] = page.evaluate(RUN_AXE, TAGS)
    return found


@pytest.fixture(scope="module")
def numbers(shown: Site) -> Numbers:
    """Real numbers to fill the addresses with."""
    picture = io.BytesIO()
    Image.new("RGB", (8, 8)).save(picture, "PNG")
    (held,) = hold_photos(shown.store, shown.files, shown.actor("hedda"), [("dot.png", picture.getvalue())])
    with shown.store.read() as session:
        return Numbers(session, held.digest)


@pytest.fixture(scope="module")
def keeper(shown: Site) -> Page:
    """One browser of the keeper's for all of these: a new one for each page would take most of the time."""
    return shown.visit("hedda")


def test_the_table_names_no_route_that_is_gone() -> None:
    assert set(ADDRESSES) <= set(get_routes())


@pytest.mark.parametrize("path", sorted(set(get_routes())))
def test_every_address(path: str, keeper: Page, numbers: Numbers) -> None:
    assert path in ADDRESSES, f"{path} is new: give it an entry in tests/browser/addresses.py"
    kind, filled = ADDRESSES[path]
    wrong: list[str] = []
    for address in filled(numbers):
        if kind == PAGE:
            wrong += look_at(keeper, address)
        else:
            answer = keeper.request.get(address)
            assert answer.status == 200, address
            if kind == PIECE:
                assert "<html" not in answer.text(), address
            elif kind == FILE:
                assert answer.headers["x-content-type-options"] == "nosniff"
                assert "html" not in answer.headers["content-type"]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("address", ["/nothing-is-here", "/needs/999999", "/records/999999"])
def test_pages_that_say_no(address: str, keeper: Page) -> None:
    assert look_at(keeper, address) == []


@pytest.mark.parametrize(("who", "is_second"), [("agnes", False), ("bertil", True)])
def test_the_form_to_sign(shown: Site, who: str, is_second: bool) -> None:
    """The keeper of the demonstration has no licence; what an approver sees, alone and as the second, is looked at."""
    with shown.store.read() as session:
        numbers = [one.id for one in list_candidates(session, undecided=True)]
    waiting = [get_candidate(shown.store, number) for number in numbers]
    signer = shown.actor(who)
    number = next(
        one.id for one in waiting if (one.first is not None) is is_second and may_sign_now(shown.store, one, signer).may
    )
    page = shown.visit(who)
    page.goto(f"/candidates/{number}")
    expect(page.locator("form[action$='/sign']")).to_be_visible()
    assert look_at(page, f"/candidates/{number}") == []


def look_at(page: Page, address: str) -> list[str]:
    """One page at a desk and on a phone, and with its text at twice the size: all that is wrong with it."""
    wrong: list[str] = []
    faults_of(page).clear()
    page.set_viewport_size({"width": DESK, "height": 900})
    answer = page.goto(address)
    assert answer is not None
    assert answer.status in {200, 404}, f"{address}: {answer.status}"
    wrong += [f"axe, {DESK} px: {one}" for one in violations(page)]
    for width in (PHONE, 360, 320):
        page.set_viewport_size({"width": width, "height": 740})
        if width == PHONE:
            wrong += [f"axe, {width} px: {one}" for one in violations(page)]
        wrong += [f"sideways, {width} px: {one}" for one in page.evaluate(TOO_WIDE)]
    page.set_viewport_size({"width": DESK, "height": 900})
    wrong += [f"cut off at 200 %: {one}" for one in page.evaluate(CUT_OFF)]
    wrong += [f"sideways at 200 %: {one}" for one in page.evaluate(TOO_WIDE)]
    return [f"{address}: {one}" for one in wrong + faults_of(page)]
