"""Codes for signing on the pages: shown once, asked for beside the password, in no log and on no other page."""

import logging
import re
from datetime import timedelta

import pytest

from server.services.codes import code_of, step_of
from tests.web.conftest import PASSWORD, Register
from tests.web.test_roles import fill


def test_it_is_set_up_confirmed_used_and_taken_off(register: Register, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    fill(register, "approver")
    client = register.client_as("approver")
    assert client.post("/account/codes", data={"password": "not it at all"}).status_code == 422
    shown = client.post("/account/codes", data={"password": PASSWORD})
    assert shown.status_code == 200
    assert "no-store" in shown.headers["cache-control"]
    found = re.search(r"\b[A-Z2-7]{32}\b", shown.text)
    assert found is not None
    secret = found.group(0)
    picture = shown.text[shown.text.index("<svg") : shown.text.index("</svg>")]
    assert "style=" not in picture  # the policy would block it
    assert secret not in picture
    assert secret not in client.get("/account").text

    def code() -> str:
        return code_of(secret, step_of(register.clock.now))

    wrong = f"{(int(code()) + 500_000) % 1_000_000:06d}"
    assert client.post("/account/codes/confirm", data={"totp": wrong}).status_code == 422
    used = code()
    assert client.post("/account/codes/confirm", data={"totp": used}).status_code == 303
    page = client.get("/candidates/1").text
    assert 'name="totp"' in page
    assert 'name="totp"' not in register.client_as("second").get("/candidates/1").text
    register.clock.now += timedelta(seconds=60)
    form = {"shown": "x", "decision": "refused", "reason": "The tail splits when it is rolled.", "password": PASSWORD}
    match = re.search(r'name="shown" value="([0-9a-f]{64})"', page)
    assert match is not None
    form["shown"] = match.group(1)
    assert client.post("/candidates/1/sign", data=form).status_code == 422
    replayed = client.post("/candidates/1/sign", data=form | {"totp": used})
    assert replayed.status_code == 422
    assert f'value="{used}"' not in replayed.text
    assert client.post("/candidates/1/sign", data=form | {"totp": code()}).status_code == 303
    number = register.actor("approver").id
    keeper = register.client_as("keeper")
    for address in ("/account", "/log", f"/accounts/{number}", "/accounts"):
        assert secret not in keeper.get(address).text
    assert client.post(f"/accounts/{number}/codes").status_code == 403
    assert keeper.post(f"/accounts/{number}/codes").status_code == 303
    assert "asks this person for a code" not in keeper.get(f"/accounts/{number}").text
    assert secret not in caplog.text


def test_questions_are_asked_and_answered_on_the_sheet(register: Register) -> None:
    ids = fill(register, "restorer")
    approver, restorer, viewer = (register.client_as(one) for one in ("approver", "restorer", "viewer"))
    address = ids.address("/candidates/{number}/remarks")
    sheet = address.removesuffix("/remarks")
    assert approver.post(address, data={"text": "Was it cut from a reel?"}).status_code == 303
    assert "<b>1</b> question on your candidates" in restorer.get("/").text
    assert "Was it cut from a reel?" in viewer.get(sheet).text
    assert f'action="{address}"' not in viewer.get(sheet).text
    refused = restorer.post(address, data={"text": "", "answered_to": "2"})
    assert refused.status_code == 422
    assert "Error:" in refused.text
    assert '<option value="2" selected' in refused.text
    assert restorer.post(address, data={"text": "Yes, a new one.", "answered_to": "2"}).status_code == 303
    assert "on your candidates" not in restorer.get("/").text
