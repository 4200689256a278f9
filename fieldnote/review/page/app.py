"""The page's answers. In: requests that the guard let through. Out: one page, sound, pictures, the report preview; decisions.

A GET changes no record. Every form goes to /decide and is answered with the next card and the parts of the page that the
decision changed, so that an answer is as quick in a long visit as in a short one.
"""

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from importlib import resources
from typing import Any

from flask import Flask, Response, abort, make_response, redirect, render_template, request, send_file
from werkzeug.exceptions import HTTPException

from fieldnote.errors import FieldnoteError, UsageProblem
from fieldnote.flow.handover import SIGNATURES, Handover
from fieldnote.records import Item, Line, Result
from fieldnote.review.desk import Desk, confidence
from fieldnote.review.page import timeline
from fieldnote.review.page.guard import HEADERS, Guard, Refused
from fieldnote.review.page.media import Sounds
from fieldnote.review.page.pieces import Piece, changed, chips, emergencies, groups, pieces
from fieldnote.review.queue import Card
from fieldnote.review.words import doubts, heard, marked, pointed

SIZES = {"small": 240, "beside": 1000, "large": 1600}  # the longer side in pixels
STATIC = {
    "page.css": "text/css; charset=utf-8",
    "page.js": "text/javascript; charset=utf-8",
    "icon.svg": "image/svg+xml",
}
NO_FORMS = "form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
LONGEST = 2000  # characters of one amendment


@dataclass(frozen=True)
class Parts:
    """What the page is given. `work` puts a result with its working into words, `preview` makes the report's page, and
    `preview_style` is that page's style as a content security policy names it. `picture` is given item id and longer side."""

    desk: Desk
    describe: Callable[[Line], str]
    work: Callable[[Result], Any]
    preview: Callable[[], str]
    preview_style: str
    picture: Callable[[str, int], bytes | None]
    sounds: Sounds
    handover: Callable[[], Handover]
    hand_over: Callable[[Handover], None]
    later: set[str] = field(default_factory=set)
    lock: threading.RLock = field(default_factory=threading.RLock)


def build(parts: Parts, guard: Guard) -> Flask:
    """The application. All use of the desk is under one lock: a notebook is one person's."""
    app = Flask(__name__, static_folder=None)
    app.jinja_env.autoescape = True  # whatever a template is called: words of a visit are never markup
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters["clock"] = lambda second: f"{int(second // 60)}:{int(second % 60):02}"
    _protect(app, guard)
    page = _Page(parts, guard)
    picture = lru_cache(maxsize=512)(parts.picture)
    app.add_url_rule("/enter", "enter", lambda: _enter(guard), provide_automatic_options=False)
    app.add_url_rule("/", "page", page.show, provide_automatic_options=False)
    app.add_url_rule("/card", "card", page.card, provide_automatic_options=False)
    app.add_url_rule("/decide", "decide", page.decide, methods=["POST"], provide_automatic_options=False)
    app.add_url_rule("/ready", "ready", page.ready, provide_automatic_options=False)
    app.add_url_rule("/report", "report", page.report, provide_automatic_options=False)
    app.add_url_rule("/sound/<item>", "sound", page.sound, provide_automatic_options=False)
    app.add_url_rule(
        "/photo/<size>/<item>",
        "photo",
        lambda size, item: page.photo(picture, size, item),
        provide_automatic_options=False,
    )
    app.add_url_rule("/own/<name>", "own", _own, provide_automatic_options=False)
    return app


