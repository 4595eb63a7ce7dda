"""Without a mouse: skip link, "/", and through the form to sign, every stop in sight and marked."""

import pytest
from playwright.sync_api import Page, expect

from server.services import candidates
from tests.browser.conftest import Site, faults_of

pytestmark = pytest.mark.browser

STOP = """() => {
    const one = document.activeElement;
    const box = one.getBoundingClientRect();
    const style = getComputedStyle(one);
    const file = one.type === "file" ? getComputedStyle(one.closest(".file")) : null; // its label wears the ring
    const ring = file ?? style;
    const [x, y] = [box.left + Math.min(box.width / 2, 20), box.top + Math.min(box.height / 2, 12)];
    const top = document.elementFromPoint(x, y);
    return {
        what: one.tagName.toLowerCase() + (one.name ? `[name=${one.name}]` : ` ${one.textContent.trim().slice(0, 40)}`),
        name: one.name ?? "",
        ringed: ring.outlineStyle !== "none" && parseFloat(ring.outlineWidth) >= 2,
        inSight: box.width > 0 && box.bottom > 0 && box.top < innerHeight,
        covered: !top || !(one.contains(top) || top.contains(one) || top.closest("label")?.control === one),
    };
}"""


def stops(page: Page, until: str, most: int = 200) -> list[dict[str, object]]:
    """Every stop of the Tab key until the field of this name."""
    found: list[dict[str, object]] = []
    for _ in range(most):
        page.keyboard.press("Tab")
        found.append(page.evaluate(STOP))
        if found[-1]["name"] == until:
            return found
    raise AssertionError(f"the Tab key never came to {until}")


def waits(site: Site) -> int:
    with site.store.read() as session:
        lines = candidates.list_candidates(session, undecided=True)
    return next(one.id for one in lines if one.proposed_by != "Agnes Thorncote")


def test_the_skip_link_and_the_slash(shown: Site, width: int) -> None:
    page = shown.visit("agnes", width)
    page.goto("/needs")
    page.keyboard.press("Tab")
    skip = page.locator("a.skip")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    page.keyboard.press("/")
    expect(page.locator("#search")).to_be_focused()
    page.keyboard.type("a/c 1/4")  # in a box it is a sign like any other
    expect(page.locator("#search")).to_have_value("a/c 1/4")


def test_the_account_menu_closes_on_escape(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/")
    menu = page.locator("details.account")
    menu.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(menu.get_by_role("link", name="Help")).to_be_visible()
    page.keyboard.press("Escape")
    expect(menu.get_by_role("link", name="Help")).to_be_hidden()
    expect(menu.locator("summary")).to_be_focused()


@pytest.mark.parametrize(
    ("who", "address", "last"),
    [("agnes", "", "password"), ("jory", "/finds/new", "bin"), ("wim", "/needs/new", "note")],
    ids=["sign", "log", "open"],
)
def test_through_a_form_by_tab(shown: Site, width: int, who: str, address: str, last: str) -> None:
    page = shown.visit(who, width)
    page.goto(address or f"/candidates/{waits(shown)}")
    passed = stops(page, last)
    names = [str(one["name"]) for one in passed]
    if last == "password":
        for name in ("decision", "conditions", "reason", "used"):
            assert name in names
    wrong = [one for one in passed if not one["ringed"] or not one["inSight"] or one["covered"]]
    assert wrong == []
    assert faults_of(page) == []


def test_signing_by_keyboard_comes_back_to_the_summary(site: Site) -> None:
    page = site.visit("agnes")
    page.goto(f"/candidates/{waits(site)}")
    stops(page, "password")
    page.keyboard.type("not the password")
    page.keyboard.press("Enter")
    expect(page.locator("form[action$='/sign'] .error-summary")).to_be_focused()
    for name in ("decision", "reason_"):
        summary = page.locator("form[action$='/sign'] .error-summary")
        summary.locator(f"a[href^='#f-{name}']").first.focus()
        page.keyboard.press("Enter")
        focused = page.evaluate("() => document.activeElement.name")
        assert focused.startswith(name)
