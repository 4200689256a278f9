"""Nobody is let in: each attack on the page is refused, and afterwards the visit is as it was."""

import contextlib
import http.client
import re
import socket
import stat
from pathlib import Path
from urllib.parse import urlencode

import pytest

from fieldnote.review.page import Guard
from tests.review.conftest import desk_of
from tests.review.serving import serving
from tests.sample_visit import sample_book


@pytest.fixture
def served(tmp_path):
    book = sample_book(tmp_path / "book")
    with serving(book, desk_of(book), patience=2) as page:
        before = _state(page, book)
        yield page
        assert _state(page, book) == before


def _state(page, book):
    page.desk.refresh()
    return [line.state for line in page.desk.view.lines], len(list(book.entries()))


def ask(page, method="GET", path="/", body=None, *, cookie=True, host=None, **headers):
    """One request as a browser of this machine would make it, but for what is given."""
    connection = http.client.HTTPConnection("127.0.0.1", page.guard.port, timeout=10)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    if host != "":
        connection.putheader("Host", host or f"127.0.0.1:{page.guard.port}")
    if cookie:
        connection.putheader("Cookie", f"{page.guard.cookie}={page.guard.session if cookie is True else cookie}")
    for name, value in headers.items():
        connection.putheader(name.replace("_", "-"), value)
    connection.endheaders(body.encode() if body is not None else None)
    answer = connection.getresponse()
    content = answer.read()
    connection.close()
    return answer, content


def form(page, **fields):
    """The head and body of a form of the page."""
    body = urlencode({"form": page.guard.form, "action": "accept-sure", "target": ""} | fields)
    origin = f"http://127.0.0.1:{page.guard.port}"
    return body, {
        "Content_Type": "application/x-www-form-urlencoded",
        "Content_Length": str(len(body)),
        "Origin": origin,
        "Sec_Fetch_Site": "same-origin",
    }


def test_the_page_itself_is_answered(served):
    """With the cookie, the right Host and nothing strange the page is there (so that the refusals below mean something)."""
    answer, content = ask(served)
    assert answer.status == 200 and b"KITCHEN-1" in content


def test_1_no_token(served):
    """Without the cookie nothing is shown, whatever the path."""
    for path in ("/", "/report", "/own/page.js", "/sound/x", "/photo/small/x"):
        answer, content = ask(served, path=path, cookie=False)
        assert answer.status == 403 and b"KITCHEN" not in content


def test_2_wrong_token(served):
    """A wrong cookie and a wrong ticket open nothing and set no cookie."""
    assert ask(served, cookie="x" * 43)[0].status == 403
    answer, _ = ask(served, path="/enter?ticket=wrong", cookie=False)
    assert answer.status == 403 and answer.getheader("Set-Cookie") is None


HOSTS = (
    "evil.example evil.example:{port} 127.0.0.1.evil.example:{port} 127.0.0.1:{port}.evil.example localhost.:{port} 127.0.0.1 "
    "127.0.0.1:1 [::1]:{port} 0.0.0.0:{port} 127.1:{port} 2130706433:{port}"
).split()


@pytest.mark.parametrize("host", HOSTS)
def test_3_4_foreign_and_look_alike_hosts(served, host):
    """A name that was re-pointed at this machine, or that only looks like it, is refused even with the cookie."""
    answer, content = ask(served, host=host.format(port=served.guard.port))
    assert answer.status == 400 and b"KITCHEN" not in content


def test_5_no_host(served):
    """A request without a Host is refused."""
    answer, content = ask(served, host="")
    assert answer.status == 400 and b"KITCHEN" not in content


@pytest.mark.parametrize(
    "name", ["X_Forwarded_Host", "X_Forwarded_For", "X_Forwarded_Proto", "Forwarded", "x_forwarded_host"]
)
def test_6_forwarded(served, name):
    """No proxy belongs before this page: forwarded headers are refused."""
    assert ask(served, **{name: "evil.example"})[0].status == 400


def test_7_forged_form_without_token(served):
    """A form without this page's own token changes nothing."""
    for token in ("", "wrong"):
        body, head = form(served, form=token)
        assert ask(served, "POST", "/decide", body, **head)[0].status == 403


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "", "https://127.0.0.1:{port}", "http://127.0.0.1:1", "http://127.0.0.1"]
)
def test_8_9_foreign_origin(served, origin):
    """A form with the token but from elsewhere (or from nowhere) changes nothing."""
    body, head = form(served)
    head["Origin"] = origin.format(port=served.guard.port)
    assert ask(served, "POST", "/decide", body, **head)[0].status == 403


def test_8_cross_site_by_fetch_metadata(served):
    """What the browser itself calls cross-site changes nothing (Fetch Metadata, W3C)."""
    body, head = form(served)
    assert ask(served, "POST", "/decide", body, **(head | {"Sec_Fetch_Site": "cross-site"}))[0].status == 403


