"""What stands before every request: origin check, security headers, size of the body.

Cross-origin: a request that changes something and carries our cookie must come
from our own pages. Browsers say so in Sec-Fetch-Site, or else in Origin.
"""

from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.web.errors import error_page

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), camera=()",
}


def comes_from_our_pages(headers: Headers, scheme: str) -> bool:
    """True where the browser says the request was made by a page of this register, or no cookie is in it."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in {"same-origin", "none"}
    origin = headers.get("origin")
    if origin is not None:
        said = urlsplit(origin)
        return said.scheme == scheme and said.netloc == headers.get("host", "")
    return "cookie" not in headers


class Guard:
    """Refuses changes asked for by other sites and what is too large, and puts the security headers on every answer."""

    def __init__(self, app: ASGIApp, *, behind_tls: bool = False, max_body: int) -> None:
        self.app = app
        self.behind_tls = behind_tls
        self.max_body = max_body

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        scheme = "https" if self.behind_tls else scope.get("scheme", "http")
        if scope["method"] not in SAFE_METHODS and not comes_from_our_pages(headers, scheme):
            refusal = PlainTextResponse("This change was not asked for by a page of this register.", 403)
            await refusal(scope, receive, self._with_headers(send, scope))
            return
        length = headers.get("content-length", "")
        if length.isdigit() and int(length) > self.max_body:
            await self._refuse_too_large(scope, receive, send)
            return
        scope = {**scope, "query_string": scope["query_string"].replace(b"%00", b"")}  # as in a form: read past it
        if "\x00" in scope["path"]:  # no record is called so
            refusal = PlainTextResponse("This address can't be read.", 400)
            await refusal(scope, receive, self._with_headers(send, scope))
            return
        await self.app(scope, receive, self._with_headers(send, scope))

    async def _refuse_too_large(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Say so on a page. What is being sent is let run out first: a browser still sending reads no answer."""
        left = 4 * self.max_body
        while left > 0:
            message = await receive()
            left -= len(message.get("body", b""))
            if not message.get("more_body"):
                break
        sentence = f"At most {self.max_body // 1024 // 1024} MB go at once."
        refusal = await run_in_threadpool(error_page, Request(scope, receive), 413, sentence)
        await refusal(scope, receive, self._with_headers(send, scope))

    def _with_headers(self, send: Send, scope: Scope) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                said = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    said.setdefault(name, value)
                if self.behind_tls:
                    said.setdefault("Strict-Transport-Security", "max-age=31536000")
                if not scope["path"].startswith("/static/"):
                    said.setdefault("Cache-Control", "no-store")
            await send(message)

        return sending
