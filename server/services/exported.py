"""An exported record checked with nothing but the file and the public key: no register, no database.

The form of an export is written down in DEVELOPERS.md, section "The record",
and in the README.txt of every archive.
"""

import json
import zipfile
import zlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields
from hashlib import sha256
from pathlib import Path
from typing import Any

from server.domain.errors import Refused
from server.domain.plain import canonical, digest_of
from server.domain.register import record_number
from server.domain.seals import FIRST_RECORD, FIRST_SEAL, Seal, is_signed, seal_faults
from server.services.verifying import Broken, attachments_of, read_record

FORM = "makegood export 1"
CONTENTS_FORM = "makegood contents 1"
CONTENTS = "contents.json"


class NoExport(Refused):
    """The file is no exported record."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What came out: how many records, what does not hold, and what could not be looked at."""

    records: int
    broken: list[Broken]
    notes: list[str]


def check_export(path: Path, keys: Collection[str] = ()) -> Checked:
    """Check an archive (zip), a folder, or a single record's JSON. Raises NoExport.

    `keys` are public keys known from elsewhere; without any, the ones in the file are taken
    and a note says what that is worth.
    """
    held, notes = _read(path), []
    contents, broken = _contents(held)
    is_archive = path.is_dir() or zipfile.is_zipfile(path)
    if is_archive and contents is None and not broken:
        broken.append(Broken(CONTENTS, "the list of contents is missing"))
    records = [_record(name, held[name]) for name in sorted(held) if _is_record(name, is_archive=is_archive)]
    if not records:
        raise NoExport(f"{path} holds no exported record.")
    known = frozenset(keys)
    if not known:
        known = frozenset(str(one) for record in records for one in record.body.get("public_keys", []))
        notes.append(
            "Checked against the key in the file itself: this shows that nothing changed since, not who sealed it. "
            "Name the register's own key with --public-key."
        )
    if contents is not None:
        broken.extend(_contents_faults(contents, held, known))
    broken.extend(Broken(one.name, what) for one in records for what in _record_faults(one, known))
    is_whole = contents is not None and contents.get("whole") is True
    if is_whole:
        broken.extend(_chain_faults(records))
    named = {str(a.get("digest")) for one in records for a in attachments_of(one.plain)}
    if is_archive:
        there = {sha256(content).hexdigest() for name, content in held.items() if name.startswith("files/")}
        broken.extend(Broken(f"files/{one}", "it is missing, or was changed") for one in sorted(named - there))
    elif named:
        notes.append(f"{len(named)} photographs and papers are named in it and not in this file: not looked at.")
    return Checked(len(records), broken, notes)


def _read(path: Path) -> dict[str, bytes]:
    if path.is_dir():
        return {str(one.relative_to(path).as_posix()): one.read_bytes() for one in path.rglob("*") if one.is_file()}
    try:
        content = path.read_bytes()
    except OSError as error:
        raise NoExport(f"{path} can't be read: {error.strerror}") from error
    if not content.startswith(b"PK"):
        return {path.name: content}
    try:
        with zipfile.ZipFile(path) as held:
            names = held.namelist()
            if len(names) != len(set(names)):
                raise NoExport(f"{path} holds a name twice.")
            return {name: held.read(name) for name in names}
    except (
        zipfile.BadZipFile,
        OSError,
        EOFError,
        ValueError,
        NotImplementedError,
        RuntimeError,
        zlib.error,
    ) as error:
        raise NoExport(f"{path} is damaged: {error}") from error


def _is_record(name: str, *, is_archive: bool) -> bool:
    return not is_archive or (name.startswith("records/") and name.endswith(".json"))


