"""The tables. They check nothing by themselves: values come through the services.

Words of a closed set are text with a named CHECK; exact fractions are text
("381/128"); a size is kept as typed beside its parsed JSON.
"""

from collections.abc import Iterable
from datetime import date, datetime
from enum import StrEnum
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from server.domain.material_table import ValueClass
from server.domain.offer import Basis, Evidence, Origin, Stage
from server.domain.register import (
    Attached,
    Authentic,
    Decision,
    DesignationKind,
    Enquired,
    Reading,
    ShopRow,
    StepState,
    SupplierState,
    UserRole,
    WordState,
)
from server.domain.specification import Form, KnownFrom, Layer, Role, Use, Weight

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


def _one_of(column: str, words: Iterable[StrEnum], *, empty: bool = False) -> sa.CheckConstraint:
    accepted = [str(word) for word in words] + ([""] if empty else [])
    quoted = ", ".join("'" + word.replace("'", "''") + "'" for word in accepted)
    return sa.CheckConstraint(f"{column} IN ({quoted})", name=f"{column}_known")


def _json() -> Any:
    return Field(default=None, sa_column=sa.Column(sa.JSON(none_as_null=True), nullable=True))


def _list() -> Any:
    return Field(default_factory=list, sa_column=sa.Column(sa.JSON, nullable=False))


class AccountRow(SQLModel, table=True):
    """Somebody who signs in."""

    __tablename__ = "account"
    __table_args__ = (_one_of("role", UserRole),)
    id: int | None = Field(default=None, primary_key=True)
    sign_in: str = Field(unique=True)
    name: str
    role: str
    password_hash: str
    licence_kind: str = ""
    licence_number: str = ""
    licence_until: date | None = None
    is_active: bool = True
    wrong_tries: int = 0
    blocked_until: datetime | None = None
    created_at: datetime
    version: int = 1
    totp_secret: str = Field(default="", sa_column_kwargs={"server_default": ""})
    totp_pending: str = Field(default="", sa_column_kwargs={"server_default": ""})
    totp_since: datetime | None = None
    totp_last_step: int | None = None


