"""Signing in and out, one's own account, everybody's accounts, tokens: over HTTP, nothing replaced."""

import logging
import re
from datetime import timedelta
from importlib import import_module
from pkgutil import iter_modules

import pytest
from starlette.testclient import TestClient

from server.app import create_app
from server.services import accounts
from server.settings import Settings
from server.storage.log import read_log
from server.web import routes
from tests.web.conftest import OURS, PASSWORD, Register

NEW = "a spar, a strut, a wire"


def _sign_in(client: TestClient, name: str = "restorer", password: str = PASSWORD, **fields: str) -> int:
    return client.post("/sign-in", data={"sign_in": name, "password": password, **fields}).status_code


def _number(register: Register, name: str) -> int:
    return register.actor(name).id


# --- at the door ---------------------------------------------------------


def test_nobody_gets_in_without_signing_in(register: Register) -> None:
    answer = register.client().get("/account")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/sign-in?next=/account"


def test_after_signing_in_one_is_where_one_wanted_to_be(register: Register) -> None:
    client = register.client()
    answer = client.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD, "next": "/steps?done=yes"})
    assert answer.headers["location"] == "/steps?done=yes"


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://evil.example/",
        "//evil.example",
        "/\\evil.example",
        "\\\\evil.example",
        "/\t/evil.example",
        "/\n/evil.example",
        "javascript:alert(1)",
        " /evil",
        "evil.example",
    ],
)
def test_signing_in_never_leads_to_another_site(register: Register, elsewhere: str) -> None:
    client = register.client()
    answer = client.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD, "next": elsewhere})
    assert answer.headers["location"] == "/"
    shown = register.client().get("/sign-in", params={"next": elsewhere})
    assert 'name="next" value="/"' in shown.text


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(register: Register) -> None:
    client = register.client()
    answer = client.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD})
    cookie = answer.headers["set-cookie"].casefold()
    assert "httponly" in cookie
    assert "samesite=lax" in cookie
    assert "secure" not in cookie


def test_behind_tls_the_cookie_goes_over_tls_only(register: Register) -> None:
    app = create_app(Settings(folder=register.settings.folder, secure_cookies=True), register.store)
    client = TestClient(app, base_url="https://testserver", headers={"Origin": "https://testserver"})
    answer = client.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD}, follow_redirects=False)
    assert "; secure" in answer.headers["set-cookie"].casefold()


def test_a_cookie_given_to_somebody_beforehand_is_worth_nothing(register: Register) -> None:
    """Session fixation: the token is always drawn anew at signing in (OWASP, session management cheat sheet)."""
    victim = register.client()
    victim.cookies.set("makegood", "chosen-by-somebody-else", domain="testserver.local")
    answer = victim.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD})
    assert answer.status_code == 303
    assert "chosen-by-somebody-else" not in answer.headers["set-cookie"]
    attacker = register.client()
    attacker.cookies.set("makegood", "chosen-by-somebody-else", domain="testserver.local")
    assert attacker.get("/account").status_code == 303


def test_signing_in_again_ends_the_session_before(register: Register) -> None:
    client = register.client()
    assert _sign_in(client) == 303
    before = client.cookies["makegood"]
    assert _sign_in(client) == 303
    old = register.client()
    old.cookies.set("makegood", before, domain="testserver.local")
    assert old.get("/account").status_code == 303
    assert client.get("/account").status_code == 200


def test_signing_out_ends_it_on_the_server(register: Register) -> None:
    client = register.client()
    _sign_in(client)
    token = client.cookies["makegood"]
    assert client.post("/sign-out").headers["location"].startswith("/sign-in")
    again = register.client()
    again.cookies.set("makegood", token, domain="testserver.local")
    assert again.get("/account").status_code == 303


def test_a_session_ends_by_itself(register: Register) -> None:
    client = register.client()
    _sign_in(client)
    register.clock.now += accounts.SIGNED_IN_FOR - timedelta(seconds=1)
    assert client.get("/account").status_code == 200
    register.clock.now += timedelta(seconds=1)
    assert client.get("/account").status_code == 303


def test_a_wrong_password_says_not_which_of_the_two_is_wrong(register: Register) -> None:
    one = register.client().post("/sign-in", data={"sign_in": "restorer", "password": "wrong"})
    other = register.client().post("/sign-in", data={"sign_in": "nobody", "password": "wrong"})
    assert one.status_code == other.status_code == 422
    assert accounts.WRONG in one.text
    assert accounts.WRONG in other.text
    assert 'value="wrong"' not in one.text


