"""Who may ask, and for what. In: the head of a request. Out: None, or why it is refused. Also the headers of every answer.

One person, one browser, this machine: a secret in the opened address becomes a cookie; the Host must be this server's own
(against names that are re-pointed at this machine); what changes something must carry this page's form token and come from
this page. Everything else is refused before any work is done for it.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from hmac import compare_digest

FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Forwarded-Port", "X-Real-Ip")
FORM = "application/x-www-form-urlencoded"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


def _secret() -> str:
    return secrets.token_urlsafe(32)


@dataclass(frozen=True)
class Refused:
    """A refusal: the HTTP status and one plain sentence that tells an attacker nothing."""

    status: int
    sentence: str


@dataclass(frozen=True)
class Guard:
    """The secrets of one run of the page, new at each start. `port` is where it is served."""

    port: int
    ticket: str = field(default_factory=_secret, repr=False)
    session: str = field(default_factory=_secret, repr=False)
    form: str = field(default_factory=_secret, repr=False)

    @property
    def hosts(self) -> tuple[str, str]:
        """The only names under which this server answers."""
        return f"127.0.0.1:{self.port}", f"localhost:{self.port}"

    @property
    def cookie(self) -> str:
        """The cookie's name, one for each port."""
        return f"fieldnote-{self.port}"

    @property
    def address(self) -> str:
        """The address to open once; it holds the ticket."""
        return f"http://127.0.0.1:{self.port}/enter?ticket={self.ticket}"

    def refuse(self, method: str, path: str, headers: Mapping[str, str], cookie: str) -> Refused | None:
        """Why a request is refused by its head alone; None when it may go on."""
        if method not in ("GET", "HEAD", "POST"):
            return Refused(405, "This page answers GET and POST only.")
        if headers.get("Host", "") not in self.hosts:
            return Refused(400, "This page is served under its own address only.")
        if any(name in headers for name in FORWARDED):
            return Refused(400, "This page is not served through another server.")
        if path != "/enter" and not _same(cookie, self.session):
            return Refused(403, "Open the address that fieldnote printed.")
        return self._refuse_change(headers) if method == "POST" else None

    def _refuse_change(self, headers: Mapping[str, str]) -> Refused | None:
        if headers.get("Origin", "") not in {f"http://{host}" for host in self.hosts}:
            return Refused(403, "That did not come from this page.")
        if headers.get("Sec-Fetch-Site", "same-origin") != "same-origin":
            return Refused(403, "That did not come from this page.")
        if headers.get("Content-Type", "").partition(";")[0].strip() != FORM:
            return Refused(415, "That is no form of this page.")
        return None

    def ticket_fits(self, said: str) -> bool:
        """Whether the opened address held the ticket."""
        return _same(said, self.ticket)

    def form_fits(self, said: str) -> bool:
        """Whether a form carried this page's own token."""
        return _same(said, self.form)


def _same(said: str, known: str) -> bool:
    return compare_digest(said.encode("utf-8", "replace"), known.encode())