@pytest.mark.parametrize("kind", ["text/plain", "multipart/form-data; boundary=x", "application/json", ""])
def test_10_other_form_types(served, kind):
    """A form of a type that other sites can send without asking changes nothing."""
    body, head = form(served)
    assert ask(served, "POST", "/decide", body, **(head | {"Content_Type": kind}))[0].status == 415


def test_11_no_change_by_get(served):
    """No address changes anything when it is only fetched."""
    for path in ("/decide", "/decide?" + form(served)[0], "/?action=accept-sure", "/?" + form(served)[0]):
        assert ask(served, path=path)[0].status in (200, 405)


def test_12_cors_preflight(served):
    """A preflight of another site is refused and nothing is allowed to it."""
    answer, _ = ask(served, "OPTIONS", "/decide", Origin="http://evil.example", Access_Control_Request_Method="POST")
    assert answer.status == 405
    assert not [name for name, _ in answer.getheaders() if name.lower().startswith("access-control")]


ESCAPES = [
    "../../etc/passwd",
    "..%2f..%2fetc%2fpasswd",
    "%2e%2e/%2e%2e/etc/passwd",
    "..%252f..%252fetc%252fpasswd",
    "....//....//etc/passwd",
    "..\\..\\etc\\passwd",
    "%c0%ae%c0%ae/etc/passwd",
    "/etc/passwd%00.jpg",
    "file:///etc/passwd",
]


@pytest.mark.parametrize("escape", ESCAPES)
def test_13_path_escapes(served, escape):
    """Media are found by id only: no spelling of a path leads anywhere."""
    for start in ("/sound/", "/photo/small/", "/photo/large/", "/own/", "/"):
        answer, content = ask(served, path=start + escape)
        assert answer.status in (400, 404, 308) and b"root:" not in content


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "PROPFIND", "X"])
def test_14_other_methods(served, method):
    """Only GET, HEAD and POST are answered."""
    assert ask(served, method, "/decide")[0].status in (400, 405)


def raw(page, data: bytes, patience: float = 10.0) -> bytes:
    """Bytes straight onto the wire; what comes back until the server closes."""
    with socket.create_connection(("127.0.0.1", page.guard.port), timeout=patience) as wire:
        wire.sendall(data)
        wire.settimeout(patience)
        answer = b""
        with contextlib.suppress(TimeoutError, ConnectionError):
            while part := wire.recv(65536):
                answer += part
        return answer


def head_of(page, method="GET", path="/", *more: str) -> str:
    return "\r\n".join([f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{page.guard.port}",
                        f"Cookie: {page.guard.cookie}={page.guard.session}", *more])  # fmt: skip


def test_15_oversized_header(served):
    """A head of more than 16 kB is refused."""
    answer = raw(served, (head_of(served, "GET", "/", "X: " + "a" * 40_000) + "\r\n\r\n").encode())
    assert answer.startswith((b"HTTP/1.1 431", b"HTTP/1.0 431"))


def test_15_oversized_body(served):
    """A body of more than 64 kB is refused."""
    body, head = form(served, words="a" * 100_000)
    with contextlib.suppress(ConnectionError):
        assert ask(served, "POST", "/decide", body, **head)[0].status == 413


def test_16_body_announced_and_not_sent(served):
    """A body that never comes changes nothing, and its connection is closed."""
    body, head = form(served)
    lines = [f"{name.replace('_', '-')}: {value}" for name, value in head.items()]
    answer = raw(served, (head_of(served, "POST", "/decide", *lines) + "\r\n\r\n" + body[:10]).encode(), patience=12)
    assert b"200 OK" not in answer


@pytest.mark.parametrize(
    "lengths",
    [("Content-Length: 5", "Content-Length: 100"), ("Content-Length: 5", "Transfer-Encoding: chunked"),
     ("Content-Length: +5",), ("Content-Length: 5, 100",), ("Transfer-Encoding: xchunked",), ("Content-Length: 0x5",)],
)  # fmt: skip
def test_17_two_lengths(served, lengths):
    """A request with two lengths, or one that is no number, is not taken apart in two ways: nothing hidden in it is answered."""
    hidden = head_of(served, "GET", "/report") + "\r\n\r\n"
    answer = raw(
        served, (head_of(served, "POST", "/decide", *lengths) + "\r\n\r\n0\r\n\r\n" + hidden).encode(), patience=5
    )
    assert b"Record of a visit" not in answer
    assert not answer.startswith(b"HTTP/1.1 200")


def test_18_slow_requests(served):
    """With 60 half-open requests the page is still served, and the half-open ones are closed in the end."""
    wires = [socket.create_connection(("127.0.0.1", served.guard.port), timeout=15) for _ in range(60)]
    try:
        for wire in wires:
            wire.sendall(b"GET / HTTP/1.1\r\nHost: 127")
        for _ in range(3):
            assert ask(served)[0].status == 200
        for wire in wires:
            with contextlib.suppress(ConnectionError):
                assert b"200 OK" not in wire.recv(4096)
    finally:
        for wire in wires:
            wire.close()


