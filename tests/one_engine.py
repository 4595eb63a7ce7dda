"""One SQLite engine for many tests, each on a file of its own."""

from pathlib import Path
from typing import Any

from sqlalchemy import event

from server.storage.engine import make_engine


class OneEngine:
    """One engine for all tests, on the file of the test that runs: SQLAlchemy puts each statement together once only.

    A store that closes gives all its connections back, so none is left on the file of a test before.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.engine = make_engine(f"sqlite:///{path}")
        event.listen(self.engine, "do_connect", self._connect)

    def _connect(self, _dialect: Any, _record: Any, arguments: list[Any], _named: dict[str, Any]) -> None:
        arguments[0] = str(self.path)
