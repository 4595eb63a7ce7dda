"""Codes for signing: against RFC 6238's own test vectors, and that each counts once."""

import base64
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from server.domain.errors import Faults, NotAllowed
from server.services import second_factor, signing, verifying
from server.services.accounts import FREE_TRIES, TooManyTries
from server.services.codes import code_of, step_in, step_of
from server.storage.accounts import get_account
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import read_log
from tests.builders import PASSWORD, Shop, shop
from tests.conftest import Clock
from tests.services.test_signing import a_candidate, answers

RFC_SECRET = base64.b32encode(b"12345678901234567890").decode()
VECTORS = [
    # RFC 6238, appendix B, mode SHA1: seconds since 1970, step, the eight digits
    (59, 0x1, "94287082"),
    (1111111109, 0x23523EC, "07081804"),
    (1111111111, 0x23523ED, "14050471"),
    (1234567890, 0x273EF07, "89005924"),
    (2000000000, 0x3F940AA, "69279037"),
    (20000000000, 0x27BC86AA, "65353130"),
]


@pytest.mark.parametrize(("seconds", "step", "digits"), VECTORS)
def test_the_codes_of_the_standard(seconds: int, step: int, digits: str) -> None:
    """Six digits are the last six of eight: the same number modulo a smaller power of ten (RFC 4226, 5.3)."""
    now = datetime.fromtimestamp(seconds, UTC)
    assert step_of(now) == step
    assert code_of(RFC_SECRET, step) == digits[-6:]
    assert step_in(RFC_SECRET, digits[-6:], now, None) == step


def test_one_step_before_and_after_is_let_through_and_no_more() -> None:
    now = datetime.fromtimestamp(1111111111, UTC)
    step = step_of(now)
    fitting = [away for away in range(-5, 6) if step_in(RFC_SECRET, code_of(RFC_SECRET, step + away), now, None)]
    assert fitting == [-1, 0, 1]
    assert step_in(RFC_SECRET, code_of(RFC_SECRET, step), now, step) is None
    assert step_in(RFC_SECRET, code_of(RFC_SECRET, step - 1), now, step) is None
    assert step_in(RFC_SECRET, code_of(RFC_SECRET, step + 1), now, step) == step + 1


@pytest.mark.parametrize("code", ["", "0", "12345", "1234567", "abcdef", "١٢٣٤٥٦", "\x00", "9" * 5000])
def test_what_is_no_code_is_wrong_and_breaks_nothing(code: str) -> None:
    assert step_in(RFC_SECRET, code, datetime.fromtimestamp(59, UTC), None) is None


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def set_up(made: Shop, clock: Clock) -> str:
    """The approver's device; the clock stands two steps later, so that the next code is fresh."""
    secret = second_factor.offer(made.store, made.approver, PASSWORD).secret
    second_factor.confirm(made.store, made.approver, code_of(secret, step_of(clock.now)))
    clock.now += timedelta(seconds=60)
    return secret


def now_code(secret: str, clock: Clock) -> str:
    return code_of(secret, step_of(clock.now))


def test_signing_asks_for_the_code_and_takes_it_once(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    first, second = a_candidate(made), a_candidate(made)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, first, answers(made, first))
    assert list(refused.value.faults) == ["totp"]
    code = now_code(secret, clock)
    signing.sign(made.store, made.approver, first, answers(made, first, totp=f"{code[:3]} {code[3:]}"))
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, second, answers(made, second, totp=code))
    assert "totp" in refused.value.faults
    clock.now += timedelta(seconds=30)
    signing.sign(made.store, made.approver, second, answers(made, second, totp=now_code(secret, clock)))
    clock.now += timedelta(seconds=30)
    given = {"reason": "The same bag cracked on the sister aeroplane.", "password": PASSWORD}
    with pytest.raises(Faults):
        signing.withdraw_approval(made.store, made.approver, first, given)
    signing.withdraw_approval(made.store, made.approver, first, given | {"totp": now_code(secret, clock)})
    assert verifying.verify(made.store, made.files) == (3, [])