def test_not_reachable_on_another_interface(served):
    """The page listens on 127.0.0.1 and nowhere else."""
    table = Path("/proc/net/tcp").read_text() + Path("/proc/net/tcp6").read_text()
    port = f"{served.guard.port:04X}"
    listening = {
        line.split()[1] for line in table.splitlines()[1:] if len(line.split()) > 3 and line.split()[3] == "0A"
    }
    assert {address for address in listening if address.endswith(f":{port}")} == {f"0100007F:{port}"}


@pytest.mark.parametrize("path", ["/", "/own/page.css", "/own/page.js", "/nowhere", "/report"])
def test_every_answer_carries_the_protections(served, path):
    """CSP without unsafe-inline, nosniff, no framing, no referrer, nothing stored: on every answer, refusals included."""
    for cookie in (True, False):
        answer, _ = ask(served, path=path, cookie=cookie)
        policy = answer.getheader("Content-Security-Policy")
        assert "unsafe" not in policy and "frame-ancestors 'none'" in policy and policy.startswith("default-src 'none'")
        assert answer.getheader("X-Content-Type-Options") == "nosniff"
        assert answer.getheader("Referrer-Policy") == "no-referrer"
        assert answer.getheader("Cache-Control") == "no-store"
        assert answer.getheader("Server") is None


def test_nothing_is_loaded_from_outside(served):
    """No address of the page, its style or its script names another host; no style or script stands inline."""
    for path in ("/", "/own/page.css", "/own/page.js"):
        text = ask(served, path=path)[1].decode()
        assert not re.search(r"https?://(?!127\.0\.0\.1)", text)
        assert not re.search(r"<style|<script(?! src=)|\son\w+=|\sstyle=|javascript:", text)


def test_media_have_fixed_types(served):
    """Sound and pictures come with the type that is fixed for them, and sound can be asked for in part."""
    items = {item.kind: item.id for item in served.desk.view.items}
    answer, content = ask(served, path=f"/photo/small/{items['photo']}")
    assert answer.getheader("Content-Type") == "image/jpeg" and content[:3] == b"\xff\xd8\xff"
    assert b"Olive Owner" not in content
    answer, content = ask(served, path=f"/sound/{items['recording']}", Range="bytes=10-19")
    assert (answer.status, len(content), answer.getheader("Content-Type")) == (206, 10, "audio/wav")
    assert ask(served, path=f"/sound/{items['photo']}")[0].status == 404
    assert ask(served, path=f"/photo/huge/{items['photo']}")[0].status == 404


def test_the_secrets_are_long_new_and_unseen(served, capfd):
    """At least 128 bits each, new at each start, in no output, and the cookie is out of reach of scripts and other sites."""
    first, second = Guard(1), Guard(1)
    for secret in ("ticket", "session", "form"):
        assert len(getattr(first, secret)) >= 22 and getattr(first, secret) != getattr(second, secret)
        assert getattr(first, secret) not in repr(first)
    answer, _ = ask(served, path=f"/enter?ticket={served.guard.ticket}", cookie=False)
    assert (answer.status, answer.getheader("Location")) == (303, "/")
    cookie = answer.getheader("Set-Cookie")
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie
    assert served.guard.ticket not in ask(served)[1].decode()
    told = "".join(capfd.readouterr())
    assert not any(getattr(served.guard, secret) in told for secret in ("ticket", "session", "form"))


def test_a_second_user_cannot_read_the_notebook(served, tmp_path):
    """Folders of the notebook are for its owner only, and so are its files."""
    for path in [tmp_path / "book", *(tmp_path / "book").rglob("*")]:
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode & 0o077 == 0, path


def test_errors_tell_nothing(served):
    """What goes wrong is answered with one sentence: no path, no words of the visit, no traceback."""
    body, head = form(served, action="amend", target="nothing", words="secret words")
    answer, content = ask(served, "POST", "/decide", body, **head)
    assert answer.status == 422 and b"not on the desk any more" in content and b"Traceback" not in content
    for path in ("/nowhere", "/sound/nothing", "/photo/small/nothing"):
        _, content = ask(served, path=path)
        assert content == b"Not Found\n"


def test_a_real_form_is_taken(tmp_path):
    """The form of the page itself does change something: the refusals above are not for want of a right form."""
    book = sample_book(tmp_path / "book")
    with serving(book, desk_of(book)) as page:
        body, head = form(page)
        assert ask(page, "POST", "/decide", body, **head)[0].status == 200
        page.desk.refresh()
        assert "accepted" in {line.state for line in page.desk.view.lines}
