"""Seals: a signature over the head of the chain of records, which anybody can check with the public key alone.

A seal signs a canonical text (see plain.py) that names everything the seal
says: its number, the record, the record's digest, the time, the key, and the
signature of the seal before it. So a seal can't be changed, taken out or
moved to another record, and neither can the record under it.

Source of the signature: Ed25519, RFC 8032 (read in its published form); keys
and signatures are written as lower-case hexadecimal, 64 and 128 signs.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from server.domain.plain import canonical

FORM = "makegood seal 1"
FIRST_RECORD = "0" * 64
"""What the first record names as the digest before it."""
FIRST_SEAL = "0" * 128
"""What the first seal names as the signature before it."""

_KEY = re.compile(r"[0-9a-f]{64}")
_SIGNATURE = re.compile(r"[0-9a-f]{128}")

Signer = Callable[[str], str]
"""Signs a text: canonical text in, signature in hexadecimal out."""


@dataclass(frozen=True, slots=True)
class Seal:
    """One seal; `sealed_at` is ISO 8601 in UTC, kept as text so that not a sign of it can change."""

    number: int
    record: int
    sealed_at: str
    head: str
    key: str
    previous: str
    signature: str = ""

    @property
    def statement(self) -> str:
        """The text that is signed."""
        return canonical(
            {
                "form": FORM,
                "number": self.number,
                "record": self.record,
                "sealed_at": self.sealed_at,
                "head": self.head,
                "key": self.key,
                "previous": self.previous,
            }
        )


def is_key(text: str) -> bool:
    """True for a public key as it is written here."""
    return bool(_KEY.fullmatch(text))


def is_signed(text: str, signature: str, key: str) -> bool:
    """True where the holder of this key's private half signed exactly this text."""
    if not _SIGNATURE.fullmatch(signature) or not is_key(key):
        return False
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(key)).verify(bytes.fromhex(signature), text.encode())
    except (InvalidSignature, ValueError):
        return False
    return True


def seal_faults(seal: Seal, record: int, digest: str, keys: frozenset[str]) -> list[str]:
    """What does not hold of a seal that should stand under this record; `keys` are the register's own."""
    faults: list[str] = []
    if seal.key not in keys:
        faults.append("its seal was made with a key that is not the register's")
    if seal.record != record or seal.head != digest:
        faults.append("its seal was made for another record or another text")
    if not is_signed(seal.statement, seal.signature, seal.key):
        faults.append("its seal does not hold: the seal was changed, or not made by the register")
    return faults
