"""makegood: the command line.

Exit codes: 0 done, 1 refused (a sentence on standard error), 2 wrong usage.
"""

import argparse
import sys
from collections.abc import Sequence

from server import __version__
from server.domain.errors import Faults, Refused


def make_parser() -> argparse.ArgumentParser:
    """The parser of every command."""
    parser = argparse.ArgumentParser(
        prog="makegood",
        description="A register for sourcing and substituting parts on vintage aircraft restorations.",
        epilog="The tool computes; a person with the right licence decides.",
    )
    parser.add_argument("--version", action="version", version=f"makegood {__version__}")
    parser.add_argument("--data", metavar="DIR", help="data folder (else MAKEGOOD_DATA, else ./data)")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    # --data may stand before or after the command
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument("--data", metavar="DIR", default=argparse.SUPPRESS, help="data folder")
    port = argparse.ArgumentParser(add_help=False)
    port.add_argument("--port", type=int, metavar="N", help="port to listen on (else MAKEGOOD_PORT, else 8642)")
    port.add_argument("--host", metavar="ADDRESS", default="127.0.0.1", help="address to listen on (loopback)")

    add = commands.add_parser
    add("serve", parents=[common, port], help="serve the register in the data folder")
    demo = add("demo", parents=[common, port], help="serve the demonstration register, everything in it invented")
    demo.add_argument("--fresh", action="store_true", help="load it anew, forgetting what was done in it")
    demo.add_argument("--load-only", action="store_true", help="load it and stop")
    init = add("init", parents=[common], help="make an empty register and its first account")
    init.add_argument("--name", default="Makegood", help="name of the register")
    init.add_argument("--account", default="keeper", metavar="NAME", help="sign-in name of the first account")
    init.add_argument("--no-input", action="store_true", help="ask nothing: generate the password and print it once")
    init.add_argument("--json", action="store_true", help="print as JSON")

    _account_parser(commands, common)
    _working_parsers(commands, common)
    return parser


def _account_parser(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    account = commands.add_parser("account", parents=[common], help="accounts: list, add, new password")
    verbs = account.add_subparsers(dest="verb", metavar="VERB", required=True)
    listing = verbs.add_parser("list", parents=[common], help="list the accounts")
    listing.add_argument("--json", action="store_true", help="print as JSON")
    adding = verbs.add_parser("add", parents=[common], help="open an account")
    adding.add_argument("sign_in")
    adding.add_argument("--name", required=True)
    adding.add_argument("--role", required=True, choices=["viewer", "restorer", "approver", "keeper"])
    adding.add_argument("--licence-kind", default="")
    adding.add_argument("--licence-number", default="")
    adding.add_argument("--licence-until", default="")
    adding.add_argument("--no-input", action="store_true", help="generate the password and print it once")
    password = verbs.add_parser("password", parents=[common], help="give an account a new password")
    password.add_argument("sign_in")
    password.add_argument("--no-input", action="store_true", help="generate the password and print it once")


def _working_parsers(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    add = commands.add_parser
    match = add("match", parents=[common], help="which open needs a text may meet (or, with --finds, which finds)")
    match.add_argument("text", help="what was found, in any words; - reads one text a line")
    match.add_argument("--finds", action="store_true", help="ask the other way round: finds for a wanted part")
    match.add_argument("--limit", type=int, default=10, metavar="N", help="most hits (10)")
    match.add_argument("--json", action="store_true", help="print as JSON, one line a text")

    check = add("check", parents=[common], help="check a find against a need, without any register")
    check.add_argument("file", nargs="?", help="a JSON file; - reads JSON lines and answers line by line")
    check.add_argument("--json", action="store_true", help="print verdict and rows as JSON")
    check.add_argument("--example", metavar="CLASS", help="print a filled example of a part class")
    check.add_argument("--schema", metavar="CLASS", help="print the JSON Schema of a part class")
    check.add_argument("--classes", action="store_true", help="list the part classes")

    for verb, said in (("import", "take in"), ("export", "write out")):
        moving = add(
            verb,
            parents=[common],
            help=f"{said} needs or finds as CSV or JSON lines"
            + (", or all records as an archive" if verb == "export" else ""),
        )
        moving.add_argument("what", choices=["needs", "finds", *(["records"] if verb == "export" else [])])
        moving.add_argument(
            "file",
            nargs="?" if verb == "export" else None,
            default="-",
            help="- for standard input or output; for records a new folder, or FILE.zip",
        )
        moving.add_argument("--format", choices=["csv", "jsonl"], help="else by the file's ending")
        if verb == "import":
            moving.add_argument(
                "--as", dest="as_account", metavar="NAME", help="account it is done as (else the first keeper)"
            )
            moving.add_argument("--aeroplane", type=int, metavar="N", help="aeroplane for lines that name none")
            moving.add_argument("--json", action="store_true", help="print as JSON")
    verify = add("verify", parents=[common], help="check that no signed record was changed")
    verify.add_argument(
        "file", nargs="?", help="an exported record (zip, folder or JSON), checked without any register"
    )
    verify.add_argument(
        "--public-key",
        metavar="KEY|FILE",
        nargs="?",
        const="",
        action="append",
        help="check against this key, kept elsewhere; without a key: print the register's own",
    )
    verify.add_argument("--json", action="store_true", help="print as JSON")
    sealing = add("seal-key", parents=[common], help="print the public key of the seals")
    sealing.add_argument("--new", action="store_true", help="make another, where seal.key is lost")
    add("upgrade", parents=[common], help="bring the database to this version")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code."""
    parsed = make_parser().parse_args(arguments)
    from server.jobs import commands

    run = commands.COMMANDS[parsed.command]
    try:
        return run(parsed)
    except Faults as faults:
        for name, sentence in faults.faults.items():
            print(f"{name}: {sentence}" if name else sentence, file=sys.stderr)
        return 1
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 1
    except ValueError as wrong:
        print(wrong, file=sys.stderr)
        return 2
    except BrokenPipeError:
        return 0
    except KeyboardInterrupt:
        return 130
