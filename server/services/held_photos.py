"""Photographs of a form that came back: a browser can't send them a second time by itself, so the register holds them.

Only their sender can claim them, by their digest, and each once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.register import Actor, Attached
from server.services.pictures import NotAPicture, clean_photo, small_picture
from server.settings import MAX_PHOTOS_AT_ONCE
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.tables import AttachmentRow, HeldPhotoRow

HELD_FOR = timedelta(days=3)


@dataclass(frozen=True, slots=True)
class HeldPhoto:
    """A photograph that waits for its form."""

    digest: str
    name: str

    @property
    def url(self) -> str:
        """Where its sender may look at it."""
        return f"/held/{self.digest}"


def hold_photos(
    store: Store, files: Files, actor: Actor, photos: Sequence[tuple[str, bytes]], before: Sequence[str] = ()
) -> tuple[HeldPhoto, ...]:
    """Hold these photographs, and those held `before` by digest, for the form that goes back; ten at most.

    What is no photograph is left out; whoever reads the form says so.
    """
    now = store.clock()
    pictures = []
    for name, content in photos[:MAX_PHOTOS_AT_ONCE]:
        try:
            pictures.append((name, clean_photo(content, name)))
        except NotAPicture:
            continue
    with store.write() as session:
        session.execute(sa.delete(HeldPhotoRow).where(col(HeldPhotoRow.held_at) < now - HELD_FOR))
        for name, picture in pictures:
            digest = files.put(picture.content)
            if session.get(HeldPhotoRow, (digest, actor.id)) is None:
                session.add(
                    HeldPhotoRow(
                        digest=digest,
                        account_id=actor.id,
                        name=name[:200],
                        size=len(picture.content),
                        width=picture.width,
                        height=picture.height,
                        held_at=now,
                    )
                )
            before = [*before, digest]
        session.flush()
        held = _held(session, actor, before)
    return tuple(HeldPhoto(row.digest, row.name) for row in held)[:MAX_PHOTOS_AT_ONCE]


def _held(session: Session, actor: Actor, digests: Sequence[str]) -> list[HeldPhotoRow]:
    """The held photographs of this sender among these digests, in their order, each once."""
    wanted = select(HeldPhotoRow).where(col(HeldPhotoRow.digest).in_(digests), HeldPhotoRow.account_id == actor.id)
    rows = {row.digest: row for row in session.exec(wanted)}
    return [rows[digest] for digest in dict.fromkeys(digests) if digest in rows]


def is_held(session: Session, actor: Actor, digests: Sequence[str]) -> bool:
    """Does one of these photographs wait here for this sender?"""
    return bool(_held(session, actor, digests))


def claim_held(session: Session, actor: Actor, digests: Sequence[str], find_id: int, now: datetime) -> list[str]:
    """Attach the sender's held photographs to a find, inside the unit of work that keeps it; their names."""
    held = _held(session, actor, digests)[:MAX_PHOTOS_AT_ONCE]
    for row in held:
        session.add(
            AttachmentRow(
                kind=Attached.PHOTO.value,
                find_id=find_id,
                digest=row.digest,
                media_type="image/jpeg",
                name=row.name,
                size=row.size,
                width=row.width,
                height=row.height,
                by=actor.name,
                created_at=now,
            )
        )
        session.delete(row)
    return [row.name for row in held]


def small_held(store: Store, files: Files, actor: Actor, digest: str) -> bytes:
    """A small picture of one's own held photograph. Raises NotFound."""
    with store.read() as session:
        if session.get(HeldPhotoRow, (digest, actor.id)) is None:
            raise NotFound("There is no such photograph.")
    return small_picture(files.get(digest))
