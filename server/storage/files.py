"""Photographs and papers on disk, each under the digest of its bytes; nothing is ever written twice."""

import hashlib
import os
import tempfile
from pathlib import Path

from server.domain.errors import NotFound


class Files:
    """A folder of files named by SHA-256."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def path(self, digest: str) -> Path:
        """Where a file of this digest lies; a digest is 64 hexadecimal signs and nothing else."""
        if len(digest) != 64 or not all(sign in "0123456789abcdef" for sign in digest):
            raise NotFound("There is no such file.")
        return self.folder / digest[:2] / digest

    def put(self, content: bytes) -> str:
        """Keep these bytes; their digest. Written beside and moved, so that a half file is never seen."""
        digest = hashlib.sha256(content).hexdigest()
        path = self.path(digest)
        if path.exists():
            return digest
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as half:
            half.write(content)
            half.flush()
            os.fsync(half.fileno())
        Path(half.name).replace(path)
        return digest

    def get(self, digest: str) -> bytes:
        """The bytes of this digest. Raises NotFound."""
        path = self.path(digest)
        if not path.is_file():
            raise NotFound("The file of this record is not in the files folder.")
        return path.read_bytes()

    def is_whole(self, digest: str) -> bool:
        """True where the file is there and its bytes still have this digest."""
        path = self.path(digest)
        return path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == digest