def _protect(app: Flask, guard: Guard) -> None:
    @app.before_request
    def refuse() -> Response | None:
        cookie = request.cookies.get(guard.cookie, "")
        refused = guard.refuse(request.method, request.path, dict(request.headers), cookie)
        if refused is None and request.method == "POST" and not guard.form_fits(request.form.get("form", "")):
            refused = Refused(403, "That did not come from this page.")
        return _plain(refused.sentence, refused.status) if refused else None

    @app.after_request
    def head(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response

    @app.errorhandler(Exception)
    def failed(problem: Exception) -> Response:
        """One sentence and no details: neither words of the visit nor paths belong in an error."""
        if isinstance(problem, HTTPException):
            return _plain(problem.name, problem.code or 500)
        if isinstance(problem, FieldnoteError):
            return _plain(problem.code, 409)
        return _plain(f"a defect in fieldnote: {type(problem).__name__}", 500)


def _plain(text: str, status: int) -> Response:
    return Response(text + "\n", status, content_type="text/plain; charset=utf-8")


def _enter(guard: Guard) -> Any:
    if not guard.ticket_fits(request.args.get("ticket", "")):
        return _plain("Open the address that fieldnote printed.", 403)
    answer = make_response(redirect("/", 303))
    answer.set_cookie(guard.cookie, guard.session, httponly=True, samesite="Strict", path="/")
    return answer


def _own(name: str) -> Response:
    if name not in STATIC:
        abort(404)
    content = resources.files("fieldnote.review.page").joinpath("static", name).read_bytes()
    return Response(content, content_type=STATIC[name])


class _Page:
    """Answers about one visit."""

    def __init__(self, parts: Parts, guard: Guard) -> None:
        self.parts = parts
        self.guard = guard
        self.darkroom = threading.Lock()
        self.whole: set[str] = set()  # lists that somebody asked to see whole
        self.seen = 0  # counts answers, so that a browser can say which one it shows
        self.shown: dict[str, Any] = {}  # the key of each part as the browser was last given it

    def show(self) -> str:
        with self.parts.lock:
            self.parts.desk.refresh()
            return self._whole(request.args.get("at", ""))

    def ready(self) -> tuple[str, int]:
        """Somebody is about to type words: not under the lock, so that nothing waits for it."""
        self.parts.desk.prepare()
        return "", 204

    def report(self) -> Response:
        with self.parts.lock:
            text = self.parts.preview()
        policy = f"default-src 'none'; style-src {self.parts.preview_style}; img-src data:; {NO_FORMS}"
        return Response(text, headers={"Content-Security-Policy": policy}, content_type="text/html; charset=utf-8")

    def sound(self, item: str) -> Response:
        with self.parts.lock:
            found = self._item(item, "recording")
        path, kind = self.parts.sounds.playable(found)
        return send_file(path, mimetype=kind, conditional=True, etag=False, max_age=None)

    def photo(self, picture: Callable[[str, int], bytes | None], size: str, item: str) -> Response:
        if size not in SIZES:
            abort(404)
        with self.parts.lock:
            found = self._item(item, "photo")
        with self.darkroom:  # one at a time, and not under the lock of the desk: no decision waits for pictures
            content = picture(found.id, SIZES[size])
        if content is None:
            abort(404)
        return Response(content, content_type="image/jpeg")

    def _item(self, id_: str, kind: str) -> Item:
        found = next((item for item in self.parts.desk.view.items if item.id == id_ and item.kind == kind), None)
        return found or abort(404)

    # ---- deciding

    def decide(self) -> tuple[str, int]:
        form = {name: value[:LONGEST] for name, value in request.form.items()}
        with self.parts.lock:
            try:
                told, at = self._decided(form)
            except FieldnoteError as problem:
                return self._answer(form.get("target", ""), problem.line(), wrong=True), 422
            return self._answer(at, told), 200

    def _decided(self, form: Mapping[str, str]) -> tuple[str, str]:
        """Do what a form asks for. Returns what to tell, and the target to show next ("" for the first of the queue)."""
        desk, target, action = self.parts.desk, form.get("target", ""), form.get("action", "")
        if action in ("accept", "reject", "defer", "amend") and desk.card(target) is None:
            raise UsageProblem("FN-201", what=f"{action} of that", reason="it is not on the desk any more")
        if action == "accept":
            desk.accept(target)
            return "Accepted.", ""
        if action == "reject":
            desk.reject(target, form.get("words", ""))
            return "Rejected. The record keeps it.", ""
        if action == "defer":
            desk.defer(target)
            self.parts.later.add(target)
            return "Left for later.", ""
        if action == "amend":
            return f"Changed: {_listed(desk.amend(target, form.get('words', '')))}.", ""
        return self._other(desk, action, form)

    def _other(self, desk: Desk, action: str, form: Mapping[str, str]) -> tuple[str, str]:
        if action == "add":
            return f"Added: {_listed(desk.add(form.get('words', '')))}.", form.get("target", "")
        if action == "accept-sure":
            return f"{desk.accept_sure()} accepted in one go.", ""
        if action == "undo":
            kind = desk.undo()
            self.parts.later.clear()
            return (f"Taken back: {kind}." if kind else "There is nothing to take back."), ""
        if action == "hand-over":
            self.parts.hand_over(_handover(form))
            return "Kept for the report.", form.get("target", "")
        raise UsageProblem("FN-201", what="that", reason="there is no such action")

    # ---- showing

    def card(self) -> str:
        """One card (with `all`, every point of one list too), and what else is no longer as the browser shows it."""
        with self.parts.lock:
            self.whole.add(request.args.get("all", ""))
            return self._answer(request.args.get("at", ""))

    def _whole(self, at: str) -> str:
        """The page, which from now on is what the browser shows."""
        about = self._about(at)
        self._remember(about["pieces"])
        return render_template("page.html.j2", **about, seen=self.seen)

    def _answer(self, at: str, told: str = "", wrong: bool = False) -> str:
        """What has changed since the browser was last answered; all of it where it shows something older than that."""
        about = self._about(at, told, wrong)
        known = self.shown if request.values.get("seen") == str(self.seen) else {}
        other = changed(known, about["pieces"])
        self._remember(about["pieces"])
        return render_template("answer.html.j2", **about, seen=self.seen, changed=other)

    def _remember(self, now: list[Piece]) -> None:
        self.shown = {piece.id: piece.key for piece in now}
        self.seen += 1

    def _about(self, at: str, told: str = "", wrong: bool = False) -> dict[str, Any]:
        desk, view, kept = self.parts.desk, self.parts.desk.view, self.parts.handover()
        tracks, lists = timeline.tracks(view), groups(desk.sight, self.whole)
        return {
            "view": view,
            "left": len(desk.queue()),
            "sure": len(desk.sure()),
            "card": self._card(at),
            "tracks": tracks,
            "chips": chips(desk.sight),
            "emergencies": emergencies(desk.sight),
            "groups": lists,
            "pieces": pieces(desk.sight, tracks, lists, kept),
            "work": self.parts.work,
            "describe": self.parts.describe,
            "confidence": confidence,
            "doubts": doubts,
            "pointed": pointed,
            "heard": lambda line: heard(line, view),
            "marked": lambda line: marked(line, view),
            "items": {item.id: item for item in view.items},
            "handover": kept,
            "signatures": SIGNATURES,
            "form": self.guard.form,
            "said": told,
            "wrong": wrong,
        }

    def _card(self, at: str) -> Card | None:
        """The card to show: the one asked for, else the first of the queue that was not left for later."""
        queue = self.parts.desk.queue()
        waiting = next((card for card in queue if card.target not in self.parts.later), None)
        return self.parts.desk.card(at) or waiting or next(iter(queue), None)


def _listed(changes: Mapping[str, str]) -> str:
    return ", ".join(f"{name.rstrip('_')} {value or 'none'}" for name, value in changes.items())


def _handover(form: Mapping[str, str]) -> Handover:
    due, signature = form.get("next_due", ""), form.get("signature", "")
    try:
        return Handover(date.fromisoformat(due) if due else None, signature if signature in SIGNATURES else "")
    except ValueError:
        raise UsageProblem("FN-201", what=f"the date {due}", reason="give it as YYYY-MM-DD") from None
