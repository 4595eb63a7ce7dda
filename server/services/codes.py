"""Codes of an authenticator app: TOTP, RFC 6238, with SHA-1, six digits and steps of 30 s."""

import hmac
from datetime import datetime

import pyotp

STEP = 30
"""Seconds for which a code holds (RFC 6238, 4.1)."""
AROUND = (0, -1, 1)
"""Steps looked at: the present one first, then one before and one after (RFC 6238, 5.2)."""
WRONG_CODE = "This code is not right now. Wait for the next one and type that."


def step_of(now: datetime) -> int:
    """The time step of a moment, counted from 1970 (RFC 6238, 4.2)."""
    return int(now.timestamp()) // STEP


def code_of(secret: str, step: int) -> str:
    """The six digits of a secret (base 32) at a time step."""
    return pyotp.TOTP(secret, interval=STEP).generate_otp(step)


def step_in(secret: str, code: str, now: datetime, last: int | None) -> int | None:
    """The step whose code this is; None where it is none of now, or no later than the last one that counted."""
    typed = "".join(code.split())
    present = step_of(now)
    for around in AROUND:
        step = present + around
        fits = hmac.compare_digest(code_of(secret, step).encode(), typed.encode())
        if fits and (last is None or step > last):
            return step
    return None
