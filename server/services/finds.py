"""Logging finds, measuring them, changing and withdrawing them; photographs and papers of both records."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlmodel import Session, select

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.domain.offer import Evidence, Origin
from server.domain.pieces import read_pieces
from server.domain.prices import read_price
from server.domain.register import Actor, Attached, Find, UserRole, find_title
from server.services import indexing
from server.services.clocks import day_of
from server.services.from_whom import enter_new_supplier, known_supplier
from server.services.held_photos import claim_held, is_held
from server.services.pictures import NotAPicture, Picture, clean_photo, paper_type
from server.services.sizes import characteristic_said, classes_or_fault, statement_values
from server.services.typed import NOTE, Given, Typed
from server.services.yard import changed_fields, keep_count, reason_given, refuse_withdrawn, require
from server.settings import MAX_PAPERS_AT_ONCE, MAX_PHOTOS_AT_ONCE
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import find_of_capture, get_find_row, load_find
from server.storage.log import changes_since, write_log
from server.storage.needs import get_need_row
from server.storage.tables import AttachmentRow, EvidenceRow, FindRow, StatementRow, SupplierRow

MOST_STATEMENTS = 12
FINDS_TEXT = 1000


class FindOvertaken(Overtaken):
    """Somebody else changed the find meanwhile: what they changed, by field."""

    def __init__(self, version: int, changes: dict[str, tuple[Any, Any, str]]) -> None:
        said = "; ".join(
            f"{name.replace('_', ' ')}: “{was}” is now “{now}” ({who})" for name, (was, now, who) in changes.items()
        )
        more = f" They changed: {said}." if said else " They added to it."
        super().__init__(f"Somebody else changed this find since you opened it.{more} Your typing is kept; save again.")
        self.version = version
        self.changes = changes


def find_values(session: Session, typed: Typed, *, is_shown: bool = False) -> dict[str, Any]:
    """The column values of a find's own fields; faults go to the fields.

    A find may be unidentified: a reading, or what else shows it (`is_shown`), stands for the words.
    """
    text = typed.text("text", "What it is", most=FINDS_TEXT)
    if not text and not is_shown and not _is_read(typed):
        typed.fault("text", "Say what it is, or add a photograph or a reading.")
    given_class = classes_or_fault(typed, "part_class", required=False)
    quantity_text = typed.text("quantity_text", "How many", most=60)
    quantity = typed.number("quantity", "How many, pieces", high=1_000_000)
    if quantity is None:
        quantity = read_pieces(quantity_text)
    price = typed.text("price_text", "Price", most=60)
    minor, currency = read_price(price)
    origin = typed.word("origin", Origin, "Kind of source")
    supplier = typed.number("supplier_id", "Supplier", low=1, high=2_000_000_000)
    if supplier is not None and session.get(SupplierRow, supplier) is None:
        typed.fault("supplier_id", "Choose a supplier from the list.")
    supplier = known_supplier(session, typed, supplier)
    return {
        "text": text,
        "part_class": given_class.key if given_class else "",
        "origin": origin.value if origin else "",
        "supplier_id": supplier,
        "condition": typed.text("condition", "Condition", most=500),
        "quantity_text": quantity_text,
        "quantity": quantity,
        "smallest_lot": typed.text("smallest_lot", "Smallest lot", most=60),
        "price_text": price,
        "price_minor": minor,
        "price_currency": currency,
        "lead_time": typed.text("lead_time", "Lead time", most=60),
        "bin": typed.text("bin", "Where it lies", most=60),
        "finish_to_come": typed.flag("finish_to_come"),
        "note": typed.text("note", "Note", most=NOTE),
        "ref": typed.text("ref", "Own reference", most=60),
    }


def _is_read(typed: Typed) -> bool:
    """Does a reading come with this form?"""
    return any(typed.raw(f"m{number}_text") for number in range(1, MOST_STATEMENTS + 1))


def is_pictured(session: Session, actor: Actor, typed: Typed, kept: Sequence[Any]) -> bool:
    """Does a photograph come with this form: sent with it, held for it, or refused with a fault of its own?"""
    return bool(kept) or "photos" in typed.faults or is_held(session, actor, typed.all("held"))


def _is_shown(session: Session, number: int) -> bool:
    """Does a reading or a photograph of this find stand?"""
    rows: tuple[Any, ...] = (StatementRow, AttachmentRow)
    return any(
        session.exec(select(row.id).where(row.find_id == number, row.withdrawn_at.is_(None))).first() is not None
        for row in rows
    )


def log_find(
    store: Store,
    files: Files,
    actor: Actor,
    given: Given,
    photos: Sequence[tuple[str, bytes]] = (),
) -> int:
    """Keep a find with its photographs; its running number, given at once.

    Statements come as m1_characteristic, m1_text, m1_basis, m1_instrument,
    m1_uncertainty, m1_stage … m12_…; evidence as several `evidence` words
    with `evidence_note`; photographs of a form that came back as `held`. A
    `capture_id` seen before gives back the find it became, so that a phone
    may send twice. Raises Faults, NotAllowed.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    kept = cleaned(typed, photos)
    capture = typed.raw("capture_id")[:64]
    with store.write() as session:
        if capture and (before := find_of_capture(session, capture)) is not None:
            return before
        return log_find_in(session, store, files, actor, typed, kept)


