"""The settings, read once at the start: where the data lies and where to listen.

Environment: MAKEGOOD_DATA (folder), MAKEGOOD_DATABASE (a database address; SQLite
in the data folder when empty), MAKEGOOD_PORT, MAKEGOOD_SECURE_COOKIES ("1" behind TLS).
"""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
MIGRATIONS = ROOT / "migrations"
SEED = ROOT / "seed"

MAX_BODY = 120 * 1024 * 1024
MAX_PHOTO = 25 * 1024 * 1024
MAX_PAPER = 25 * 1024 * 1024
MAX_PHOTOS_AT_ONCE = 10
MAX_PAPERS_AT_ONCE = 10


@dataclass(frozen=True, slots=True)
class Settings:
    """Where this register keeps its things, and how it listens."""

    folder: Path
    database: str = ""
    host: str = "127.0.0.1"
    port: int = 8642
    secure_cookies: bool = False

    @property
    def database_url(self) -> str:
        """Address of the database: as set, else SQLite in the data folder."""
        if not self.database:
            return f"sqlite:///{self.folder / 'register.sqlite3'}"
        if self.database.startswith("postgresql://"):
            return self.database.replace("postgresql://", "postgresql+psycopg://", 1)
        return self.database

    @property
    def files(self) -> Path:
        """Folder of photographs and papers, by digest."""
        return self.folder / "files"

    @property
    def seal_key(self) -> Path:
        """File of the private key that seals the records."""
        return self.folder / "seal.key"


def read_settings(environment: Mapping[str, str] | None = None, folder: str | None = None) -> Settings:
    """Settings from the environment; `folder` (from --data) wins over MAKEGOOD_DATA.

    Raises ValueError naming the setting and the bad value.
    """
    env = os.environ if environment is None else environment
    port = env.get("MAKEGOOD_PORT", "8642")
    if not port.isdigit() or not 0 < int(port) < 65536:
        raise ValueError(f"MAKEGOOD_PORT is “{port}”; a port is a number from 1 to 65535")
    return Settings(
        folder=Path(folder or env.get("MAKEGOOD_DATA") or "data").expanduser().resolve(),
        database=env.get("MAKEGOOD_DATABASE", ""),
        port=int(port),
        secure_cookies=env.get("MAKEGOOD_SECURE_COOKIES", "") == "1",
    )
