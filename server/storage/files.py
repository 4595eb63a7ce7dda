"""Photographs and papers on disk, each under the digest of its bytes; nothing is ever written twice.

Beside them, under `made`, lies what was made of them to be shown faster. All
of that may be deleted at any time and need not be backed up: it is made anew.
"""

import hashlib
import os
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from server.domain.errors import NotFound


class Files:
    """A folder of files named by SHA-256."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def path(self, digest: str) -> Path:
        """Where a file of this digest lies; a digest is 64 hexadecimal signs and nothing else."""
        return self.folder / _place(digest)

    def put(self, content: bytes) -> str:
        """Keep these bytes; their digest."""
        digest = hashlib.sha256(content).hexdigest()
        path = self.path(digest)
        if not path.exists():
            _write_whole(path, content)
        return digest

    def get(self, digest: str) -> bytes:
        """The bytes of this digest. Raises NotFound."""
        path = self.path(digest)
        if not path.is_file():
            raise NotFound("The file of this record is not in the files folder.")
        return path.read_bytes()

    def made(self, digest: str, recipe: str, make: Callable[[bytes], bytes]) -> bytes:
        """What `make` makes of a file, kept under the name of its recipe for the next time. Raises NotFound.

        A recipe that changes takes another name. Without the file itself nothing is given out.
        """
        kept = self.folder / "made" / recipe / _place(digest)
        if self.path(digest).is_file():
            with suppress(OSError):
                return kept.read_bytes()
        content = make(self.get(digest))
        # a full disk must not take the picture away: then it is made again the next time
        with suppress(OSError):
            _write_whole(kept, content)
        return content

    def is_whole(self, digest: str) -> bool:
        """True where the file is there and its bytes still have this digest."""
        path = self.path(digest)
        return path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == digest


def _place(digest: str) -> Path:
    if len(digest) != 64 or not all(sign in "0123456789abcdef" for sign in digest):
        raise NotFound("There is no such file.")
    return Path(digest[:2]) / digest


def _write_whole(path: Path, content: bytes) -> None:
    """Written beside and moved, so that a half file is never seen, whoever else writes it at the same time."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as half:
        half.write(content)
        half.flush()
        os.fsync(half.fileno())
    Path(half.name).replace(path)
