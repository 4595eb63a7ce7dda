"""python -m server: the command line."""

from server.jobs.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
