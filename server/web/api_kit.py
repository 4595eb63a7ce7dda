"""What all routes of the API share: who is asking by token, how refusals look, and the words of its description."""

from collections.abc import Callable, Sequence
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer
from starlette.responses import JSONResponse

from server.domain.errors import NotAllowed
from server.domain.plain import as_plain
from server.domain.register import Actor, UserRole
from server.services.accounts import whose_token
from server.services.duplicates import Alike
from server.services.yard import require
from server.web.api_models import AlikeHere, Faulty, Overtaken, Refused
from server.web.who import NotSignedIn, StoreOf

MOST = 200
"""Longest page of a list."""

SCHEME = HTTPBearer(
    scheme_name="token",
    description="A token made on “Your account”, sent as `Authorization: Bearer mg_…`. A token may read, or read and "
    "write; it never may do more than the account it belongs to. Cookies are not looked at.",
    auto_error=False,
)
Bearer = Annotated[HTTPAuthorizationCredentials | None, Depends(SCHEME)]


def _asking(store: StoreOf, bearer: Bearer) -> tuple[Actor, bool]:
    if bearer is None:
        raise NotSignedIn("A token is needed; its owner makes it on the account page.")
    found = whose_token(store, bearer.credentials)
    if found is None:
        raise NotSignedIn("This token is not known, was ended, or its account is shut.")
    return found


Asking = Annotated[tuple[Actor, bool], Depends(_asking)]


def reads(asking: Asking) -> Actor:
    """Whoever asks with a good token. Raises NotSignedIn."""
    return asking[0]


def writes(asking: Asking) -> Actor:
    """Whoever asks with a token that may write. Raises NotSignedIn, NotAllowed."""
    actor, may_write = asking
    if not may_write:
        raise NotAllowed("This token may read only; make one that may write, too.")
    return actor


ApiReader = Annotated[Actor, Depends(reads)]
ApiWriter = Annotated[Actor, Depends(writes)]


def may(role: UserRole) -> Callable[[Actor], Actor]:
    """A dependency: whoever asks with a token that may write, refused where the account's role does not reach.

    It is asked before the body is read: who may not do it is told nothing of the fields.
    """

    def needed(actor: ApiWriter) -> Actor:
        require(actor, role)
        return actor

    return needed


ApiRestorer = Annotated[Actor, Depends(may(UserRole.RESTORER))]
ApiKeeper = Annotated[Actor, Depends(may(UserRole.KEEPER))]

REFUSALS: dict[int | str, dict[str, Any]] = {
    401: {"model": Refused, "description": "No token, or one that is unknown, ended, or of a shut account."},
    403: {"model": Refused, "description": "The token may only read, or the account's role does not reach."},
    404: {"model": Refused, "description": "There is no such record."},
    422: {"model": Faulty, "description": "Nothing was kept; `faults` says for each field what would be right."},
}
CREATED: dict[int | str, dict[str, Any]] = {
    201: {"headers": {"Location": {"description": "Where the record is.", "schema": {"type": "string"}}}},
}
ASKED: dict[int | str, dict[str, Any]] = {
    409: {
        "model": AlikeHere,
        "description": "Nothing was kept: it looks like what is here already. Send it again with `anyway` set to true "
        "where it is another.",
    },
}
OVERTAKEN: dict[int | str, dict[str, Any]] = {
    409: {
        "model": Overtaken,
        "description": "Nothing was kept: somebody else changed the record since the version that was sent. `changes` "
        "says what they changed; send yours again with the version it has now.",
    },
}

DESCRIPTION = (
    "Reads and writes the register without a browser. It takes the same fields as the forms and refuses for the same "
    "reasons. Lists come in pages: ask again with `after` set to `next`. Times are UTC, ISO 8601. What is changed is "
    "sent with the `version` that was read; where somebody was faster the answer is 409 and says what they changed. "
    "Nothing is deleted: it is withdrawn with a reason. The check computes; a person with the right licence decides. "
    "Nothing here says that a part is airworthy or lawful to fit, and nothing is signed here. An approval, a refusal, "
    "a second signature, the closing of a condition and the withdrawal of an approval are made by a person on the "
    "page, where the password is asked again and the digest of what the screen shows is signed with it."
)
TAGS = [
    {"name": "needs", "description": "Parts that are wanted, with what is known of the original."},
    {"name": "finds", "description": "Pieces found, with what is claimed and measured."},
    {"name": "proposals", "description": "Finds put forward for needs, with their comparison sheets."},
    {"name": "files", "description": "Photographs and papers."},
    {"name": "log", "description": "Every change, once."},
    {"name": "search", "description": "Needs and finds for a question in any words, units and spellings."},
    {"name": "yard", "description": "Aeroplanes, steps of assembly, suppliers."},
    {"name": "check", "description": "The comparison by itself; nothing is kept."},
]


def asked(alike: Sequence[Alike]) -> JSONResponse:
    """The question whether it is one of these, in place of keeping it (409)."""
    return JSONResponse(
        {
            "refused": "It looks like what is here already. Look at these; if it is another, send it with “anyway”.",
            "alike": [{**as_plain(one), "number": one.number.replace("\u00a0", " ")} for one in alike],
        },
        409,
    )


def page_of(lines: Sequence[Any], most: int, plain: Sequence[Any]) -> dict[str, Any]:
    """A page of a list out of one line more than it holds: `plain` are the lines as JSON can hold them."""
    more = len(lines) > most
    return {"items": list(plain[:most]), "next": lines[most - 1].id if more else None}


def address_of(request: Request, path: str) -> str:
    """The whole address of a record, for Location."""
    return str(request.base_url).rstrip("/") + path
