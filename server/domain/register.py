"""The register's own words: roles, states, and the records as the pages see them."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from server.domain.offer import Evidence, Offered, Origin, Statement
from server.domain.specification import Joint, Requirement, Role, Use


class UserRole(StrEnum):
    """What an account may do; each may do what the ones before it may."""

    VIEWER = "viewer"
    RESTORER = "restorer"
    APPROVER = "approver"
    KEEPER = "keeper"


class StepState(StrEnum):
    """A step of assembly is ahead or done."""

    AHEAD = "ahead"
    DONE = "done"


class SupplierState(StrEnum):
    """Does the supplier still answer?"""

    ANSWERS = "answers"
    SILENT = "silent"
    GONE = "gone"


class DesignationKind(StrEnum):
    """What kind of number or name it is."""

    DRAWING = "drawing"
    PRINTED = "as printed in the catalogue"
    STAMPED = "as stamped on the part"
    CORRECTED = "corrected"
    SUPERSEDING = "superseding"
    TRADE_NAME = "trade name"
    SCHEMATIC = "schematic designator"


class Reading(StrEnum):
    """How surely a number was read."""

    SURE = "read surely"
    DOUBTFUL = "doubtful"
    GUESS = "a guess"


class Fault(StrEnum):
    """What is wrong with the original."""

    CRACKED = "cracked"
    CORRODED = "corroded"
    MISSING = "missing"
    WORN = "worn"
    WRONG_PART = "wrong part fitted"
    HAZARD = "hazardous material"


class Enquired(StrEnum):
    """Something tried, or somebody asked."""

    TRIED = "tried"
    ASKED = "asked"


class Attached(StrEnum):
    """A picture, or any other paper."""

    PHOTO = "photograph"
    PAPER = "paper"


class Authentic(StrEnum):
    """Is it right for this restoration? A person's answer."""

    RIGHT = "right"
    WILL_DO = "will do"
    NOT_RIGHT = "not right"


class ShopRow(StrEnum):
    """A row of the shop's own handbook: figures of a material, or another name for one."""

    FIGURES = "figures"
    NAME = "name"


class Decision(StrEnum):
    """What a signed entry says. The first four settle a candidate; the others stand beside it in the chain."""

    APPROVED = "approved"
    CONDITIONAL = "approved with conditions"
    REFUSED = "refused"
    WITHDRAWN = "approval withdrawn"
    FIRST = "first signature"
    CLOSED = "condition closed"

    @property
    def settles(self) -> bool:
        """True where the candidate is decided by it; a first signature waits for the second."""
        return self not in {Decision.FIRST, Decision.CLOSED}


class Reversible(StrEnum):
    """Can the substitution be undone without harm to what is original?"""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class WordState(StrEnum):
    """A word of the shop's own: somebody proposes it, the keeper decides."""

    PROPOSED = "proposed"
    ACCEPTED = "accepted"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Actor:
    """Who is acting: the signed-in account."""

    id: int
    name: str
    sign_in: str
    role: UserRole
    licence_kind: str = ""
    licence_number: str = ""
    licence_until: date | None = None

    def may(self, role: UserRole) -> bool:
        """True where this account's role reaches to that role's doings."""
        order = list(UserRole)
        return order.index(self.role) >= order.index(role)


@dataclass(frozen=True, slots=True)
class Aeroplane:
    """An aeroplane under restoration."""

    id: int
    type: str
    maker: str
    serial: str
    registration: str
    built: str
    use: Use
    authority: str
    drawing_unit: str
    note: str
    version: int
    withdrawn_reason: str = ""

    @property
    def label(self) -> str:
        """Type with the mark it is known by."""
        mark = self.registration or (f"works no. {self.serial}" if self.serial else "")
        return f"{self.type}, {mark}" if mark else self.type


@dataclass(frozen=True, slots=True)
class Step:
    """A step of assembly: what it closes over, when, and after which steps."""

    id: int
    aeroplane_id: int
    place_in_order: int
    name: str
    closes: str
    due: date | None
    state: StepState
    note: str
    after: tuple[int, ...]
    version: int
    withdrawn_reason: str = ""


