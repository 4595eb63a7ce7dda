"""The check's speed on one core, the core's cold import, and how long the demonstration takes to load.

Times are processor time of one core where not said otherwise: a busy machine
makes them worse all the same. The loop printed first is a yardstick for that:
an idle machine of 2024 runs it in 0.1 to 0.2 s.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from server.domain.equivalence import compare
from server.domain.offer import Offered
from server.domain.parts import part_classes
from server.domain.specification import Wanted
from server.jobs.checking import checked, sheet_json
from server.services.check_file import examples_of

ROOT = Path(__file__).resolve().parents[2]
SEED = 20261125
Pair = tuple[Wanted, Offered]


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def _yardstick() -> float:
    started = time.process_time()
    total = 0
    for number in range(3_000_000):
        total += number % 7
    return time.process_time() - started


def _rate(seconds: float, once: Callable[[], int]) -> float:
    """How many a second: `once` does some and says how many."""
    done = 0
    started = time.process_time()
    while (spent := time.process_time() - started) < seconds:
        done += once()
    return done / spent


def _other_figures(pairs: list[Pair], chance: random.Random) -> list[Pair]:
    """The same finds, each size a little off: no two checks have the same figures."""
    made: list[Pair] = []
    for wanted, offered in pairs:
        statements = []
        for one in offered.statements:
            size = one.quantity
            if size is not None and size.value is not None:
                off = Fraction(1) + Fraction(chance.randrange(-9_999, 10_000), 10_000_000)
                statements.append(replace(one, quantity=replace(size, value=size.value * off)))
            else:
                statements.append(one)
        made.append((wanted, replace(offered, statements=tuple(statements))))
    return made


def _checks(seconds: float) -> None:
    pairs = [(one.wanted, one.offered) for known in part_classes().values() for one in known.examples]
    rows = sum(len(compare(*pair).rows) for pair in pairs)
    _say(f"{len(pairs)} examples of {len(part_classes())} classes, {rows / len(pairs):.1f} rows a sheet")

    def as_they_stand() -> int:
        for wanted, offered in pairs:
            compare(wanted, offered)
        return len(pairs)

    _say(f"whole checks, examples as they stand: {_rate(seconds, as_they_stand):,.0f} a second")
    chance = random.Random(SEED)
    others = [_other_figures(pairs, chance) for _ in range(40)]
    spent = done = 0.0
    for some in others:
        started = time.process_time()
        for wanted, offered in some:
            compare(wanted, offered)
        spent += time.process_time() - started
        done += len(some)
    _say(f"whole checks, no two with the same figures: {done / spent:,.0f} a second")
    lines = [json.dumps(plain) for key in part_classes() for plain in examples_of(key)]

    def from_json() -> int:
        for line in lines:
            json.dumps(sheet_json(checked(json.loads(line))))
        return len(lines)

    _say(f"JSON line in, JSON line out: {_rate(seconds, from_json):,.0f} a second")


def _cold(code: str, times: int) -> tuple[float, float]:
    """Least processor and wall time that a fresh interpreter spends on this code."""

    def least(said: str, installed: dict[str, str]) -> tuple[float, float]:
        every = []
        for _ in range(times):
            timed = (
                f"import time; w, c = time.perf_counter(), time.process_time(); {said}; "
                "print(time.process_time() - c, time.perf_counter() - w)"
            )
            ran = subprocess.run(
                [sys.executable, "-c", timed], cwd=ROOT, env=installed, check=True, capture_output=True, text=True
            )
            cpu, wall = ran.stdout.split()
            every.append((float(cpu), float(wall)))
        return min(one[0] for one in every), min(one[1] for one in every)

    with tempfile.TemporaryDirectory() as compiled:
        # as it is once installed: compiled files in place, whatever this shell says of writing them
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        return least(code, {**environment, "PYTHONPYCACHEPREFIX": compiled})


def _demonstration() -> None:
    with tempfile.TemporaryDirectory() as folder:
        started = time.perf_counter()
        command = [sys.executable, "-m", "server", "--data", f"{folder}/demo", "demo", "--load-only"]
        subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
        _say(f"demonstration loaded, start of the program included: {time.perf_counter() - started:.1f} s wall time")


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=3.0, help="of each measurement")
    parser.add_argument("--no-demo", action="store_true", help="leave the demonstration out")
    given = parser.parse_args()
    _say(f"yardstick: 3 million turns of a loop in {_yardstick():.2f} s")
    cpu, wall = _cold("import server.domain.equivalence", 7)
    _say(f"cold import of the core: {cpu * 1000:.0f} ms processor, {wall * 1000:.0f} ms wall time")
    cpu, wall = _cold("from server.domain.parts import part_classes; part_classes()", 3)
    _say(f"cold import of every part class: {cpu * 1000:.0f} ms processor, {wall * 1000:.0f} ms wall time")
    _checks(given.seconds)
    if not given.no_demo:
        _demonstration()
    _say(f"yardstick again: {_yardstick():.2f} s")


if __name__ == "__main__":
    main()
