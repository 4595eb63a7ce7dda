"""What is refused before a route sees it: bodies too large, and forms sent by nobody."""

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from server.app import create_app
from tests.web.conftest import OURS, Register


@pytest.fixture
def small(register: Register, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    """A restorer's browser on a register that takes a thousand bytes in one go."""
    monkeypatch.setattr("server.app.MAX_BODY", 1000)
    client = TestClient(
        create_app(register.settings, register.store), base_url=OURS, headers={"Origin": OURS}, follow_redirects=False
    )
    client.cookies.update(register.client_as("restorer").cookies)
    return client


def test_a_form_too_large_is_refused_on_a_page(small: TestClient) -> None:
    answer = small.post("/finds", data={"text": "x" * 2000})
    assert answer.status_code == 413
    assert "Too big to take" in answer.text
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert small.post("/finds", data={"text": "x" * 20}).status_code == 303


def test_a_program_is_refused_in_its_own_words(small: TestClient) -> None:
    answer = small.post("/api/finds", json={"text": "x" * 2000})
    assert answer.status_code == 413
    assert "refused" in answer.json()


def test_a_body_that_does_not_say_its_size_is_counted(small: TestClient) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(5):
            yield b"x" * 500

    form = {"content-type": "application/x-www-form-urlencoded"}
    assert small.post("/finds", content=pieces(), headers=form).status_code == 413


def test_a_form_sent_by_nobody_is_not_led_away(register: Register) -> None:
    nobody = register.client()
    answer = nobody.post("/finds", data={"text": "aileron bracket"})
    assert answer.status_code == 401
    assert "load this page again" in answer.text
    # a page that is only looked at leads to the sign-in page and back
    assert nobody.get("/finds/new").headers["location"] == "/sign-in?next=/finds/new"


def test_a_piece_for_nobody_stays_a_piece(register: Register) -> None:
    answer = register.client(**{"HX-Request": "true"}).get("/finds/matches", params={"text": "hinge"})
    assert answer.status_code == 401
    assert "HX-Redirect" not in answer.headers
    assert "<html" not in answer.text
    assert "What you typed is still here" in answer.text
