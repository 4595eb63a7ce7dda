"""Real browsers on the demonstration register: Debian's Chromium, a server of our own, nothing replaced.

The demonstration is loaded once a run, everybody is signed in to it once, and
whoever writes into it gets a copy. `shown` is one register that is only
looked at; `site` is a test's own.
"""

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Response, expect

from server.app import create_app
from server.domain.register import Actor
from server.jobs.load_seed import PASSWORD, load_seed
from server.services.accounts import sign_in
from server.settings import MIGRATIONS, Settings
from server.storage.accounts import actor_of, find_account, list_accounts
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.migrate import upgrade
from tests.conftest import lacking

PHONE, DESK = 390, 1280
HEIGHTS = {PHONE: 844, DESK: 900}
SLOW = 15_000
"""How long a page may take, in milliseconds, before a test gives up on it. The machine may be busy."""

expect.set_options(timeout=SLOW)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """Debian's Chromium, which Playwright does not know of by itself."""
    path = shutil.which("chromium")
    if path is None:
        lacking("needs Debian's chromium: apt-get install chromium")
    return {
        "executable_path": path,
        "args": ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    }


@dataclass(frozen=True)
class Demonstration:
    """The loaded demonstration: its folder, and a cookie for everybody in it."""

    folder: Path
    cookies: dict[str, str]


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> Demonstration:
    """The demonstration register, loaded once."""
    if shutil.which("chromium") is None:  # loading takes a while: not for tests that can't run
        lacking("needs Debian's chromium: apt-get install chromium")
    folder = tmp_path_factory.mktemp("demonstration")
    settings = Settings(folder=folder)
    engine = make_engine(settings.database_url)
    upgrade(engine, MIGRATIONS)
    store = Store(engine)
    load_seed(store, Files(settings.files))
    with store.read() as session:
        names = [row.sign_in for row in list_accounts(session)]
    cookies = {name: sign_in(store, name, PASSWORD)[0] for name in names}
    store.close()  # the last connection to close writes the log back into the file
    return Demonstration(folder, cookies)


@dataclass
class Site:
    """A register being served, and browsers on it."""

    settings: Settings
    store: Store
    files: Files
    address: str
    browser: Browser
    cookies: dict[str, str]
    is_shared: bool = False
    _contexts: dict[tuple[object, ...], BrowserContext] = field(default_factory=dict)

    def actor(self, name: str) -> Actor:
        """The acting person of an account."""
        with self.store.read() as session:
            row = find_account(session, name)
            assert row is not None
            return actor_of(row)

    def visit(self, who: str = "", width: int = DESK, *, scripts: bool = True) -> Page:
        """A browser signed in as `who`: of its own, or on a register that is only looked at one kept for the next.

        What its console says against the page is kept in `faults_of`.
        """
        key = (who, width, scripts) if self.is_shared else (len(self._contexts),)
        context = self._contexts.get(key)
        if context is None:
            context = self._contexts[key] = self.browser.new_context(
                base_url=self.address,
                viewport={"width": width, "height": HEIGHTS.get(width, 800)},
                java_script_enabled=scripts,
                has_touch=width < 800,
            )
            if who:
                context.add_cookies([{"name": "makegood", "value": self.cookies[who], "url": self.address}])
        for old in context.pages:
            old.close()
        context.set_offline(False)
        page = context.new_page()
        page.set_default_timeout(SLOW)
        watch(page)
        return page

    def leave(self) -> None:
        """Close the browsers."""
        while self._contexts:
            self._contexts.popitem()[1].close()


_FAULTS: dict[int, list[str]] = {}


def watch(page: Page) -> None:
    """Keep what goes wrong on this page: console errors (a policy violation is one), script faults, 5xx answers."""
    faults = _FAULTS.setdefault(id(page), [])
    faults.clear()

    def said(message: ConsoleMessage) -> None:
        # Chromium writes an error for every answer of 4xx, the wanted 409 and 422 included
        if message.type == "error" and "the server responded with a status of 4" not in message.text:
            faults.append(f"console: {message.text} {message.location.get('url', '')}")

    def answered(response: Response) -> None:
        if response.status >= 500:
            faults.append(f"{response.status} from {response.url}")

    page.on("console", said)
    page.on("pageerror", lambda error: faults.append(f"script: {error}"))
    page.on("response", answered)


def faults_of(page: Page) -> list[str]:
    """What went wrong on a page so far."""
    return _FAULTS[id(page)]


def serve(folder: Path, browser: Browser, cookies: dict[str, str], *, is_shared: bool = False) -> Iterator[Site]:
    settings = Settings(folder=folder)
    store = Store(make_engine(settings.database_url))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        server = uvicorn.Server(uvicorn.Config(create_app(settings, store), log_level="error", lifespan="off"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        until = time.monotonic() + 20
        while not server.started and time.monotonic() < until:
            time.sleep(0.01)
        assert server.started, "the server did not start"
        site = Site(settings, store, Files(settings.files), address, browser, cookies, is_shared)
        yield site
        site.leave()
        server.should_exit = True
        thread.join(timeout=20)
    store.close()


@pytest.fixture(scope="session")
def shown(demonstration: Demonstration, browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The demonstration, for tests that only look at it."""
    folder = tmp_path_factory.mktemp("shown") / "register"
    shutil.copytree(demonstration.folder, folder)
    yield from serve(folder, browser, demonstration.cookies, is_shared=True)


@pytest.fixture
def site(demonstration: Demonstration, browser: Browser, tmp_path: Path) -> Iterator[Site]:
    """The demonstration, for this test alone."""
    folder = tmp_path / "register"
    shutil.copytree(demonstration.folder, folder)
    yield from serve(folder, browser, demonstration.cookies)


@pytest.fixture(params=[pytest.param(PHONE, id="phone"), pytest.param(DESK, id="desk")])
def width(request: pytest.FixtureRequest) -> int:
    """The same journey on a phone and at a desk."""
    chosen: int = request.param
    return chosen


@pytest.fixture(
    params=[
        pytest.param((PHONE, True), id="phone"),
        pytest.param((DESK, True), id="desk"),
        pytest.param((PHONE, False), id="phone-no-scripts"),
        pytest.param((DESK, False), id="desk-no-scripts"),
    ]
)
def seat(request: pytest.FixtureRequest) -> tuple[int, bool]:
    """Width, and whether scripts run: for the journeys that have to work without them."""
    chosen: tuple[int, bool] = request.param
    return chosen