def test_wrong_passwords_slow_an_account_down_and_each_one_more(register: Register) -> None:
    client = register.client()
    for _ in range(accounts.FREE_TRIES):
        assert _sign_in(client, password="wrong") == 422
    assert _sign_in(client) == 429, "even the right one has to wait"
    register.clock.now += timedelta(seconds=2, milliseconds=1)
    assert _sign_in(client, password="wrong") == 422
    register.clock.now += timedelta(seconds=3)
    assert _sign_in(client) == 429, "the wait has doubled"
    register.clock.now += timedelta(seconds=2)
    assert _sign_in(client) == 303
    assert _sign_in(register.client(), password="wrong") == 422, "and is forgotten after a right one"
    assert _sign_in(client) == 303


def test_somebody_elses_wrong_tries_do_not_slow_us_down(register: Register) -> None:
    for _ in range(accounts.FREE_TRIES + 1):
        _sign_in(register.client(), "keeper", "wrong")
    assert _sign_in(register.client(), "restorer") == 303


# --- other sites ---------------------------------------------------------


def _posts() -> list[str]:
    """Every address of the pages that takes a form, with 1 for each number."""
    modules = [import_module(f"{routes.__name__}.{one.name}") for one in iter_modules(routes.__path__)]
    paths = [route.path for module in modules for route in module.router.routes if "POST" in route.methods]
    return [re.sub(r"\{[^}]+\}", "1", path) for path in paths if not path.startswith("/api")]


def test_no_form_can_be_sent_from_another_site(register: Register) -> None:
    client = register.client_as("keeper")
    paths = _posts()
    assert {"/account/tokens", "/accounts", "/aeroplanes", "/steps", "/suppliers", "/settings/counts"} <= set(paths)
    for path in paths:
        for headers in (
            {"Origin": "http://evil.example"},
            {"Origin": "null"},
            {"Origin": OURS, "Sec-Fetch-Site": "cross-site"},
            {"Origin": OURS, "Sec-Fetch-Site": "same-site"},
        ):
            answer = client.post(path, headers=headers)
            assert answer.status_code == 403, (path, headers)


def test_a_browser_that_names_no_origin_is_refused_with_a_cookie(register: Register) -> None:
    client = register.client_as("keeper")
    client.headers.pop("Origin")
    assert client.post("/account/tokens", data={"name": "x"}).status_code == 403


# --- who may what --------------------------------------------------------

KEEPERS_PAGES = ["/accounts", "/accounts/new", "/accounts/1"]


@pytest.mark.parametrize("role", ["viewer", "restorer", "approver"])
def test_only_a_keeper_looks_at_accounts(register: Register, role: str) -> None:
    client = register.client_as(role)
    for path in KEEPERS_PAGES:
        answer = client.get(path)
        assert answer.status_code == 403
        assert "keeper" in answer.text
    fields = {"sign_in": "new", "name": "New", "role": "viewer"}
    for path in ("/accounts", "/accounts/1", "/accounts/1/password"):
        assert client.post(path, data=fields).status_code == 403


def test_a_keeper_sees_them_and_menu_entries_fit_the_role(register: Register) -> None:
    keeper = register.client_as("keeper")
    for path in KEEPERS_PAGES:
        assert keeper.get(path).status_code == 200
    assert 'href="/accounts"' in keeper.get("/account").text
    assert 'href="/accounts"' not in register.client_as("viewer").get("/account").text


# --- one's own account ---------------------------------------------------


def test_ones_own_account_shows_what_others_see(register: Register) -> None:
    text = register.client_as("approver").get("/account").text
    assert "INV-1" in text
    assert "Inspector (invented)" in text
    register.clock.now += timedelta(days=365 * 80)
    client = register.client()
    _sign_in(client, "approver")
    assert "It ran out." in client.get("/account").text


def test_a_changed_password_keeps_this_browser_and_signs_out_the_others(register: Register) -> None:
    here, there = register.client(), register.client()
    _sign_in(here)
    _sign_in(there)
    before = here.cookies["makegood"]
    answer = here.post("/account/password", data={"old_password": PASSWORD, "new_password": NEW, "again": NEW})
    assert answer.status_code == 303
    assert here.cookies["makegood"] != before, "the token is drawn anew"
    assert here.get("/account").status_code == 200
    assert there.get("/account").status_code == 303
    assert _sign_in(register.client()) == 422
    assert _sign_in(register.client(), password=NEW) == 303


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"old_password": "wrong", "new_password": NEW, "again": NEW}, "This is not your present password."),
        ({"old_password": PASSWORD, "new_password": "short", "again": "short"}, "at least 10 characters"),
        ({"old_password": PASSWORD, "new_password": "a" * 12, "again": "a" * 12}, "repeats the same few"),
        ({"old_password": PASSWORD, "new_password": NEW, "again": NEW + "x"}, "The two new passwords differ"),
        ({"old_password": PASSWORD, "new_password": "ab1 " * 60, "again": ""}, "at most 200 characters"),
    ],
)
def test_a_refused_password_change_says_why_and_shows_no_password(
    register: Register, fields: dict[str, str], said: str
) -> None:
    answer = register.client_as("restorer").post("/account/password", data=fields)
    assert answer.status_code == 422
    assert said in answer.text
    assert answer.text.count("<title>Error: ") == 1
    for typed in filter(None, fields.values()):
        assert f'value="{typed}"' not in answer.text
    assert _sign_in(register.client()) == 303