@dataclass(frozen=True, slots=True)
class Supplier:
    """A firm or person parts come from."""

    id: int
    name: str
    kind: str
    place: str
    contact: str
    state: SupplierState
    last_confirmed: date | None
    note: str
    version: int
    withdrawn_reason: str = ""


@dataclass(frozen=True, slots=True)
class Designation:
    """A number or name a part goes by."""

    id: int
    text: str
    kind: DesignationKind
    reading: Reading
    note: str


@dataclass(frozen=True, slots=True)
class Enquiry:
    """What was tried, or who was asked and what they answered."""

    id: int
    kind: Enquired
    supplier: str
    supplier_id: int | None
    text: str
    answer: str
    on: date | None
    by: str


@dataclass(frozen=True, slots=True)
class Attachment:
    """A photograph or paper as a page shows it."""

    id: int
    kind: Attached
    digest: str
    media_type: str
    name: str
    caption: str
    size: int
    width: int | None
    height: int | None
    by: str

    @property
    def url(self) -> str:
        """Where the file is served."""
        return f"/files/{self.id}"

    @property
    def thumb_url(self) -> str:
        """Where the small picture is served."""
        return f"/files/{self.id}/small"

    @property
    def alt(self) -> str:
        """What the picture shows, in words."""
        return self.caption or self.name or "Photograph without a caption"


@dataclass(frozen=True, slots=True)
class Need:
    """A part that is wanted, with all that is known of the original."""

    id: int
    item: str
    part_class: str
    aeroplane: Aeroplane
    zone: str
    side: str
    station: str
    chapter: str
    quantity_text: str
    quantity: int | None
    still_wanted: int | None
    wrong: tuple[str, ...]
    role: Role
    step: Step | None
    touches: tuple[str, ...]
    joint: Joint | None
    note: str
    text: str
    ref: str
    owner: str
    owner_id: int | None
    version: int
    created_at: datetime
    changed_at: datetime
    is_met: bool
    withdrawn_reason: str
    designations: tuple[Designation, ...] = ()
    requirements: tuple[Requirement, ...] = ()
    enquiries: tuple[Enquiry, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    arm: str = ""

    @property
    def number(self) -> str:
        """The shop's running number as written on tickets."""
        return need_number(self.id)

    @property
    def is_open(self) -> bool:
        """Still wanted: neither met nor withdrawn."""
        return not self.is_met and not self.withdrawn_reason

    @property
    def place(self) -> str:
        """Where on the aeroplane."""
        return ", ".join(part for part in (self.zone, self.side, self.station) if part)


@dataclass(frozen=True, slots=True)
class Proof:
    """One piece of provenance with its note."""

    id: int
    kind: Evidence
    note: str


@dataclass(frozen=True, slots=True)
class Find:
    """A piece or batch that was found."""

    id: int
    text: str
    part_class: str
    origin: Origin | None
    supplier: Supplier | None
    condition: str
    quantity_text: str
    quantity: int | None
    smallest_lot: str
    price_text: str
    lead_time: str
    bin: str
    finish_to_come: bool
    note: str
    ref: str
    logged_by: str
    logged_at: datetime
    changed_at: datetime
    version: int
    withdrawn_reason: str
    statements: tuple[Statement, ...] = ()
    proofs: tuple[Proof, ...] = ()
    attachments: tuple[Attachment, ...] = ()

    @property
    def number(self) -> str:
        """The shop's running number as written on tags."""
        return find_number(self.id)

    def offered(self) -> Offered:
        """The find as the check sees it."""
        return Offered(
            part_class=self.part_class,
            statements=self.statements,
            origin=self.origin,
            evidence=tuple(proof.kind for proof in self.proofs),
            finish_to_come=self.finish_to_come,
            name=self.text,
        )


def need_number(number: int) -> str:
    """A need's running number: "N 0147"."""
    return f"N\u00a0{number:04d}"


UNIDENTIFIED = "Unidentified"


def find_title(text: str) -> str:
    """What a find is called: its words, or that nobody knows yet what it is."""
    return text or UNIDENTIFIED


def find_number(number: int) -> str:
    """A find's running number: "F 0312"."""
    return f"F\u00a0{number:04d}"


def record_number(number: int) -> str:
    """A sign-off's running number: "R 0021"."""
    return f"R\u00a0{number:04d}"
