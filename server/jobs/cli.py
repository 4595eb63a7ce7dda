"""makegood: the command line.

Exit codes: 0 done, 1 refused (a sentence on standard error), 2 wrong usage.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TypeAlias

from server import __version__
from server.domain.errors import Faults, Refused

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"  # noqa: SLF001  (it has no other name)

# a module is imported when its command runs: --help has to be quick
_RUN = {
    "serve": "serving.serve",
    "demo": "serving.demo",
    "init": "keeping.init",
    "account": "keeping.account",
    "match": "asking.match",
    "check": "checking.check",
    "import": "moving.take_in",
    "export": "moving.write_out",
    "verify": "proving.verify",
    "seal-key": "proving.seal_key",
    "upgrade": "keeping.upgrade",
}


def make_parser() -> argparse.ArgumentParser:
    """The parser of every command."""
    parser = argparse.ArgumentParser(
        prog="makegood",
        description="A register for sourcing and substituting parts on vintage aircraft restorations.",
        epilog="Exit codes: 0 done, 1 refused, 2 wrong usage. The tool computes; a person with the right licence "
        "decides.",
    )
    parser.add_argument("--version", action="version", version=f"makegood {__version__}")
    parser.add_argument("--data", metavar="DIR", help="data folder (else MAKEGOOD_DATA, else ./data)")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    # --data may stand before or after the command
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument("--data", metavar="DIR", default=argparse.SUPPRESS, help="data folder")
    _serving_parsers(commands, common)
    _keeping_parsers(commands, common)
    _asking_parsers(commands, common)
    _moving_parsers(commands, common)
    return parser


def _serving_parsers(commands: Commands, common: argparse.ArgumentParser) -> None:
    listening = argparse.ArgumentParser(add_help=False)
    listening.add_argument("--port", type=int, metavar="N", help="port to listen on (else MAKEGOOD_PORT, else 8642)")
    listening.add_argument("--host", metavar="ADDRESS", help="address to listen on (127.0.0.1)")
    commands.add_parser("serve", parents=[common, listening], help="serve the register in the data folder")
    said = "serve the demonstration register, everything in it invented"
    demo = commands.add_parser("demo", parents=[common, listening], help=said, description=f"{said.capitalize()}.")
    demo.add_argument("--fresh", action="store_true", help="load it anew, forgetting what was done in it")
    demo.add_argument("--load-only", action="store_true", help="load it and stop")


def _keeping_parsers(commands: Commands, common: argparse.ArgumentParser) -> None:
    printing = argparse.ArgumentParser(add_help=False)
    printing.add_argument("--json", action="store_true", help="print as JSON")
    password = argparse.ArgumentParser(add_help=False)
    password.add_argument("--no-input", action="store_true", help="ask nothing: make the password up, print it once")

    init = commands.add_parser(
        "init", parents=[common, printing, password], help="make an empty register and its first account"
    )
    init.add_argument("--name", default="Makegood", help="name of the register")
    init.add_argument("--account", default="keeper", metavar="NAME", help="sign-in name of the first account (keeper)")

    account = commands.add_parser("account", parents=[common], help="accounts: list, add, new password")
    verbs = account.add_subparsers(dest="verb", metavar="VERB", required=True)
    verbs.add_parser("list", parents=[common, printing], help="list the accounts")
    adding = verbs.add_parser("add", parents=[common, printing, password], help="open an account")
    adding.add_argument("sign_in", help="sign-in name")
    adding.add_argument("--name", required=True, help="the person's name, as it stands on records")
    adding.add_argument("--role", required=True, choices=["viewer", "restorer", "approver", "keeper"])
    adding.add_argument("--licence-kind", default="", metavar="KIND")
    adding.add_argument("--licence-number", default="", metavar="NUMBER")
    adding.add_argument("--licence-until", default="", metavar="DAY", help="last day it is valid, such as 2027-12-31")
    renewing = verbs.add_parser("password", parents=[common, printing, password], help="give an account a new password")
    renewing.add_argument("sign_in", help="sign-in name")

    verify = commands.add_parser(
        "verify", parents=[common, printing], help="check that no signed record was changed, here or in an export"
    )
    verify.add_argument(
        "file", metavar="FILE", nargs="?", help="an exported record (zip, folder or JSON): checked without any register"
    )
    verify.add_argument(
        "--public-key",
        metavar="KEY",
        action="append",
        help="the public key as it was kept elsewhere, or a file with it (may be given more than once)",
    )
    verify.add_argument(
        "--has",
        metavar="DIGEST",
        action="append",
        help="digest of a record as it was printed or kept elsewhere: is that record still here? (may be repeated)",
    )
    sealing = commands.add_parser("seal-key", parents=[common, printing], help="print the public key of the seals")
    sealing.add_argument("--new", action="store_true", help="make another, where seal.key is lost")
    commands.add_parser("upgrade", parents=[common], help="bring the database to this version")


def _asking_parsers(commands: Commands, common: argparse.ArgumentParser) -> None:
    match = commands.add_parser(
        "match", parents=[common], help="which open needs a text may meet (or, with --finds, which finds)"
    )
    match.add_argument(
        "text", metavar="TEXT", help="what was found, in any words; - reads a text a line, answers in JSON lines"
    )
    match.add_argument("--finds", action="store_true", help="ask the other way round: finds for a wanted part")
    match.add_argument("--limit", type=_some, default=10, metavar="N", help="most hits, 1 to 100 (10)")
    match.add_argument("--json", action="store_true", help="print as JSON, faint hits too")

    check = commands.add_parser(
        "check",
        parents=[common],
        help="check a find against a need, without any register",
        description="Check a find against a need, without any register. A stream's answer has one JSON line for each "
        "line; a bad line answers with its faults by path, and the exit code is 1.",
    )
    which = check.add_mutually_exclusive_group()
    which.add_argument("file", metavar="FILE", nargs="?", help="a JSON file; - reads JSON lines, answers line by line")
    which.add_argument("--example", metavar="CLASS", help="print a filled example of a part class")
    which.add_argument("--schema", metavar="CLASS", help="print the JSON Schema of a part class")
    which.add_argument("--classes", action="store_true", help="list the part classes")
    check.add_argument("--json", action="store_true", help="print verdict and rows as JSON")


def _some(text: str) -> int:
    number = int(text)
    if not 1 <= number <= 100:
        raise argparse.ArgumentTypeError(f"{number} is not between 1 and 100")
    return number


def _moving_parsers(commands: Commands, common: argparse.ArgumentParser) -> None:
    taking = commands.add_parser(
        "import",
        parents=[common],
        help="take in needs, finds, suppliers, steps or aeroplanes as CSV or JSON lines",
        description="Take in needs, finds, suppliers, steps or aeroplanes. A line has the fields of the form; a need's "
        "line may hold nothing but text and ref, and is read as the one-line opening then. With one bad line nothing "
        "is taken in. Aeroplanes come first, then suppliers and steps, for needs and finds call them by name.",
    )
    taking.add_argument("what", choices=["needs", "finds", "suppliers", "steps", "aeroplanes"])
    taking.add_argument("file", metavar="FILE", help="CSV, JSON lines or a JSON list; - for standard input")
    taking.add_argument("--format", choices=["csv", "jsonl"], help="else by the file's ending, or its first sign")
    taking.add_argument("--encoding", metavar="NAME", help="of the file (else UTF-8, or what its mark says)")
    taking.add_argument("--as", dest="as_account", metavar="NAME", help="account it is done as (else the first keeper)")
    taking.add_argument("--aeroplane", type=int, metavar="N", help="aeroplane for lines that name none")
    taking.add_argument("--skip-unknown", action="store_true", help="leave unknown columns out, and say which")
    taking.add_argument("--json", action="store_true", help="print as JSON")
    writing = commands.add_parser(
        "export",
        parents=[common],
        help="write out needs, finds, suppliers, steps or aeroplanes as CSV or JSON lines, or all signed records",
    )
    writing.add_argument("what", choices=["needs", "finds", "suppliers", "steps", "aeroplanes", "records"])
    writing.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        default="-",
        help="- (the usual) for standard output; for records a new folder, or FILE.zip",
    )
    writing.add_argument("--format", choices=["csv", "jsonl"], help="else by the file's ending; JSON lines")
    writing.add_argument("--open", action="store_true", help="only what is open, as an import takes it (needs, finds)")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if reconfigure := getattr(stream, "reconfigure", None):
            # a terminal that has no such sign gets another, not a refusal
            reconfigure(errors="replace")
    parsed = make_parser().parse_args(arguments)
    from server.jobs.register import WrongUsage

    module, _, name = _RUN[parsed.command].partition(".")
    run: Callable[[argparse.Namespace], int] = getattr(import_module(f"server.jobs.{module}"), name)
    try:
        return run(parsed)
    except Faults as faults:
        for at, sentence in faults.faults.items():
            print(f"{at}: {sentence}" if at else sentence, file=sys.stderr)
        return 1
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 1
    except WrongUsage as wrong:
        print(wrong, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # whoever reads has enough; nothing more can be said there
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        print(f"{where}{error.strerror or error}", file=sys.stderr)
        return 1
    except Exception as error:
        if not _is_of_database(error):
            raise
        print(f"The database can't be used: {str(error).splitlines()[0]}", file=sys.stderr)
        return 1


def _is_of_database(error: Exception) -> bool:
    """True for what the database's driver says; its module is only asked for if it was needed at all."""
    driver = sys.modules.get("sqlalchemy.exc")
    if driver is None:
        return False
    return isinstance(error, driver.OperationalError) or type(error) is driver.DatabaseError
