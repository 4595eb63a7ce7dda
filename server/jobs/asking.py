"""Which needs a text may meet, or which finds: one text, or one a line."""

import argparse
import json
import sys
from collections.abc import Iterator

from server.jobs.register import opened, settings_of


def match(parsed: argparse.Namespace) -> int:
    """Print the hits of one text, or of one text a line as one JSON line each."""
    from server.services.matching import finds_for_text, needs_for_text

    ask = finds_for_text if parsed.finds else needs_for_text
    with opened(settings_of(parsed)) as store:
        if parsed.text == "-":
            for text in _lines():
                said = ask(store, text, limit=parsed.limit, faint=True).plain(text)
                print(json.dumps(said, ensure_ascii=False), flush=True)
            return 0
        answer = ask(store, parsed.text, limit=parsed.limit, faint=parsed.json)
    if parsed.json:
        print(json.dumps(answer.plain(parsed.text), ensure_ascii=False))
        return 0
    if answer.read:
        print("Read as: " + " · ".join(answer.read))
    if not answer.hits:
        print("Nothing fits.")
    for hit in answer.hits:
        ref = f" [{hit.ref}]" if hit.ref else ""
        print(f"{hit.number}{ref}  {hit.score:.2f}  {hit.title}")
        for sign, reasons in (("+", hit.speaks_for), ("-", hit.speaks_against)):
            if reasons:
                print(f"    {sign} " + " · ".join(reasons))
    return 0


def _lines() -> Iterator[str]:
    """The lines of standard input; what is no UTF-8 is read as far as it goes, for a line must have its answer."""
    for line in sys.stdin.buffer:
        yield line.decode("utf-8", errors="replace").removeprefix("\ufeff").rstrip("\r\n")