def test_a_form_that_came_back_has_not_used_the_code_up(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    number = a_candidate(made)
    code = now_code(secret, clock)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, totp=code, conditions=""))
    assert list(refused.value.faults) == ["conditions"]
    signing.sign(made.store, made.approver, number, answers(made, number, totp=code))


def test_one_code_sent_twice_at_once_signs_once(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    numbers = [a_candidate(made), a_candidate(made)]
    forms = [answers(made, number, totp=now_code(secret, clock)) for number in numbers]

    def sign(number: int, form: dict[str, str]) -> bool:
        try:
            signing.sign(made.store, made.approver, number, form)
        except Exception:
            return False
        return True

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(sign, numbers, forms)) == [False, True]
    assert verifying.verify(made.store, made.files) == (1, [])


def test_guessing_codes_slows_the_account_down(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    number = a_candidate(made)
    wrong = f"{(int(now_code(secret, clock)) + 500_000) % 1_000_000:06d}"
    for _ in range(FREE_TRIES):
        with pytest.raises(Faults):
            signing.sign(made.store, made.approver, number, answers(made, number, totp=wrong))
    with pytest.raises(TooManyTries):
        signing.sign(made.store, made.approver, number, answers(made, number, totp=now_code(secret, clock)))


def test_a_wrong_password_says_nothing_of_the_code(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    number = a_candidate(made)
    for code in ("000000", now_code(secret, clock)):
        with pytest.raises(Faults) as refused:
            signing.sign(made.store, made.approver, number, answers(made, number, totp=code, password="not it"))
        assert list(refused.value.faults) == ["password"]


def test_it_counts_only_once_it_is_confirmed(made: Shop, clock: Clock) -> None:
    offered = second_factor.offer(made.store, made.approver, PASSWORD)
    assert offered.secret in offered.address
    assert len(base64.b32decode(offered.secret)) >= 20  # RFC 4226, 4, R6: 160 bits are recommended
    assert second_factor.since_when(made.store, made.approver) is None
    with pytest.raises(Faults):
        second_factor.confirm(made.store, made.approver, "abc")
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))
    second_factor.confirm(made.store, made.approver, now_code(offered.secret, clock))
    assert second_factor.since_when(made.store, made.approver) == clock.now


def test_another_device_needs_the_password_and_the_present_one(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    with pytest.raises(Faults):
        second_factor.offer(made.store, made.approver, "not it at all")
    with pytest.raises(Faults):
        second_factor.offer(made.store, made.approver, PASSWORD)
    newer = second_factor.offer(made.store, made.approver, PASSWORD, now_code(secret, clock)).secret
    assert newer != secret
    clock.now += timedelta(seconds=60)
    second_factor.confirm(made.store, made.approver, now_code(newer, clock))
    clock.now += timedelta(seconds=60)
    number = a_candidate(made)
    with pytest.raises(Faults):
        signing.sign(made.store, made.approver, number, answers(made, number, totp=now_code(secret, clock)))
    signing.sign(made.store, made.approver, number, answers(made, number, totp=now_code(newer, clock)))


def test_another_keeper_takes_it_off_and_nobody_their_own(made: Shop, clock: Clock) -> None:
    set_up(made, clock)
    for actor in (made.restorer, made.approver):
        with pytest.raises(NotAllowed):
            second_factor.take_off(made.store, actor, made.approver.id)
    with pytest.raises(NotAllowed):
        second_factor.take_off(made.store, made.keeper, made.keeper.id)
    second_factor.take_off(made.store, made.keeper, made.approver.id)
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))


def test_the_secret_stands_in_no_log(made: Shop, clock: Clock) -> None:
    secret = set_up(made, clock)
    with made.store.read() as session:
        assert secret not in str(read_log(session))
        assert get_account(session, made.approver.id).totp_pending == ""