class SessionRow(SQLModel, table=True):
    """A signed-in browser; only the digest of its token is kept."""

    __tablename__ = "signed_in"
    token_digest: str = Field(primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    created_at: datetime
    seen_at: datetime
    expires_at: datetime


class TokenRow(SQLModel, table=True):
    """A token for the API, made by the account's owner; only its digest is kept."""

    __tablename__ = "api_token"
    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    name: str
    token_digest: str = Field(unique=True)
    may_write: bool = False
    created_at: datetime
    used_at: datetime | None = None
    revoked_at: datetime | None = None


class SettingRow(SQLModel, table=True):
    """One setting of the register (its name, whether it is a demonstration, a tightened table)."""

    __tablename__ = "setting"
    key: str = Field(primary_key=True)
    value: Any = Field(sa_column=sa.Column(sa.JSON, nullable=False))


class AeroplaneRow(SQLModel, table=True):
    """An aeroplane under restoration."""

    __tablename__ = "aeroplane"
    __table_args__ = (_one_of("use", Use),)
    id: int | None = Field(default=None, primary_key=True)
    type: str
    maker: str = ""
    serial: str = ""
    registration: str = ""
    built: str = ""
    use: str
    authority: str = ""
    drawing_unit: str = ""
    note: str = ""
    version: int = 1
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class StepRow(SQLModel, table=True):
    """A step of assembly and what it closes over."""

    __tablename__ = "step"
    __table_args__ = (_one_of("state", StepState),)
    id: int | None = Field(default=None, primary_key=True)
    aeroplane_id: int = Field(foreign_key="aeroplane.id", index=True)
    place_in_order: int = 0
    name: str
    closes: str = ""
    due: date | None = None
    state: str
    note: str = ""
    version: int = 1
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class StepAfterRow(SQLModel, table=True):
    """This step comes after that one."""

    __tablename__ = "step_after"
    step_id: int = Field(foreign_key="step.id", primary_key=True)
    after_id: int = Field(foreign_key="step.id", primary_key=True)


class SupplierRow(SQLModel, table=True):
    """A firm or person parts come from."""

    __tablename__ = "supplier"
    __table_args__ = (_one_of("state", SupplierState),)
    id: int | None = Field(default=None, primary_key=True)
    name: str
    kind: str = ""
    place: str = ""
    contact: str = ""
    state: str
    last_confirmed: date | None = None
    note: str = ""
    version: int = 1
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class NeedRow(SQLModel, table=True):
    """A part that is wanted; its id is the shop's running number."""

    __tablename__ = "need"
    __table_args__ = (_one_of("role", Role),)
    id: int | None = Field(default=None, primary_key=True)
    item: str
    part_class: str
    aeroplane_id: int = Field(foreign_key="aeroplane.id", index=True)
    zone: str = ""
    side: str = ""
    station: str = ""
    arm: str = Field(default="", sa_column_kwargs={"server_default": ""})
    chapter: str = ""
    quantity_text: str = ""
    quantity: int | None = None
    still_wanted: int | None = None
    wrong: list[str] = _list()
    role: str
    step_id: int | None = Field(default=None, foreign_key="step.id", index=True)
    touches: list[str] = _list()
    joint: dict[str, Any] | None = _json()
    note: str = ""
    text: str = ""
    ref: str = ""
    owner_id: int | None = Field(default=None, foreign_key="account.id")
    created_at: datetime
    changed_at: datetime
    version: int = 1
    met_at: datetime | None = None
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class DesignationRow(SQLModel, table=True):
    """A number or name the part goes by, with how surely it was read."""

    __tablename__ = "designation"
    __table_args__ = (_one_of("kind", DesignationKind), _one_of("reading", Reading))
    id: int | None = Field(default=None, primary_key=True)
    need_id: int = Field(foreign_key="need.id", index=True)
    text: str
    folded: str = Field(index=True)
    kind: str
    reading: str
    note: str = ""
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class RequirementRow(SQLModel, table=True):
    """One demand on one characteristic, as one source gives it."""

    __tablename__ = "requirement"
    __table_args__ = (
        _one_of("layer", Layer),
        _one_of("form", Form),
        _one_of("known_from", KnownFrom),
        _one_of("weight", Weight, empty=True),
    )
    id: int | None = Field(default=None, primary_key=True)
    need_id: int = Field(foreign_key="need.id", index=True)
    characteristic: str
    layer: str
    form: str
    text: str
    parsed: dict[str, Any] | None = _json()
    known_from: str
    reference: str = ""
    instrument: str = ""
    uncertainty_text: str = ""
    expanded: str = ""
    weight: str = ""
    serials: str = ""
    side: str = ""
    decided: str = ""
    decided_by: str = ""
    created_by: str
    created_at: datetime
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class EnquiryRow(SQLModel, table=True):
    """What was tried for a need, and who was asked with what answer."""

    __tablename__ = "enquiry"
    __table_args__ = (_one_of("kind", Enquired),)
    id: int | None = Field(default=None, primary_key=True)
    need_id: int = Field(foreign_key="need.id", index=True)
    kind: str
    supplier_id: int | None = Field(default=None, foreign_key="supplier.id", index=True)
    text: str = ""
    answer: str = ""
    on_day: date | None = None
    by: str
    created_at: datetime
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class FindRow(SQLModel, table=True):
    """A piece or batch that was found; its id is the shop's running number."""

    __tablename__ = "find"
    __table_args__ = (_one_of("origin", Origin, empty=True),)
    id: int | None = Field(default=None, primary_key=True)
    text: str
    part_class: str = ""
    origin: str = ""
    supplier_id: int | None = Field(default=None, foreign_key="supplier.id", index=True)
    condition: str = ""
    quantity_text: str = ""
    quantity: int | None = None
    smallest_lot: str = ""
    price_text: str = ""
    price_minor: int | None = None
    price_currency: str = ""
    lead_time: str = ""
    bin: str = ""
    finish_to_come: bool = False
    note: str = ""
    ref: str = ""
    capture_id: str | None = Field(default=None, unique=True)
    logged_by: str
    logged_by_id: int | None = Field(default=None, foreign_key="account.id")
    logged_at: datetime
    changed_at: datetime
    version: int = 1
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class StatementRow(SQLModel, table=True):
    """One characteristic of a find, claimed or measured."""

    __tablename__ = "statement"
    __table_args__ = (_one_of("basis", Basis), _one_of("stage", Stage))
    id: int | None = Field(default=None, primary_key=True)
    find_id: int = Field(foreign_key="find.id", index=True)
    characteristic: str
    basis: str
    text: str
    parsed: dict[str, Any] | None = _json()
    uncertainty_text: str = ""
    expanded: str = ""
    instrument: str = ""
    stage: str
    by: str = ""
    on_day: date | None = None
    created_by: str
    created_at: datetime
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class EvidenceRow(SQLModel, table=True):
    """One piece of a find's provenance."""

    __tablename__ = "evidence"
    __table_args__ = (_one_of("kind", Evidence),)
    id: int | None = Field(default=None, primary_key=True)
    find_id: int = Field(foreign_key="find.id", index=True)
    kind: str
    note: str = ""
    created_by: str
    created_at: datetime
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class AttachmentRow(SQLModel, table=True):
    """A photograph or paper of a need or find; the bytes lie in the files folder under their digest."""

    __tablename__ = "attachment"
    __table_args__ = (_one_of("kind", Attached),)
    id: int | None = Field(default=None, primary_key=True)
    kind: str
    need_id: int | None = Field(default=None, foreign_key="need.id", index=True)
    find_id: int | None = Field(default=None, foreign_key="find.id", index=True)
    remark_id: int | None = Field(default=None, foreign_key="remark.id", index=True)
    digest: str = Field(index=True)
    media_type: str
    name: str = ""
    caption: str = ""
    size: int
    width: int | None = None
    height: int | None = None
    by: str
    created_at: datetime
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class CandidateRow(SQLModel, table=True):
    """A find proposed for a need, with the result of the check at that moment."""

    __tablename__ = "candidate"
    __table_args__ = (
        _one_of("authenticity", Authentic, empty=True),
        sa.UniqueConstraint("need_id", "find_id"),
    )
    id: int | None = Field(default=None, primary_key=True)
    need_id: int = Field(foreign_key="need.id", index=True)
    find_id: int = Field(foreign_key="find.id", index=True)
    note: str = ""
    outcome: str
    sheet: dict[str, Any] = Field(sa_column=sa.Column(sa.JSON, nullable=False))
    proposed_by: str
    proposed_by_id: int = Field(foreign_key="account.id")
    proposed_at: datetime
    checked_at: datetime
    authenticity: str = ""
    authenticity_reason: str = ""
    authenticity_by: str = ""
    authenticity_at: datetime | None = None
    version: int = 1
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class RemarkRow(SQLModel, table=True):
    """A question on a candidate, or the answer to one; open until the decision."""

    __tablename__ = "remark"
    id: int | None = Field(default=None, primary_key=True)
    candidate_id: int = Field(foreign_key="candidate.id", index=True)
    text: str
    by: str
    by_id: int = Field(foreign_key="account.id")
    at: datetime
    answered_to: int | None = Field(default=None, foreign_key="remark.id", index=True)
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""


class SignOffRow(SQLModel, table=True):
    """A decision with its frozen record. Only ever added to: triggers refuse a change."""

    __tablename__ = "sign_off"
    __table_args__ = (_one_of("decision", Decision),)
    id: int | None = Field(default=None, primary_key=True)
    candidate_id: int = Field(foreign_key="candidate.id", index=True)
    decision: str
    signed_by: str
    signed_by_id: int = Field(foreign_key="account.id")
    signed_at: datetime
    record: str = Field(sa_column=sa.Column(sa.Text, nullable=False))
    digest: str = Field(unique=True)
    previous: str = Field(unique=True)


class ConditionRow(SQLModel, table=True):
    """A condition of an approval, made when it was signed; closed by another signed entry."""

    __tablename__ = "condition"
    id: int | None = Field(default=None, primary_key=True)
    sign_off_id: int = Field(foreign_key="sign_off.id", index=True)
    candidate_id: int = Field(foreign_key="candidate.id", index=True)
    aeroplane_id: int = Field(foreign_key="aeroplane.id", index=True)
    text: str
    due: date | None = None
    due_words: str = ""
    made_at: datetime
    closed_at: datetime | None = None
    closed_by: str = ""
    closed_reason: str = ""
    closed_by_sign_off_id: int | None = Field(default=None, foreign_key="sign_off.id")


class SealRow(SQLModel, table=True):
    """A seal under a record. Only ever added to: triggers refuse a change."""

    __tablename__ = "seal"
    id: int | None = Field(default=None, primary_key=True)
    record_id: int = Field(foreign_key="sign_off.id", unique=True)
    sealed_at: str
    head: str
    key: str
    previous: str = Field(unique=True)
    signature: str


class LogRow(SQLModel, table=True):
    """Every change, once. Only ever added to: triggers refuse a change."""

    __tablename__ = "log_entry"
    id: int | None = Field(default=None, primary_key=True)
    at: datetime
    account_id: int | None = Field(default=None, foreign_key="account.id")
    who: str
    did: str
    subject: str = Field(index=True)
    said: dict[str, Any] | None = _json()


class TurnedUpRow(SQLModel, table=True):
    """A find that may meet a need, noticed when one of them was saved."""

    __tablename__ = "turned_up"
    need_id: int = Field(foreign_key="need.id", primary_key=True)
    find_id: int = Field(foreign_key="find.id", primary_key=True)
    score: float
    why: str = ""
    noticed_at: datetime
    set_aside_at: datetime | None = None
    set_aside_by: str = ""


class ShopWordRow(SQLModel, table=True):
    """A word of the shop's own and the concept or part class it means; read by everything once it is accepted."""

    __tablename__ = "shop_word"
    __table_args__ = (_one_of("state", WordState), sa.UniqueConstraint("folded", "meaning"))
    id: int | None = Field(default=None, primary_key=True)
    word: str
    folded: str = Field(index=True)
    meaning: str
    language: str = ""
    note: str = ""
    state: str
    proposed_by: str
    proposed_by_id: int | None = Field(default=None, foreign_key="account.id")
    proposed_at: datetime
    found_in: list[str] = _list()
    decided_by: str = ""
    decided_at: datetime | None = None
    reason: str = ""


class ReadAgainRow(SQLModel, table=True):
    """A record that the search index has to read anew, since the shop's words changed."""

    __tablename__ = "read_again"
    __table_args__ = (sa.CheckConstraint("kind IN ('need', 'find')", name="kind_known"),)
    kind: str = Field(primary_key=True)
    subject_id: int = Field(primary_key=True)


class WatchRow(SQLModel, table=True):
    """A saved search: its owner is told when a find turns up for it."""

    __tablename__ = "watch"
    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    text: str
    filters: dict[str, Any] | None = _json()
    created_at: datetime
    last_seen: datetime | None = None
    withdrawn_at: datetime | None = None


class WatchHitRow(SQLModel, table=True):
    """A find that turned up for a watch, until its owner sets it aside."""

    __tablename__ = "watch_hit"
    watch_id: int = Field(foreign_key="watch.id", primary_key=True)
    find_id: int = Field(foreign_key="find.id", primary_key=True, index=True)
    score: float
    noticed_at: datetime
    set_aside_at: datetime | None = None


class HeldPhotoRow(SQLModel, table=True):
    """A photograph of a form that came back: kept for its sender until the form is sent again."""

    __tablename__ = "held_photo"
    digest: str = Field(primary_key=True)
    account_id: int = Field(foreign_key="account.id", primary_key=True)
    name: str = ""
    size: int
    width: int
    height: int
    held_at: datetime


class JoinedCaptureRow(SQLModel, table=True):
    """A phone's capture that was added to a find already there, so that sending it twice adds it once."""

    __tablename__ = "joined_capture"
    capture_id: str = Field(primary_key=True)
    find_id: int = Field(foreign_key="find.id", index=True)
    joined_at: datetime


class ShopMaterialRow(SQLModel, table=True):
    """A row of the shop's own handbook. Never changed: withdrawn with a reason, and entered anew.

    `figures` holds each figure as typed beside its exact value: {"uts": ["62 ksi", "n/d in MPa"], …}.
    """

    __tablename__ = "shop_material"
    __table_args__ = (_one_of("kind", ShopRow), _one_of("value_class", ValueClass, empty=True))
    id: int | None = Field(default=None, primary_key=True)
    kind: str
    designation: str
    folded: str = Field(index=True)
    alloy: str
    family: str
    form: str = ""
    temper: str = ""
    is_clad: bool | None = None
    grade: str = ""
    figures: dict[str, Any] | None = _json()
    value_class: str = ""
    document: str
    edition: str
    place: str
    is_quoted: bool = False
    note: str = ""
    entered_by: str
    created_at: datetime
    withdrawn_by: str = ""
    withdrawn_at: datetime | None = None
    withdrawn_reason: str = ""
