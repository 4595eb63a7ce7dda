"""Records as an archive that can be read, and proven, when the register is gone.

Layout: README.txt; contents.json (every file with its digest, signed by the register's key);
records/R0001.json, R0001.pdf, R0001-drawing-1.svg; files/<digest>.<ending> for every
photograph and paper, once.
"""

import io
import zipfile
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import asdict
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from server.domain.errors import NotFound, Refused
from server.domain.plain import canonical
from server.services.exported import CONTENTS, CONTENTS_FORM, FORM
from server.services.records import Frozen, load_record, record_numbers
from server.services.seals import key_in, public_keys
from server.services.verifying import attachments_of
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import read_setting

Pages = Callable[[Frozen], Mapping[str, bytes]]
"""What is made for people of one record: name → bytes (the PDF, the drawings)."""

ENDINGS = {"image/jpeg": ".jpg", "image/png": ".png", "application/pdf": ".pdf", "image/tiff": ".tif"}

README = """\
RECORDS OF SUBSTITUTIONS
{register}, written out {made_at} UTC

What this is
  Each record says which part of an aeroplane was replaced by what, why, what was compared,
  and who decided. A person decided; nothing here says that a part is airworthy or lawful to fit.

What is in it
  records/R0001.pdf            the record for reading and for the technical log
  records/R0001.json           the record as it was signed: a text in a fixed form, its digest, its seal
  records/R0001-drawing-1.svg  drawings, to scale
  files/                       photographs and papers; each file's name is the SHA-256 digest of its bytes
  contents.json                every file above with its digest, signed

How to see that nothing was changed
  Digest: take the text under "record" in the JSON file (as the characters it stands for, in UTF-8) and
  take SHA-256 of it. It has to be the text under "digest". Each record names the digest of the record
  before it under "previous"; the first names 64 zeros.
  Seal: write the names form, number, record, sealed_at, head, key, previous of the seal as JSON with
  the names in alphabetical order, no blanks between tokens, characters as they are, in UTF-8, where
  form is "makegood seal 1" and the rest is as it stands under "seal". "signature" is the Ed25519
  signature (RFC 8032) of that text; "key" is the public key; both in hexadecimal. "head" is the digest
  of the record, "previous" the signature of the seal before it; the first names 128 zeros.
  Contents: the same, with everything in contents.json but "signature".
  Numbers with a fraction stand as "n/d" or "n"; times are ISO 8601, in UTC; "" or null is "not said".

  The public key has to come from the register's people, not from this archive:
  {keys}
  With the program:  makegood verify THIS_FILE --public-key KEY
"""


class NotWhole(Refused):
    """A file that a record names is not there as it was signed: nothing is written out without it."""


def record_json(session: Any, record: Frozen) -> str:
    """One record as a file: canonical, so that no sign of it can change unseen."""
    body = {
        "form": FORM,
        "register": read_setting(session, "name", "Makegood"),
        "number": record.id,
        "digest": record.digest,
        "previous": record.previous,
        "record": record.text,
        "seal": asdict(record.seal) if record.seal else None,
        "public_keys": public_keys(session),
    }
    return canonical(body)


def file_name(record: Frozen, rest: str) -> str:
    """Where a file of this record lies in an archive."""
    return f"records/R{record.id:04d}{rest}"


def archive_files(
    store: Store, files: Files, pages: Pages, numbers: Collection[int] | None = None
) -> Iterator[tuple[str, bytes]]:
    """Every file of an archive, contents.json last; of all records unless some are named.

    Raises NotFound, NotWhole, NoSealKey.
    """
    now = store.clock()
    with store.write() as session:
        key = key_in(session, store)
    with store.read() as session:
        name, keys = read_setting(session, "name", "Makegood"), public_keys(session)
        chosen = record_numbers(session) if numbers is None else sorted(numbers)
        digests: dict[str, str] = {}
        for path, content in _files(session, files, pages, chosen, _readme(name, keys, now)):
            digests[path] = sha256(content).hexdigest()
            yield path, content
    contents = {
        "form": CONTENTS_FORM,
        "register": name,
        "made_at": now,
        "whole": numbers is None,
        "files": digests,
        "key": key.public,
    }
    yield CONTENTS, canonical({**contents, "signature": key.sign(canonical(contents))}).encode()


def _readme(name: str, keys: Collection[str], now: datetime) -> bytes:
    return README.format(register=name, made_at=f"{now:%Y-%m-%d %H:%M}", keys="\n  ".join(keys)).encode()


def _files(
    session: Any, files: Files, pages: Pages, numbers: Collection[int], readme: bytes
) -> Iterator[tuple[str, bytes]]:
    yield "README.txt", readme
    written: set[str] = set()
    for number in numbers:
        record = load_record(session, number)
        yield file_name(record, ".json"), record_json(session, record).encode()
        for name, content in pages(record).items():
            yield file_name(record, name), content
        for attached in attachments_of(record.plain):
            digest = attached["digest"]
            if digest in written:
                continue
            written.add(digest)
            yield f"files/{digest}{ENDINGS.get(attached['media_type'], '')}", _whole(files, digest, record, attached)


def _whole(files: Files, digest: str, record: Frozen, attached: Mapping[str, Any]) -> bytes:
    said = f"{record.number}: the {attached['kind']} “{attached['name']}” is gone or was changed. Run: makegood verify"
    try:
        content = files.get(digest)
    except NotFound as gone:
        raise NotWhole(said) from gone
    if sha256(content).hexdigest() != digest:
        raise NotWhole(said)
    return content


def zip_of(held: Iterator[tuple[str, bytes]], moment: datetime) -> bytes:
    """The files of an archive as one zip; the same files give the same bytes."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as out:
        for name, content in held:
            entry = zipfile.ZipInfo(name, (moment.year, moment.month, moment.day, moment.hour, moment.minute, 0))
            entry.external_attr = 0o644 << 16
            packed = name.endswith((".jpg", ".png", ".pdf"))
            out.writestr(entry, content, zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED)
    return written.getvalue()


def write_folder(held: Iterator[tuple[str, bytes]], folder: Path) -> None:
    """The files of an archive into a new or empty folder. Raises Refused."""
    if folder.exists() and any(folder.iterdir()):
        raise Refused(f"{folder} is not empty; records are never written over others.")
    for name, content in held:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
