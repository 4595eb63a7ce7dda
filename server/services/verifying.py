"""Does every record still stand as it was signed? Every column, every seal, every file."""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.plain import digest_of
from server.domain.register import record_number
from server.domain.seals import FIRST_RECORD, FIRST_SEAL, Seal, seal_faults
from server.services.seals import public_keys
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import signed_in_log
from server.storage.raw import raw_rows
from server.storage.tables import CandidateRow, SealRow, SignOffRow


@dataclass(frozen=True, slots=True)
class Broken:
    """One thing that does not hold, and the record it is found at."""

    record: str
    what: str


def verify(
    store: Store, files: Files, keys: Collection[str] = (), kept: Collection[str] = ()
) -> tuple[int, list[Broken]]:
    """Walk all records in order: how many there are, and what does not hold, the first first.

    `keys` are the public keys that were kept elsewhere; without any, the register's own word is
    taken for them; `kept` are digests of records that were printed or kept elsewhere. Looked at: each
    record's text by its digest, the link to the one before, every column of the row beside it, its
    seal, the bytes of every photograph and paper named in it, and whether every record that the log or
    `kept` tells of is here: a chain that was cut off at its end still holds.
    """
    broken: list[Broken] = []
    with store.read() as session:
        own = frozenset(keys or public_keys(session))
        seals = [_seal(raw) for raw in raw_rows(session, SealRow)]
        by_record = {seal.record: (seal, before) for seal, before in _with_the_one_before(seals)}
        previous = FIRST_RECORD
        rows = raw_rows(session, SignOffRow)
        for raw in rows:
            number = whole_number(raw["id"])
            faults = _row_faults(session, raw, previous, files)
            seal, before = by_record.pop(number, (None, ""))
            if seal is None:
                faults.append("it has no seal (records from before the seals get theirs by: makegood upgrade)")
            else:
                faults.extend(seal_faults(seal, number, raw["digest"], own))
                if seal.previous != before:
                    faults.append("its seal does not follow the seal before it: one was taken out or slipped in")
            broken.extend(Broken(record_number(number), what) for what in faults)
            previous = raw["digest"]
        here = {raw["digest"] for raw in rows}
        told = signed_in_log(session)
    broken.extend(
        Broken(f"seal {seal.number}", "it stands under no record: the record was taken out")
        for seal, _ in by_record.values()
    )
    broken.extend(
        Broken("the log", f"“{did}” was signed with the digest {digest}, and that record is not here: it was taken out")
        for did, digest in told
        if digest not in here
    )
    broken.extend(
        Broken(
            "kept elsewhere", f"no record here has the digest {digest}: it was taken out, or is not of this register"
        )
        for digest in kept
        if digest not in here
    )
    return len(rows), broken


def last_record(store: Store) -> tuple[int, str] | None:
    """Number and digest of the newest record; None before the first. Kept elsewhere, it shows a chain cut short."""
    with store.read() as session:
        found = session.exec(select(SignOffRow.id, SignOffRow.digest).order_by(col(SignOffRow.id).desc())).first()
    return None if found is None or found[0] is None else (found[0], found[1])


def whole_number(text: str) -> int:
    """The number a text spells; -1 for anything else."""
    return int(text) if text.isascii() and text.isdigit() and str(int(text)) == text else -1


def _seal(raw: Mapping[str, str]) -> Seal:
    return Seal(
        number=whole_number(raw["id"]),
        record=whole_number(raw["record_id"]),
        sealed_at=raw["sealed_at"],
        head=raw["head"],
        key=raw["key"],
        previous=raw["previous"],
        signature=raw["signature"],
    )


def _with_the_one_before(seals: list[Seal]) -> list[tuple[Seal, str]]:
    before = [FIRST_SEAL, *(seal.signature for seal in seals)]
    return list(zip(seals, before, strict=False))


def _row_faults(session: Session, raw: Mapping[str, str], previous: str, files: Files) -> list[str]:
    faults: list[str] = []
    if digest_of(raw["record"]) != raw["digest"]:
        faults.append("its text was changed after it was signed")
    if raw["previous"] != previous:
        faults.append("it does not follow the record before it: one was taken out or slipped in")
    plain = read_record(raw["record"])
    if plain is None:
        return [*faults, "its text can't be read"]
    signer = plain.get("signer") or {}
    inside = {
        "candidate_id": str(plain.get("candidate")),
        "decision": str(plain.get("decision")),
        "signed_by": str(signer.get("name")),
        "signed_by_id": str(signer.get("id")),
        "signed_at": str(plain.get("signed_at")),
        "previous": str(plain.get("previous")),
    }
    differing = [name for name, said in inside.items() if raw[name] != said]
    if differing:
        faults.append(f"the list beside it says something else than the record ({', '.join(differing)})")
    if session.get(CandidateRow, whole_number(raw["candidate_id"])) is None:
        faults.append("its candidate is gone")
    faults.extend(
        f"the {attached.get('kind')} “{attached.get('name')}” is gone or was changed"
        for attached in attachments_of(plain)
        if not _is_whole(files, str(attached.get("digest")))
    )
    return faults


def read_record(text: str) -> dict[str, Any] | None:
    """A record's text as values; None where it can't be read as a record at all."""
    try:
        plain = json.loads(text)
    except ValueError:
        return None
    if not isinstance(plain, dict) or not all(
        isinstance(plain.get(one, {}), dict) for one in ("signer", "need", "find")
    ):
        return None
    return plain


def attachments_of(plain: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Photographs and papers that a record names: of the need, of the find, of what was asked and answered."""
    holders = [plain.get("need"), plain.get("find"), *(plain.get("remarks") or ())]
    named = (attached for one in holders if isinstance(one, dict) for attached in one.get("attachments") or ())
    return [one for one in named if isinstance(one, dict)]


def _is_whole(files: Files, digest: str) -> bool:
    try:
        return files.is_whole(digest)
    except NotFound:
        return False
