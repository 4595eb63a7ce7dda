"""Taking in needs of one line each, and matching texts against them, as `makegood import` and `makegood match -` do."""

import argparse
import sys
import tempfile
import time
from pathlib import Path

from server.services.accounts import open_account
from server.services.exchange import import_needs
from server.services.lines import Line
from server.services.matching import needs_for_text
from server.services.opening import read_opening
from server.settings import MIGRATIONS
from server.storage.engine import Store, make_engine
from server.storage.migrate import upgrade
from tests.services.test_opening_line import LINES

PLACES = ("left wing", "cabin door", "rudder", "engine bay", "rear fuselage", "cockpit floor", "port float", "cowling")


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Measures and prints; processor time."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--needs", type=int, default=1000)
    parser.add_argument("--asked", type=int, default=300)
    given = parser.parse_args()
    texts = [text for text, _, _ in LINES]
    read_opening(texts[0])
    started = time.process_time()
    for text in texts:
        read_opening(text)
    _say(f"reading one line: {(time.process_time() - started) / len(texts) * 1000:.2f} ms")
    with tempfile.TemporaryDirectory() as folder:
        engine = make_engine(f"sqlite:///{Path(folder) / 'register.sqlite3'}")
        upgrade(engine, MIGRATIONS)
        store = Store(engine)
        keeper = open_account(
            store, None, {"sign_in": "keeper", "name": "keeper", "role": "keeper"}, password="long enough for a bench"
        )
        lines = [
            Line(number, {"ref": f"N{number}", "text": f"{texts[number % len(texts)]}, {PLACES[number % 7]} {number}"})
            for number in range(1, given.needs + 1)
        ]
        started, wall = time.process_time(), time.perf_counter()
        import_needs(store, keeper, lines)
        spent = time.process_time() - started
        _say(
            f"{given.needs} needs of one line taken in: {spent:.1f} s processor, "
            f"{spent / given.needs * 1000:.1f} ms each, {time.perf_counter() - wall:.1f} s wall time"
        )
        needs_for_text(store, "brass rivet")
        started = time.process_time()
        for number in range(given.asked):
            needs_for_text(store, texts[number * 5 % len(texts)], faint=True)
        spent = time.process_time() - started
        _say(f"matching one line among {given.needs} needs: {spent / given.asked * 1000:.1f} ms")
        store.close()


if __name__ == "__main__":
    main()
