"""Prints figures; it passes or fails nothing.

python -m tests.bench                     every bench_*.py of this folder
python -m tests.bench check               only bench_check.py
python -m tests.bench matching --sizes 1000    what follows one name is given to it
"""

import sys
from importlib import import_module
from pkgutil import iter_modules

import tests.bench

PREFIX = "bench_"


def main() -> int:
    """Run the benches named, or all; 2 for a name that there is not."""
    known = [one.name.removeprefix(PREFIX) for one in iter_modules(tests.bench.__path__) if one.name.startswith(PREFIX)]
    asked = sys.argv[1:2] if sys.argv[1:2] and not sys.argv[1].startswith("-") else []
    if asked and asked[0] not in known:
        sys.stderr.write(f"There is no bench “{asked[0]}”; known are {', '.join(known)}.\n")
        return 2
    given = sys.argv[2:] if asked else sys.argv[1:]
    for name in asked or known:
        sys.stdout.write(f"\n== {name}\n")
        sys.stdout.flush()
        sys.argv = [f"python -m tests.bench {name}", *given]
        import_module(f"tests.bench.{PREFIX}{name}").main()
    return 0


if __name__ == "__main__":
    sys.exit(main())