def test_guessing_the_present_password_slows_down_as_at_the_door(register: Register) -> None:
    client = register.client_as("restorer")
    fields = {"old_password": "wrong", "new_password": NEW, "again": NEW}
    for _ in range(accounts.FREE_TRIES):
        assert client.post("/account/password", data=fields).status_code == 422
    right = {**fields, "old_password": PASSWORD}
    answer = client.post("/account/password", data=right)
    assert answer.status_code == 429
    assert "try again in" in answer.text


# --- tokens --------------------------------------------------------------


def _made_token(html: str) -> str:
    return html.split('id="made-token"')[1].partition(">")[2].partition("<")[0]


def test_a_token_is_shown_once_works_and_can_be_ended(register: Register) -> None:
    def used(html: str) -> str:
        return html.split('data-name="Last used">')[1].partition("<")[0]

    client = register.client_as("restorer")
    answer = client.post("/account/tokens", data={"name": "stores tablet", "may_write": "yes"})
    assert answer.status_code == 200
    assert answer.headers["cache-control"] == "no-store"
    token = _made_token(answer.text)
    assert token.startswith("mg_")
    again = client.get("/account").text
    assert token not in again
    assert "stores tablet" in again
    assert "read and write" in again
    assert used(again) == "never"
    program = register.client()
    assert program.get("/api/needs", headers={"Authorization": f"Bearer {token}"}).status_code == 200
    assert used(client.get("/account").text).startswith(f"{register.clock.now.day} ")
    number = accounts.get_account(register.store, _number(register, "restorer")).tokens[0].id
    assert client.post(f"/account/tokens/{number}/end").status_code == 303
    assert program.get("/api/needs", headers={"Authorization": f"Bearer {token}"}).status_code == 401


def test_a_token_needs_a_name(register: Register) -> None:
    answer = register.client_as("viewer").post("/account/tokens", data={"name": " "})
    assert answer.status_code == 422
    assert "What the token is for is missing." in answer.text
    assert "made-token" not in answer.text


def test_there_is_an_end_to_the_number_of_tokens(register: Register) -> None:
    for _ in range(accounts.MOST_TOKENS):
        register.token("viewer")
    answer = register.client_as("viewer").post("/account/tokens", data={"name": "one more"})
    assert answer.status_code == 422
    assert f"You have {accounts.MOST_TOKENS} tokens" in answer.text


def test_somebody_elses_token_is_ended_by_a_keeper_only(register: Register) -> None:
    register.token("restorer")
    number = accounts.get_account(register.store, _number(register, "restorer")).tokens[0].id
    assert register.client_as("approver").post(f"/account/tokens/{number}/end").status_code == 403
    answer = register.client_as("keeper").post(f"/account/tokens/{number}/end")
    assert answer.headers["location"].startswith(f"/accounts/{_number(register, 'restorer')}")
    assert accounts.get_account(register.store, _number(register, "restorer")).tokens[0].ended_at is not None