@dataclass(frozen=True, slots=True)
class _Record:
    """One exported record: its name for messages, the file's body, and the frozen values."""

    name: str
    body: dict[str, Any]
    plain: dict[str, Any]
    faults: tuple[str, ...]

    @property
    def seal(self) -> Seal | None:
        """The seal as the file gives it; None where its form is not a seal's."""
        plain = self.body.get("seal")
        if not isinstance(plain, dict) or set(plain) != {one.name for one in fields(Seal)}:
            return None
        numbers = (plain["number"], plain["record"])
        texts = (plain["sealed_at"], plain["head"], plain["key"], plain["previous"], plain["signature"])
        if not all(type(one) is int for one in numbers) or not all(isinstance(one, str) for one in texts):
            return None
        return Seal(**plain)


def _body(content: bytes) -> tuple[dict[str, Any], list[str]]:
    """The values of a file that should be canonical JSON, and what is wrong with its form."""
    try:
        text = content.decode()
        body = json.loads(text)
    except (ValueError, RecursionError):
        return {}, ["it can't be read"]
    if not isinstance(body, dict):
        return {}, ["it can't be read"]
    if canonical(body) != text:
        return body, ["the file was written anew since: its text is not in the canonical form"]
    return body, []


def _record(name: str, content: bytes) -> _Record:
    body, faults = _body(content)
    plain = read_record(str(body.get("record", "")))
    if plain is None:
        faults.append("its text can't be read")
    if body and body.get("form") != FORM:
        faults.append(f"it is not of the form “{FORM}”")
    number = body.get("number")
    said = record_number(number) if type(number) is int else name
    return _Record(said, body, plain or {}, tuple(faults))


def _record_faults(one: _Record, keys: frozenset[str]) -> list[str]:
    faults, body = list(one.faults), one.body
    digest = str(body.get("digest"))
    if digest_of(str(body.get("record", ""))) != digest:
        faults.append("its text was changed after it was signed")
    if body.get("previous") != one.plain.get("previous"):
        faults.append("the digest before it says something else than the record")
    seal, number = one.seal, body.get("number")
    if seal is None or type(number) is not int:
        return [*faults, "it has no seal, or one that can't be read"]
    return faults + seal_faults(seal, number, digest, keys)


def _contents(held: Mapping[str, bytes]) -> tuple[dict[str, Any] | None, list[Broken]]:
    if CONTENTS not in held:
        return None, []
    body, faults = _body(held[CONTENTS])
    return (body or None), [Broken(CONTENTS, what) for what in faults]


def _contents_faults(contents: Mapping[str, Any], held: Mapping[str, bytes], keys: frozenset[str]) -> list[Broken]:
    faults: list[Broken] = []
    key, signature = str(contents.get("key")), str(contents.get("signature"))
    unsigned = canonical({name: value for name, value in contents.items() if name != "signature"})
    if contents.get("form") != CONTENTS_FORM or key not in keys or not is_signed(unsigned, signature, key):
        faults.append(Broken(CONTENTS, "the list of contents is not signed by the register, or was changed"))
    listed = contents.get("files")
    listed = listed if isinstance(listed, dict) else {}
    there = {name: sha256(content).hexdigest() for name, content in held.items() if name != CONTENTS}
    faults.extend(Broken(name, "it is missing") for name in sorted(set(listed) - set(there)))
    faults.extend(
        Broken(name, "it is not on the list of contents: slipped in") for name in sorted(set(there) - set(listed))
    )
    faults.extend(
        Broken(name, "it was changed after the export")
        for name in sorted(there)
        if listed.get(name, there[name]) != there[name]
    )
    return faults


def _chain_faults(records: list[_Record]) -> list[Broken]:
    """All records of a register: each follows the one before, and so do the seals."""
    faults: list[Broken] = []
    digest, signature = FIRST_RECORD, FIRST_SEAL
    for one in sorted(records, key=lambda record: str(record.body.get("number")).zfill(12)):
        if one.body.get("previous") != digest:
            faults.append(Broken(one.name, "it does not follow the record before it: one was taken out or slipped in"))
        if one.seal is not None and one.seal.previous != signature:
            faults.append(
                Broken(one.name, "its seal does not follow the seal before it: one was taken out or slipped in")
            )
        digest = str(one.body.get("digest"))
        signature = one.seal.signature if one.seal is not None else ""
    return faults