def cleaned(typed: Typed, photos: Sequence[tuple[str, bytes]]) -> list[tuple[str, Picture]]:
    """Photographs with their names, cleaned; faults go to the field `photos`."""
    real = [(name, content) for name, content in photos if name or content]
    if not _are_taken(typed, len(real)):
        return []
    kept: list[tuple[str, Picture]] = []
    for name, content in real:
        try:
            kept.append((name, clean_photo(content, name)))
        except NotAPicture as refused:
            typed.fault("photos", str(refused))
    return kept


def _are_taken(typed: Typed, photos: int) -> bool:
    """False, and a fault at the field, where these photographs and those held for the form are too many at once."""
    sent = photos + len(set(typed.all("held")))
    if sent > MAX_PHOTOS_AT_ONCE:
        typed.fault("photos", f"{sent} photographs; {MAX_PHOTOS_AT_ONCE} are taken at once. Add the others afterwards.")
    return sent <= MAX_PHOTOS_AT_ONCE


def count_photos(given: Given, photos: int) -> None:
    """Raise Faults where a form brings more photographs than are taken at once, counting those held for it."""
    typed = Typed(given)
    _are_taken(typed, photos)
    typed.done()


def log_find_in(
    session: Session,
    store: Store,
    files: Files,
    actor: Actor,
    typed: Typed,
    kept: Sequence[tuple[str, Any]] = (),
    *,
    is_shown: bool = False,
) -> int:
    """The same inside a unit of work of the caller's, with photographs already cleaned; `is_shown` by what follows."""
    now = store.clock()
    values = find_values(session, typed, is_shown=is_shown or is_pictured(session, actor, typed, kept))
    statements = first_statements(typed, values["part_class"])
    evidence = typed.words("evidence", Evidence, "Provenance")
    typed.done()
    enter_new_supplier(session, store, actor, typed, values)
    row = FindRow(
        **values,
        capture_id=typed.raw("capture_id")[:64] or None,
        logged_by=actor.name,
        logged_by_id=actor.id,
        logged_at=now,
        changed_at=now,
    )
    session.add(row)
    session.flush()
    assert row.id is not None
    for statement in statements:
        statement["by"] = statement["by"] or actor.name
        statement["on_day"] = statement["on_day"] or day_of(session, now)
        session.add(StatementRow(find_id=row.id, **statement, created_by=actor.name, created_at=now))
    note = typed.text("evidence_note", "About the provenance", most=1000)
    for kind in evidence:
        session.add(EvidenceRow(find_id=row.id, kind=kind.value, note=note, created_by=actor.name, created_at=now))
    for name, picture in kept:
        session.add(photo_row(files, picture, name, actor, now, find_id=row.id))
    names = [name for name, _ in kept] + claim_held(session, actor, typed.all("held"), row.id, now)
    said = {"version": 1, **first_said(row.part_class, statements, evidence, note, names)}
    write_log(session, now, actor, f"logged find “{find_title(row.text)[:80]}”", f"find/{row.id}", said)
    indexing.index_find(session, row.id, now)
    return row.id


def first_statements(typed: Typed, class_key: str) -> list[dict[str, Any]]:
    """The column values of the statements that came with a find's form; faults go to the fields."""
    found: list[dict[str, Any]] = []
    for number in range(1, MOST_STATEMENTS + 1):
        prefix = f"m{number}_"
        has_text, has_name = typed.raw(f"{prefix}text"), typed.raw(f"{prefix}characteristic")
        if has_text and not has_name:
            typed.fault(f"{prefix}characteristic", "Say what was measured here.")
        elif has_name and has_text:
            found.append(statement_values(typed, class_key or "general", prefix))
    return found


