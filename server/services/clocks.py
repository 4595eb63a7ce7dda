"""The clocks of the shop: records keep UTC, calendar days are counted where the shop is."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlmodel import Session

from server.storage.engine import Store
from server.storage.log import read_setting

DEFAULT_ZONE = "UTC"


def zone_of(session: Session) -> ZoneInfo:
    """The zone whose clocks the shop lives by."""
    return ZoneInfo(str(read_setting(session, "zone", DEFAULT_ZONE)))


def day_of(session: Session, moment: datetime) -> date:
    """The calendar day of a moment (with its zone) in the shop: a licence or a due day ends at its midnight."""
    return moment.astimezone(zone_of(session)).date()


def today(store: Store) -> date:
    """The shop's calendar day now."""
    with store.read() as session:
        return day_of(session, store.clock())
