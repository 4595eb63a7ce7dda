"""The register's private key: one file in the data folder, readable by its owner alone.

The private half is never in the database, in the log, in an export or in a
message. Whoever copies the data folder copies the key with it: keep backups
as safe as the folder.
"""

import os
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from server.domain.errors import Refused

FILE = "seal.key"


class NoSealKey(Refused):
    """The key that seals the records is not there, or can't be used."""


class SealKey:
    """The private key in memory, for as long as it is needed."""

    def __init__(self, private: Ed25519PrivateKey) -> None:
        self._private = private

    @property
    def public(self) -> str:
        """The public half, 64 hexadecimal signs."""
        return self._private.public_key().public_bytes_raw().hex()

    def sign(self, text: str) -> str:
        """The signature of a text, 128 hexadecimal signs."""
        return self._private.sign(text.encode()).hex()


def make_key(path: Path) -> SealKey:
    """A new key in a new file of mode 0600. Raises NoSealKey where a file is there already."""
    private = Ed25519PrivateKey.generate()
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        held = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError as there:
        raise NoSealKey(f"{path} is there already; it is never written over.") from there
    with os.fdopen(held, "w", encoding="ascii") as out:
        out.write(private.private_bytes_raw().hex() + "\n")
        out.flush()
        os.fsync(out.fileno())
    return SealKey(private)


def read_key(path: Path) -> SealKey:
    """The key of this file. Raises NoSealKey, never saying what is in it."""
    try:
        raw = bytes.fromhex(path.read_text(encoding="ascii").strip())
        return SealKey(Ed25519PrivateKey.from_private_bytes(raw))
    except FileNotFoundError as gone:
        raise NoSealKey(
            f"The key that seals the records is not at {path}. Put it back from the backup; "
            "if it is lost, make another with: makegood seal-key --new"
        ) from gone
    except (OSError, ValueError):
        # the cause is left out: a message about a bad key would quote it
        raise NoSealKey(f"{path} can't be read as a key. Put it back from the backup.") from None