def test_a_token_and_a_password_are_never_written_down(register: Register, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    client = register.client()
    _sign_in(client)
    token = _made_token(client.post("/account/tokens", data={"name": "n", "may_write": "yes"}).text)
    assert token.startswith("mg_")
    program = register.client()
    bearer = {"Authorization": f"Bearer {token}"}
    assert program.get("/api/needs", headers=bearer).status_code == 200
    program.post("/api/needs", json={"nothing": 1}, headers=bearer)
    program.get("/api/no-such-thing", headers=bearer)
    cookie = client.cookies["makegood"]
    assert token not in caplog.text
    assert PASSWORD not in caplog.text
    assert cookie not in caplog.text
    with register.store.read() as session:
        said = str(read_log(session))
    assert token not in said
    assert "made an API token" in said
    for path in register.settings.folder.rglob("*"):
        if path.is_file():
            kept = path.read_bytes()
            for secret in (token, token.removeprefix("mg_"), PASSWORD, cookie):
                assert secret.encode() not in kept, path.name


# --- the keeper's accounts -----------------------------------------------


def test_an_account_is_opened_with_a_made_password_that_is_shown_once(register: Register) -> None:
    keeper = register.client_as("keeper")
    answer = keeper.post("/accounts", data={"sign_in": "Nella", "name": "Nella Obermoor", "role": "restorer"})
    assert answer.status_code == 200
    password = answer.text.split('id="made-password"')[1].split('value="')[1].split('"')[0]
    assert len(password) >= accounts.SHORTEST_PASSWORD
    number = _number(register, "nella")
    assert password not in keeper.get(f"/accounts/{number}").text
    assert _sign_in(register.client(), "nella", password) == 303


def test_an_account_is_opened_with_a_typed_password(register: Register) -> None:
    fields = {
        "sign_in": "agnes",
        "name": "Agnes Thorncote",
        "role": "approver",
        "licence_kind": "Licensed engineer (invented)",
        "licence_number": "INV-9",
        "licence_until": "2099-02-03",
        "password": NEW,
    }
    answer = register.client_as("keeper").post("/accounts", data=fields)
    assert answer.status_code == 303
    assert NEW not in answer.headers["location"]
    assert _sign_in(register.client(), "agnes", NEW) == 303
    shown = register.client_as("keeper").get(answer.headers["location"]).text
    assert "The account is open." in shown
    assert 'value="2099-02-03"' in shown


def test_a_refused_opening_keeps_everything_typed_but_the_password(register: Register) -> None:
    fields = {
        "sign_in": "keeper",
        "name": "Another",
        "role": "approver",
        "licence_number": "INV-9",
        "licence_until": "next year",
        "password": "short",
    }
    answer = register.client_as("keeper").post("/accounts", data=fields)
    assert answer.status_code == 422
    for said in ("There is an account “keeper” already.", "is no day; write it as", "at least 10 characters"):
        assert said in answer.text
    for typed in ("keeper", "Another", "INV-9"):
        assert f'value="{typed}"' in answer.text
    assert 'value="short"' not in answer.text


def test_role_and_licence_are_changed_and_logged(register: Register) -> None:
    number = _number(register, "viewer")
    keeper = register.client_as("keeper")
    fields = {"name": "A Viewer", "role": "restorer", "is_active": "yes", "licence_number": "INV-5", "version": "1"}
    assert keeper.post(f"/accounts/{number}", data=fields).status_code == 303
    assert register.actor("viewer").role == "restorer"
    log = keeper.get(f"/log?about=account/{number}").text
    assert "<del>viewer</del> became <ins>restorer</ins>" in log
    stale = keeper.post(f"/accounts/{number}", data={**fields, "name": "Typed late"})
    assert stale.status_code == 409
    assert 'value="Typed late"' in stale.text
    assert 'name="version" value="2"' in stale.text


def test_a_shut_account_is_out_at_once_with_browser_and_token(register: Register) -> None:
    token = register.token("restorer")
    theirs = register.client()
    _sign_in(theirs)
    number = _number(register, "restorer")
    keeper = register.client_as("keeper")
    keeper.post(f"/accounts/{number}", data={"name": "A Restorer", "role": "restorer", "version": "1"})
    assert theirs.get("/account").status_code == 303
    assert register.client().get("/api/needs", headers={"Authorization": f"Bearer {token}"}).status_code == 401
    assert _sign_in(register.client()) == 422
    fields = {"name": "A Restorer", "role": "restorer", "version": "2", "is_active": "yes"}
    assert keeper.post(f"/accounts/{number}", data=fields).status_code == 303
    assert theirs.get("/account").status_code == 303, "an old browser does not come back with the account"
    assert _sign_in(register.client()) == 303


def test_a_keeper_cannot_lock_the_door_behind_themselves(register: Register) -> None:
    number = _number(register, "keeper")
    keeper = register.client_as("keeper")
    for fields in ({"role": "viewer", "is_active": "yes"}, {"role": "keeper"}):
        answer = keeper.post(f"/accounts/{number}", data={"name": "A Keeper", "version": "1", **fields})
        assert answer.status_code == 422
        assert "let another keeper do it" in answer.text
    assert register.actor("keeper").role == "keeper"


def test_a_password_is_reset_by_typing_and_by_making(register: Register) -> None:
    number = _number(register, "restorer")
    theirs = register.client()
    _sign_in(theirs)
    keeper = register.client_as("keeper")
    assert keeper.post(f"/accounts/{number}/password", data={"password": "short"}).status_code == 422
    assert theirs.get("/account").status_code == 200
    assert keeper.post(f"/accounts/{number}/password", data={"password": NEW}).status_code == 303
    assert theirs.get("/account").status_code == 303
    assert _sign_in(register.client(), password=NEW) == 303
    answer = keeper.post(f"/accounts/{number}/password", data={"password": ""})
    made = answer.text.split('id="made-password"')[1].split('value="')[1].split('"')[0]
    assert _sign_in(register.client(), password=made) == 303
    assert _sign_in(register.client(), password=NEW) == 422


def test_there_is_no_account_of_a_number_too_great_for_the_database(register: Register) -> None:
    keeper = register.client_as("keeper")
    for number in ("99", "0", "-1", "x", "99999999999999999999"):
        assert keeper.get(f"/accounts/{number}").status_code == 404