def first_said(
    class_key: str, statements: Sequence[dict[str, Any]], evidence: Sequence[Evidence], note: str, names: Sequence[str]
) -> dict[str, list[str]]:
    """For the log, what came with the form of a find beside its own fields; what did not come is left out."""
    entered = [_statement_said(class_key, one["basis"], one["characteristic"], one["text"]) for one in statements]
    entered += [_proof_said(kind.value, note) for kind in evidence]
    said = {"entered": entered, "photographs": [name or "without a name" for name in names]}
    return {name: several for name, several in said.items() if several}


def _statement_said(class_key: str, basis: str, characteristic: str, text: str) -> str:
    return f"{basis}: {characteristic_said(class_key, characteristic)} {text}"


def _proof_said(kind: str, note: str) -> str:
    return f"provenance: {kind}, {note}" if note else f"provenance: {kind}"


def photo_row(
    files: Files,
    picture: Picture,
    name: str,
    actor: Actor,
    now: Any,
    *,
    need_id: int | None = None,
    find_id: int | None = None,
    remark_id: int | None = None,
) -> AttachmentRow:
    """The row of a cleaned photograph, its bytes kept among the files."""
    return AttachmentRow(
        kind=Attached.PHOTO.value,
        need_id=need_id,
        find_id=find_id,
        remark_id=remark_id,
        digest=files.put(picture.content),
        media_type="image/jpeg",
        name=name[:200],
        size=len(picture.content),
        width=picture.width,
        height=picture.height,
        by=actor.name,
        created_at=now,
    )


