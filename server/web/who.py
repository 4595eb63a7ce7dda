"""Who is asking: the signed-in account, the role a route needs, and the register's store."""

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, Request
from starlette.responses import Response

from server.domain.errors import NotAllowed, Refused
from server.domain.register import Actor, UserRole
from server.services.accounts import SIGNED_IN_FOR, who_is
from server.storage.engine import Store

COOKIE = "makegood"


class NotSignedIn(Refused):
    """Nobody is signed in."""


def store_of(request: Request) -> Store:
    """The register's store."""
    store: Store = request.app.state.store
    return store


StoreOf = Annotated[Store, Depends(store_of)]


def signed_in(request: Request) -> Actor:
    """The signed-in account. Raises NotSignedIn."""
    actor = who_is(store_of(request), request.cookies.get(COOKIE, ""))
    if actor is None:
        raise NotSignedIn("Sign in first.")
    request.state.actor = actor
    return actor


def may(role: UserRole) -> Callable[[Request], Actor]:
    """A dependency: the signed-in account, refused where its role does not reach."""

    def needed(request: Request) -> Actor:
        actor = signed_in(request)
        if not actor.may(role):
            raise NotAllowed(f"This needs the role “{role.value}”; yours is “{actor.role.value}”.")
        return actor

    needed.role = role  # type: ignore[attr-defined]
    return needed


def keep_cookie(request: Request, response: Response, token: str) -> None:
    """Put the token of a signed-in browser into its cookie."""
    response.set_cookie(
        COOKIE,
        token,
        max_age=int(SIGNED_IN_FOR.total_seconds()),
        httponly=True,
        samesite="lax",
        secure=request.app.state.settings.secure_cookies,
        path="/",
    )


Viewer = Annotated[Actor, Depends(may(UserRole.VIEWER))]
Restorer = Annotated[Actor, Depends(may(UserRole.RESTORER))]
Approver = Annotated[Actor, Depends(may(UserRole.APPROVER))]
Keeper = Annotated[Actor, Depends(may(UserRole.KEEPER))]
