"""The shop's own handbook: rows in, the core's lines and names out."""

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from server.domain.designations import listed
from server.domain.errors import NotFound
from server.domain.handbook import SHIPPED, Handbook, shop_source
from server.domain.material_families import family
from server.domain.material_meaning import Grade, Meaning
from server.domain.material_table import Properties, ValueClass
from server.domain.plain import read_fraction
from server.domain.register import ShopRow
from server.domain.sources import Source
from server.storage.tables import ShopMaterialRow


@dataclass(frozen=True, slots=True)
class ShopEntry:
    """A row of the shop's own handbook as the pages show it; `figures` as typed, by name."""

    id: int
    kind: ShopRow
    designation: str
    alloy: str
    family: str
    form: str
    temper: str
    is_clad: bool | None
    grade: str
    figures: dict[str, str]
    value_class: str
    source: Source
    note: str
    entered_by: str
    created_at: datetime
    withdrawn_by: str
    withdrawn_reason: str

    @property
    def state(self) -> str:
        """What is said on its form: alloy, temper, form."""
        clad = {True: "clad", False: "bare"}.get(self.is_clad) if self.is_clad is not None else ""
        return ", ".join(part for part in (self.temper, clad, self.form) if part)


def load_handbook(session: Session) -> Handbook:
    """The shipped tables with this register's own rows; `SHIPPED` itself where it has none."""
    rows = list(session.exec(_standing().order_by(col(ShopMaterialRow.id))))
    if not rows:
        return SHIPPED
    names: dict[tuple[str, str], Meaning] = {}
    for row in rows:
        if row.kind == ShopRow.NAME.value or not listed(row.designation):
            names.setdefault((row.folded, row.alloy), _meaning(row))
    return Handbook(tuple(_line(row) for row in rows if row.kind == ShopRow.FIGURES.value), tuple(names.values()))


def _standing() -> SelectOfScalar[ShopMaterialRow]:
    return select(ShopMaterialRow).where(col(ShopMaterialRow.withdrawn_at).is_(None))


def list_entries(session: Session, *, withdrawn: bool = False) -> list[ShopEntry]:
    """Every row, the newest first; those withdrawn only where asked for."""
    wanted = select(ShopMaterialRow) if withdrawn else _standing()
    return [_entry(row) for row in session.exec(wanted.order_by(col(ShopMaterialRow.id).desc()))]


def find_standing(session: Session, folded: str) -> list[ShopMaterialRow]:
    """The rows that stand under a folded designation."""
    return list(session.exec(_standing().where(ShopMaterialRow.folded == folded)))


def get_shop_row(session: Session, number: int) -> ShopMaterialRow:
    """The row of this number. Raises NotFound."""
    row = session.get(ShopMaterialRow, number)
    if row is None:
        raise NotFound("There is no such row in the shop's own handbook.")
    return row


def _source(row: ShopMaterialRow) -> Source:
    return shop_source(row.document, row.edition, row.place, is_quoted=row.is_quoted)


def _meaning(row: ShopMaterialRow) -> Meaning:
    is_name = row.kind == ShopRow.NAME.value
    return Meaning(
        alias=row.designation,
        alloy=row.alloy,
        family=family(row.family),
        grade=Grade(row.grade) if is_name else Grade.OWN,
        source=_source(row),
        temper=row.temper if is_name else "",
        form=row.form if is_name else "",
        is_clad=row.is_clad if is_name else None,
        note=row.note,
    )


def _line(row: ShopMaterialRow) -> Properties:
    figures = row.figures or {}

    def exact(name: str) -> Fraction | None:
        return read_fraction(figures[name][1]) if name in figures else None

    modulus = exact("modulus")
    clad = "clad" if row.is_clad else ""
    said = ", ".join(part for part in (row.designation, clad, row.temper, row.form) if part and part != "any")
    return Properties(
        key=f"shop-{row.id}",
        family=family(row.family).name,
        alloy=row.alloy,
        is_clad=bool(row.is_clad),
        tempers=(row.temper,) if row.temper else (),
        forms=frozenset({row.form or "any"}),
        said=said,
        size_low=exact("size_low"),
        size_high=exact("size_high"),
        density=exact("density"),
        uts=exact("uts"),
        yield_=exact("yield"),
        shear=exact("shear"),
        bearing=None,
        bearing_yield=None,
        elongation=exact("elongation"),
        modulus_gpa=modulus / 1000 if modulus is not None else None,
        iacs=None,
        max_service_c=None,
        width_strength_kn_m=None,
        width_strength_worn_kn_m=None,
        value_class=ValueClass(row.value_class),
        basis="",
        direction="",
        source=_source(row),
        memory_cells=frozenset(),
        notes=row.note,
    )


def _entry(row: ShopMaterialRow) -> ShopEntry:
    return ShopEntry(
        id=row.id or 0,
        kind=ShopRow(row.kind),
        designation=row.designation,
        alloy=row.alloy,
        family=family(row.family).name,
        form=row.form,
        temper=row.temper,
        is_clad=row.is_clad,
        grade=row.grade,
        figures={name: typed for name, (typed, _) in (row.figures or {}).items()},
        value_class=row.value_class,
        source=_source(row),
        note=row.note,
        entered_by=row.entered_by,
        created_at=row.created_at,
        withdrawn_by=row.withdrawn_by,
        withdrawn_reason=row.withdrawn_reason,
    )
