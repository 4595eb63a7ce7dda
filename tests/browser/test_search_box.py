"""The search box of every page: hits as somebody types, by keyboard and by thumb, and by Enter without scripts.

What keys do and which roles stand: WAI-ARIA Authoring Practices, combobox with a listbox popup. Targets of 44 px: own
rule (WCAG 2.5.8 asks for 24).
"""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Site, faults_of
from tests.browser.test_every_page import TOO_WIDE, violations

pytestmark = pytest.mark.browser


def typed(page: Page, words: str) -> None:
    """These words typed into the box, and the hits there."""
    page.locator("#search").press_sequentially(words, delay=15)
    expect(page.locator("#search-hits [role=option]").first).to_be_visible()


def marked(page: Page) -> str:
    """The hit that is marked, as a screen reader is told."""
    named = page.locator("#search").get_attribute("aria-activedescendant") or ""
    return (page.locator(f"#{named}").text_content() or "").strip() if named else ""


def test_hits_come_as_somebody_types(shown: Site, width: int) -> None:
    page = shown.visit("nella", width)
    page.goto("/steps")
    box, hits = page.locator("#search"), page.locator("#search-hits")
    expect(box).to_have_attribute("role", "combobox")
    expect(box).to_have_attribute("aria-expanded", "false")
    typed(page, "H3.5217")
    expect(hits.get_by_role("option").first).to_contain_text("Hinge, cabin door, lower half")
    expect(box).to_have_attribute("aria-expanded", "true")
    expect(box).to_be_focused()
    expect(page.locator("#search-said")).to_contain_text("Arrow keys")
    assert violations(page) == []
    for narrow in (width, 360, 320):
        page.set_viewport_size({"width": narrow, "height": 740})
        assert page.evaluate(TOO_WIDE) == []
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate(TOO_WIDE) == []
    assert faults_of(page) == []


def test_the_keys_go_through_the_hits_and_focus_stays(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    page.keyboard.press("/")
    box, hits = page.locator("#search"), page.locator("#search-hits")
    typed(page, "rivet brass")
    names = [(one.text_content() or "").strip() for one in hits.get_by_role("option").all()]
    assert len(names) > 2
    page.keyboard.press("ArrowUp")
    assert marked(page) == names[-1]
    page.keyboard.press("ArrowDown")
    assert marked(page) == ""  # past the end: the box itself
    for name in names[:2]:
        page.keyboard.press("ArrowDown")
        assert marked(page) == name
        expect(box).to_be_focused()
    page.keyboard.press("ArrowUp")
    assert marked(page) == names[0]
    page.keyboard.press("Escape")
    expect(hits).to_be_hidden()
    expect(box).to_be_focused()
    expect(box).to_have_value("rivet brass")
    page.keyboard.press("ArrowDown")
    expect(hits).to_be_visible()
    address = hits.locator("[aria-selected=true]").get_attribute("href") or ""
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(re.escape(address) + "$"))
    assert faults_of(page) == []


def test_what_comes_after_escape_stays_shut_and_tab_leads_on(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    box, hits = page.locator("#search"), page.locator("#search-hits")
    with page.expect_response(re.compile("/search/hits")):
        box.press_sequentially("rivet", delay=5)
        page.keyboard.press("Escape")
        expect(box).to_be_focused()
        page.evaluate("() => document.querySelector('#search').value += ' brass'")
        box.dispatch_event("input")
    expect(hits.get_by_role("option").first).to_be_visible()
    page.keyboard.press("Tab")
    expect(hits).to_be_hidden()
    expect(page.locator(".find-anything button")).to_be_focused()
    expect(box).to_have_attribute("aria-expanded", "false")


def test_enter_by_itself_searches_in_full(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    typed(page, "rivet brass")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/search\?q=rivet\+brass$"))
    expect(page.locator("#results .ticket").first).to_be_visible()


def test_one_thumb_opens_a_hit(shown: Site) -> None:
    page = shown.visit("jory", PHONE)
    page.set_viewport_size({"width": 360, "height": 400})  # what a keyboard leaves of the screen
    page.goto("/finds")
    page.locator("#search").tap()
    typed(page, "rivet brass")
    hits = page.locator("#search-hits")
    for option in hits.get_by_role("option").all():
        box = option.bounding_box()
        assert box is not None
        assert box["height"] >= 44
    room = hits.bounding_box()
    assert room is not None
    assert room["y"] + room["height"] <= 400
    page.touchscreen.tap(180, 376)  # beside it
    expect(hits).to_be_hidden()
    page.locator("#search").tap()
    page.locator("#search").press_sequentially("s")
    last = hits.get_by_role("option", name="All that was found")
    last.scroll_into_view_if_needed()
    last.tap()
    expect(page).to_have_url(re.compile(r"/search\?q=rivet%20brasss$"))
    assert faults_of(page) == []


def test_nothing_that_fits_is_said_and_an_emptied_box_closes(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    box, hits = page.locator("#search"), page.locator("#search-hits")
    typed(page, "qqqq zzzz")
    expect(hits).to_contain_text("Nothing fits these words")
    expect(page.locator("#search-said")).to_have_text("No hits.")
    box.fill("")
    expect(hits).to_be_hidden()


def test_without_scripts_enter_searches(shown: Site) -> None:
    page = shown.visit("nella", PHONE, scripts=False)
    page.goto("/needs")
    box = page.locator("#search")
    assert box.get_attribute("role") is None
    expect(page.locator("#search-hits")).to_be_hidden()
    box.fill("H3.5217")
    box.press("Enter")
    expect(page.locator("#results .ticket").first).to_contain_text("Hinge, cabin door, lower half")


def test_a_connection_that_is_gone_leaves_the_box_as_it_was(shown: Site) -> None:
    page = shown.visit("agnes")
    page.goto("/needs")
    page.context.set_offline(True)
    page.locator("#search").press_sequentially("rivet", delay=5)
    expect(page.locator("#live")).to_contain_text("No answer")
    expect(page.locator("#search")).to_be_focused()
    expect(page.locator("#search")).to_have_value("rivet")
    page.context.set_offline(False)
