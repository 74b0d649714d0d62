"""What every request passes first: is the host ours, who carries which cookie; and the headers of every answer."""

import ipaddress
import socket
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tipward.web.visitor import COOKIE, fresh_token

LOCAL_NAMES = ("localhost", "127.0.0.1", "::1")
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; object-src 'none'"
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class Doorway:
    """Host check against DNS rebinding, the visitor's cookie, and security headers on every answer."""

    def __init__(self, app: ASGIApp, lan: bool, names: Iterable[str] = ()) -> None:
        self.app, self.lan = app, lan
        own = {socket.gethostname().lower(), f"{socket.gethostname().lower()}.local"} if lan else set()
        self.names = {*LOCAL_NAMES, *own, *(name.lower() for name in names)}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        if not self._is_ours(headers.get("host", "")):
            await PlainTextResponse("This name is not one of ours; open Tipward under its own address.\n", 400)(
                scope, receive, self._with_headers(scope, send, None)
            )
            return
        token = carried(headers.get("cookie", ""))
        fresh = None if token else fresh_token()
        scope.setdefault("state", {})["token"] = token or fresh
        await self.app(scope, receive, self._with_headers(scope, send, fresh))

    def _is_ours(self, host: str) -> bool:
        name = host_name(host)
        if name in self.names:
            return True
        try:  # rebinding needs a name: a bare address of this machine is safe
            ipaddress.ip_address(name)
        except ValueError:
            return False
        return self.lan

    def _with_headers(self, scope: Scope, send: Send, fresh: str | None) -> Send:
        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if not scope["path"].startswith("/static/"):
                    headers.setdefault("cache-control", "no-store")
                    if fresh and "set-cookie" not in headers:
                        headers.append("set-cookie", cookie(fresh, scope["scheme"] == "https"))
            await send(message)

        return answer


def host_name(host: str) -> str:
    """The name in a host header, without port, brackets and last dot."""
    name = host.rpartition("]")[0].lstrip("[") if host.startswith("[") else host.partition(":")[0]
    return name.lower().rstrip(".")


def cookie(token: str, secure: bool) -> str:
    """The cookie of a visitor: not for scripts, not for other sites."""
    return f"{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=2592000{'; Secure' if secure else ''}"


def carried(header: str) -> str:
    """The token in a cookie header, "" where there is none that we could have made."""
    try:
        morsel = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    value = morsel.value if morsel else ""
    return value if 20 <= len(value) <= 100 and value.isascii() else ""
