"""Who may speak to the app, and how much: nobody from outside, nothing from another site, nothing without end.

A middleware round everything: Host and Origin checks, the token of this start on every write, limits on what is sent,
a code for tablets on the local network, and the headers that keep a page to itself.
"""

import hmac
import secrets
import time
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_SENT = 1_000_000
"""Bytes of an edit: the longest is some 40 kB."""
MOST_PHOTO = 16_000_000
"""Bytes of a photo, as large as telephones take them."""
COOKIE = "pitchline-code"
TRIES_A_MINUTE = 6
"""Codes that may be tried in a minute, over all comers: a million codes then last for months."""

SAFE = frozenset({"GET", "HEAD"})
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "font-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
KEPT_IN = (
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), microphone=(), geolocation=()"),
)

AskForCode = Callable[[Scope, bool], Response]


@dataclass(slots=True)
class Keys:
    """What opens the app: the token of this start, and on a network the code."""

    hosts: frozenset[str]
    code: str | None = None
    token: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    tries: list[float] = field(default_factory=list)

    def may_try(self, now: float | None = None) -> bool:
        """Whether one more code may be tried; counts the try."""
        now = time.monotonic() if now is None else now
        self.tries = [tried for tried in self.tries if now - tried < 60.0]
        self.tries.append(now)
        return len(self.tries) <= TRIES_A_MINUTE

    def opens(self, code: str) -> bool:
        """Whether this is the code."""
        return self.code is not None and hmac.compare_digest(code.encode(), self.code.encode())


def limit_of(path: str) -> int:
    """The most bytes that a request to a path may send."""
    return MOST_PHOTO if path == "/photos" else MOST_SENT


@dataclass(slots=True)
class Guard:
    """The middleware."""

    app: ASGIApp
    keys: Keys
    ask_for_code: AskForCode

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer why not."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        send = _with_headers(send)
        headers = Headers(scope=scope)
        refusal = self._refusal(scope, headers)
        if refusal is None and self.keys.code is not None and not self._is_inside(scope, headers):
            refusal = await self._at_the_door(scope, receive)
        if refusal is not None:
            await refusal(scope, receive, send)
            return
        await self._limited(scope, receive, send)

    def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        host = headers.get("host", "")
        if host not in self.keys.hosts:
            return PlainTextResponse("This address is not the app's own.", 400)
        length = headers.get("content-length")
        if length is not None and (not length.isdecimal() or int(length) > limit_of(scope["path"])):
            return PlainTextResponse("That is more than can be taken.", 413)
        if scope["method"] in SAFE:
            return None
        if _from_another_site(headers, host):
            return PlainTextResponse("This came from another site.", 403)
        token = headers.get("x-pitchline-token", "")
        if scope["path"] != "/door" and not hmac.compare_digest(token.encode(), self.keys.token.encode()):
            return PlainTextResponse("stale token", 403)
        return None

    def _is_inside(self, scope: Scope, headers: Headers) -> bool:
        client = scope.get("client")
        if client is not None and client[0] in ("127.0.0.1", "::1"):
            return True
        try:
            cookies: Mapping[str, object] = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return False
        held = cookies.get(COOKIE)
        return held is not None and hmac.compare_digest(
            getattr(held, "value", "").encode(), self.keys.token.encode()
        )

    async def _at_the_door(self, scope: Scope, receive: Receive) -> Response | None:
        """The page that asks for the code, or the way in when it is right."""
        if scope["path"].startswith("/static/"):
            return None
        if scope["path"] != "/door" or scope["method"] != "POST":
            return self.ask_for_code(scope, False)
        if not self.keys.may_try():
            return PlainTextResponse("Too many codes were tried; wait a minute.", 429)
        body = b""
        while len(body) < 1000:
            message = await receive()
            body += message.get("body", b"")
            if not message.get("more_body"):
                break
        code = parse_qs(body.decode("utf-8", "replace")).get("code", [""])[0]
        if not self.keys.opens("".join(code.split())):
            return self.ask_for_code(scope, True)
        way_in = RedirectResponse("/", 303)
        way_in.set_cookie(COOKIE, self.keys.token, httponly=True, samesite="strict")
        return way_in

    async def _limited(self, scope: Scope, receive: Receive, send: Send) -> None:
        taken, most = 0, limit_of(scope["path"])

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > most:
                raise HTTPException(413, "That is more than can be taken.")
            return message

        await self.app(scope, counted, send)


def _from_another_site(headers: Headers, host: str) -> bool:
    origin = headers.get("origin")
    if origin is None:
        return headers.get("sec-fetch-site", "same-origin") != "same-origin"
    return origin != f"http://{host}"


def _with_headers(send: Send) -> Callable[[Message], Awaitable[None]]:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in KEPT_IN:
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return sending