def change_find(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Change a find's own fields. Raises Faults, NotAllowed, NotFound, Overtaken."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_find_row(session, number)
        refuse_withdrawn(row)
        seen = typed.number("version", "Version", low=1)
        if seen is None or seen != row.version:
            raise FindOvertaken(row.version, changes_since(session, f"find/{number}", seen or 0))
        values = find_values(session, typed, is_shown=_is_shown(session, number))
        typed.done()
        keep_count(row, values, typed)
        enter_new_supplier(session, store, actor, typed, values)
        changes = changed_fields(row, values)
        for name, value in values.items():
            setattr(row, name, value)
        if changes:
            entered(session, row, actor, now, "changed the find", changes)


def add_statement(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Add what is claimed or was measured. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_find_row(session, number)
        refuse_withdrawn(row)
        values = statement_values(typed, row.part_class or "general")
        values["by"] = values["by"] or actor.name
        values["on_day"] = values["on_day"] or day_of(session, now)
        typed.done()
        session.add(StatementRow(find_id=number, **values, created_by=actor.name, created_at=now))
        said = _statement_said(row.part_class, values["basis"], values["characteristic"], values["text"])
        entered(session, row, actor, now, said)


def add_evidence(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Add a piece of provenance. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    kind = typed.word("kind", Evidence, "Kind of evidence", required=True)
    note = typed.text("note", "What it says", most=1000)
    typed.done()
    assert kind is not None
    now = store.clock()
    with store.write() as session:
        row = get_find_row(session, number)
        refuse_withdrawn(row)
        session.add(EvidenceRow(find_id=number, kind=kind.value, note=note, created_by=actor.name, created_at=now))
        entered(session, row, actor, now, _proof_said(kind.value, note))


def entered(
    session: Session,
    row: FindRow,
    actor: Actor,
    now: Any,
    did: str,
    changes: dict[str, list[Any]] | None = None,
    further: Mapping[str, Any] | None = None,
) -> None:
    """Something of the find was changed or added: new version, log (`further` stands in it too), index."""
    assert row.id is not None
    row.version += 1
    row.changed_at = now
    session.add(row)
    said: dict[str, Any] = {"version": row.version, **(further or {})}
    if changes:
        said["changes"] = changes
    write_log(session, now, actor, did, f"find/{row.id}", said)
    indexing.index_find(session, row.id, now)


WITHDRAWABLE: dict[str, type[Any]] = {"statement": StatementRow, "evidence": EvidenceRow}


def withdraw_entry(store: Store, actor: Actor, kind: str, entry_id: int, reason: str) -> int:
    """Withdraw a statement or a piece of evidence with a reason; the find's number.

    Raises Faults without a reason, NotAllowed.
    """
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        entry = session.get(WITHDRAWABLE[kind], entry_id)
        if entry is None or entry.withdrawn_at is not None:
            raise NotAllowed("This entry was withdrawn already or never was.")
        row = get_find_row(session, entry.find_id)
        refuse_withdrawn(row)
        entry.withdrawn_at, entry.withdrawn_reason = now, reason
        session.add(entry)
        if isinstance(entry, StatementRow):
            said = _statement_said(row.part_class, entry.basis, entry.characteristic, entry.text)
        else:
            said = _proof_said(entry.kind, entry.note)
        entered(session, row, actor, now, f"withdrew a {kind}, “{said}”: {reason}")
        number: int = entry.find_id
        return number


def withdraw_find(store: Store, actor: Actor, number: int, reason: str) -> None:
    """Withdraw a find with a reason. Raises Faults without one or for a second time, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = get_find_row(session, number)
        if row.withdrawn_at is not None:
            raise Faults({"reason": "This was withdrawn before."})
        row.withdrawn_at, row.withdrawn_reason = now, reason
        entered(session, row, actor, now, f"withdrew the find: {reason}")


def attach(
    store: Store,
    files: Files,
    actor: Actor,
    *,
    photos: Sequence[tuple[str, bytes]] = (),
    papers: Sequence[tuple[str, bytes]] = (),
    need_id: int | None = None,
    find_id: int | None = None,
    caption: str = "",
) -> int:
    """Attach photographs and papers to a need or a find; how many were kept. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed({"caption": caption})
    text = typed.text("caption", "What it shows", most=300)
    pictures = cleaned(typed, photos)
    kept_papers = _known_papers(typed, papers)
    if not pictures and not kept_papers and not typed.faults:
        typed.fault("photos", "Choose a photograph or a paper first.")
    typed.done()
    now = store.clock()
    with store.write() as session:
        if need_id is not None:
            refuse_withdrawn(get_need_row(session, need_id))
        if find_id is not None:
            refuse_withdrawn(get_find_row(session, find_id))
        for name, picture in pictures:
            row = photo_row(files, picture, name, actor, now, need_id=need_id, find_id=find_id)
            row.caption = text
            session.add(row)
        for name, content, media_type in kept_papers:
            session.add(
                AttachmentRow(
                    kind=Attached.PAPER.value,
                    need_id=need_id,
                    find_id=find_id,
                    digest=files.put(content),
                    media_type=media_type,
                    name=name[:200],
                    caption=text,
                    size=len(content),
                    by=actor.name,
                    created_at=now,
                )
            )
        subject = f"need/{need_id}" if need_id is not None else f"find/{find_id}"
        names = [name for name, _ in pictures] + [name for name, _, _ in kept_papers]
        quoted = [f"“{name}”" if name else "a file without a name" for name in names]
        did = f"attached {' and '.join(part for part in (', '.join(quoted[:-1]), quoted[-1]) if part)}"
        write_log(session, now, actor, did, subject, {"caption": text} if text else None)
    return len(pictures) + len(kept_papers)


def _known_papers(typed: Typed, papers: Sequence[tuple[str, bytes]]) -> list[tuple[str, bytes, str]]:
    """Papers with their name and media type; faults go to the field `papers`."""
    real = [(name, content) for name, content in papers if name or content]
    if len(real) > MAX_PAPERS_AT_ONCE:
        typed.fault("papers", f"{len(real)} papers; {MAX_PAPERS_AT_ONCE} are taken at once. Add the others afterwards.")
        return []
    kept: list[tuple[str, bytes, str]] = []
    for name, content in real:
        try:
            kept.append((name, content, paper_type(content, name)))
        except NotAPicture as refused:
            typed.fault("papers", str(refused))
    return kept


def withdraw_attachment(store: Store, actor: Actor, attachment_id: int, reason: str) -> str:
    """Withdraw a photograph or paper with a reason; the address of its record. The bytes stay."""
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = session.get(AttachmentRow, attachment_id)
        if row is None or row.withdrawn_at is not None:
            raise NotAllowed("This was withdrawn already or never was.")
        if row.remark_id is not None:
            raise NotAllowed("This belongs to a question or answer; take that back instead.")
        if row.need_id is not None:
            refuse_withdrawn(get_need_row(session, row.need_id))
        if row.find_id is not None:
            refuse_withdrawn(get_find_row(session, row.find_id))
        row.withdrawn_at, row.withdrawn_reason = now, reason
        session.add(row)
        record = f"need/{row.need_id}" if row.need_id is not None else f"find/{row.find_id}"
        write_log(session, now, actor, f"withdrew a {row.kind}, “{row.name or row.caption}”: {reason}", record)
        return "/" + record.replace("/", "s/", 1)


def get_find(store: Store, number: int) -> Find:
    """A find whole. Raises NotFound."""
    with store.read() as session:
        return load_find(session, number)
