"""Settings become parts, wired together. The only place that knows concrete classes of more than one room.

Each function imports its room when it is called, so that a command pays only for what it uses.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.settings import Settings

Say = Callable[[object], None]

if TYPE_CHECKING:
    from fieldnote.audit.batch import Done, Listed
    from fieldnote.audit.fleet import Link
    from fieldnote.audit.gather import Progress
    from fieldnote.audit.picture import Picture, Table
    from fieldnote.audit.together import Audit
    from fieldnote.bundle import Bundle, Keyring, Written
    from fieldnote.capture.microphone import Source
    from fieldnote.export.due import Month, Row
    from fieldnote.export.masking import Mask
    from fieldnote.export.particulars import Particulars
    from fieldnote.extract import Extractor
    from fieldnote.flow.hands import Ear, Event, Front
    from fieldnote.flow.live import Live
    from fieldnote.flow.window import Window
    from fieldnote.notebook import Notebook
    from fieldnote.records import Check, Decision, Extraction, Item, Visit, VisitView
    from fieldnote.review.desk import Desk
    from fieldnote.review.page import Parts
    from fieldnote.review.terminal import Terminal
    from fieldnote.speech.hearing import Recogniser


def notebook(settings: Settings, *, write: bool = True, create: bool = False) -> Notebook:
    """The engineer's notebook. Raises NotebookProblem when it is absent, busy, newer or not writable."""
    from fieldnote.notebook import Notebook

    return Notebook.open(settings.notebook, write=write, create=create)


def recogniser(settings: Settings) -> Recogniser:
    """The speech engine with checked weights. Raises MachineLacks FN-401 when they are not here."""
    from fieldnote.speech import build

    return build(settings)


def extractor() -> Extractor:
    """The rule-based reader of dictations."""
    from fieldnote import settings
    from fieldnote.extract import build

    return build(settings.load().cache)


def extractor_after_hearing() -> Extractor:
    """The reader, made when the speech engine is gone; what that took goes back to the system first."""
    from fieldnote.speech.engine import trim

    trim()
    return extractor()


def checker(settings: Settings) -> Callable[[Extraction, Visit, date], Check]:
    """What the trade makes of a visit, with the limits of its region, its edition and the day it was made."""

    def check(extraction: Extraction, visit: Visit, day: date) -> Check:
        from fieldnote.trade import check as trade_check
        from fieldnote.trade import limits

        return trade_check.check(
            extraction,
            work=visit.work,
            appliances=visit.appliances,
            gas=visit.gas,
            meter=visit.meter,
            region=visit.region or settings.region,
            edition=visit.edition,
            on=day,
            limits=limits.load(settings.limits),
            emergency_number=settings.emergency_number.strip() or None,
        )

    return check


def view(settings: Settings, book: Notebook, ref: str) -> VisitView:
    """One visit as it stands, its results worked out for what holds now."""
    from fieldnote.flow.view import view

    return view(book, book.visit(ref).id, checker(settings))


def report(settings: Settings, book: Notebook, ref: str, kind: str, *, mask: bool, names: Sequence[str] = ()) -> bytes:
    """One visit for a reader, as the bytes of an HTML file or a PDF. Raises MachineLacks FN-402 without the extra `pdf`."""
    from fieldnote.export import html, masking, pdf
    from fieldnote.export import report as content

    seen = view(settings, book, ref)
    hide = mask_for(book, names)(seen) if mask else masking.OPEN
    made = content.build(seen, particulars(settings, book, seen.visit.id), hide, answers(book, seen.visit.id))
    if kind == "html":
        return html.render(made, photo_copies(book, seen)).encode("utf-8")
    return pdf.render(made, photo_copies(book, seen), seen, hide)


def export(
    settings: Settings,
    book: Notebook,
    refs: Sequence[str],
    kind: str,
    *,
    table: str,
    mask: bool,
    names: Sequence[str] = (),
) -> bytes:
    """Visits (all of them when none is named) as the bytes of one table, workbook, calendar or JSON file."""
    from fieldnote.export import render

    wanted = list(refs) or [visit.id for visit in book.visits()]
    views = [view(settings, book, ref) for ref in wanted]
    return render(kind, views, table=table, mask=mask_for(book, names) if mask else None)


def mask_for(book: Notebook, names: Sequence[str]) -> Callable[[VisitView], Mask]:
    """What hides names and numbers of a visit, its written notes included."""
    from fieldnote.export.masking import mask_of

    def make(seen: VisitView) -> Mask:
        notes = [item for item in seen.items if item.kind == "note"]
        return mask_of(seen, names, [book.media(note.sha256).read_text("utf-8", "replace") for note in notes])

    return make


def particulars(settings: Settings, book: Notebook, visit: str) -> Particulars:
    """What a report says of the engineer, with what was settled when this visit was handed over."""
    from dataclasses import replace

    from fieldnote.export import particulars
    from fieldnote.flow.handover import handover

    known, settled = particulars.load(settings.particulars), handover(book, visit)
    return replace(known, name=known.name or settings.engineer, next_due=settled.next_due, signature=settled.signature)


def answers(book: Notebook, visit: str) -> dict[str, Decision]:
    """What people decided about points and loose photos of a visit."""
    from fieldnote.flow.points import of_visit

    return of_visit(book, visit)


def photo_copies(book: Notebook, seen: VisitView, side: int = 1400) -> Callable[[str], bytes | None]:
    """Copies of the photos of a visit by item id, without position or owner."""
    from fieldnote.export.photos import copy

    paths = {item.id: book.media(item.sha256) for item in seen.items if item.kind == "photo"}
    return lambda photo: copy(paths[photo], side) if photo in paths else None


def keyring_path(settings: Settings) -> Path:
    """Where this machine remembers other people's keys and bundles."""
    return settings.keys / "known.json"


def keyring(settings: Settings) -> Keyring:
    """The keys that engineers handed over, this engineer's own, and the bundles that were seen. Raises InputProblem FN-304."""
    from fieldnote.bundle import Keyring, read_public

    known, own = Keyring.load(keyring_path(settings)), settings.keys / "public-key.json"
    return known.trusting(read_public(own)) if own.exists() else known


def remember(settings: Settings, read: Bundle) -> None:
    """Keep in mind that a bundle was seen, if nothing is wrong with it. Raises MachineLacks FN-403, FN-406."""
    known = keyring(settings)
    if (after := read.remembered(known)) != known:
        after.save(keyring_path(settings))


def bundle(settings: Settings, ref: str, target: Path, recipient: str) -> Written:
    """Write the signed bundle of one visit, if the notebook holds good. Raises NotebookProblem FN-505 when it does not."""
    from datetime import datetime

    from fieldnote.bundle import KeyPair
    from fieldnote.errors import NotebookProblem
    from fieldnote.flow.pack import pack
    from fieldnote.notebook import verify

    key = KeyPair.load(settings.keys)
    report = verify(settings.notebook)
    if not report.sound:
        raise NotebookProblem("FN-505", path=settings.notebook, reason=f"{len(report.damage)} things disagree")
    ring = keyring(settings).trusting(key.public)
    with notebook(settings) as book:
        now = datetime.now().astimezone()
        seen = view(settings, book, ref)
        written = pack(book, seen, key, target, recipient=recipient, now=now, keyring=ring)
    after = ring.remembering(key.public.id, written.sequence, written.statement, seen.visit.id)
    after.save(keyring_path(settings))
    return written


def desk(settings: Settings, book: Notebook, visit: Visit, by: str | None) -> Desk:
    """Where decisions about one visit are made."""
    from functools import cache
    from threading import Lock

    from fieldnote.flow.view import Watch
    from fieldnote.notebook.book import now_here
    from fieldnote.review.desk import Desk

    watch, reader, once = Watch(book, visit.id, checker(settings)), cache(extractor), Lock()

    def read(text: str) -> Extraction:
        with once:  # built when the first words are typed, and only once
            built = reader()
        said: Extraction = built.read(text)
        return said

    return Desk(book, visit.id, watch.look, read, by or settings.engineer, now_here)


def review_terminal(settings: Settings, book: Notebook, visit: Visit, by: str | None, say: Say) -> Terminal:
    """The review of one visit in the terminal."""
    from fieldnote.export import wording
    from fieldnote.flow.handover import hand_over
    from fieldnote.review.console import Console
    from fieldnote.review.player import play
    from fieldnote.review.terminal import Terminal

    def heard(item: Item, start: float, end: float) -> bool:
        begin = max(0.0, start - 0.5)
        return play(clip(book, item, begin, end + 0.5), end + 0.5 - begin)

    return Terminal(
        desk(settings, book, visit, by),
        Console(say),
        lambda line: wording.titled(said) if (said := line.current or line.proposed) else line.id,
        heard,
        lambda said: hand_over(book, visit.id, said),
    )


def settle(settings: Settings, book: Notebook, visit: Visit) -> None:
    """After decisions: work the results out for what holds now, and keep them."""
    from fieldnote.flow.process import recheck

    recheck(book, checker(settings), visit)


def clip(book: Notebook, item: Item, start: float = 0.0, end: float | None = None) -> bytes:
    """Part of a recording as WAV, 16 kHz, one channel: what a player or a browser can play whatever the original is."""
    import io
    import wave

    from fieldnote.speech.decoding import RATE
    from fieldnote.speech.sound import Sound

    out, at = io.BytesIO(), 0
    first, last = int(start * RATE), None if end is None else int(end * RATE)
    with Sound(book.media(item.sha256)) as sound, wave.open(out, "wb") as copy:
        copy.setnchannels(1)
        copy.setsampwidth(2)
        copy.setframerate(RATE)
        for block in sound:
            part = block[max(0, first - at) : None if last is None else max(0, last - at)]
            copy.writeframes((part.clip(-1, 1) * 32767).astype("<i2").tobytes())
            at += len(block)
            if last is not None and at >= last:
                break
    return out.getvalue()


def is_bundle(path: Path) -> bool:
    """Whether a path is a bundle rather than a notebook: a zip file, or a folder that holds a bag."""
    return path.suffix == ".zip" or (path / "bagit.txt").exists()


def read_bundle(settings: Settings, path: Path) -> Bundle:
    """Check one bundle against the keys that are known here. Raises InputProblem FN-301 when there is nothing there."""
    from datetime import datetime

    from fieldnote.bundle import open_bundle
    from fieldnote.errors import InputProblem

    try:
        return open_bundle(path, keyring(settings), datetime.now().astimezone())
    except FileNotFoundError:
        raise InputProblem("FN-301", path=path, reason="there is nothing there") from None


def review_page(settings: Settings, book: Notebook, visit: Visit, by: str | None, port: int, say: Say) -> int:
    """Serve the review page until it is stopped. Raises MachineLacks FN-402 without the extra `web`."""
    from fieldnote.errors import MachineLacks

    try:
        from fieldnote.review.page import Guard, Server, build
    except ImportError:
        raise MachineLacks("FN-402", extra="web") from None
    server = Server(port)
    guard = Guard(server.port)
    parts = page_parts(settings, book, visit, by)
    parts.desk.queue()  # read before the first page is asked for, which then is there at once
    say(f"Open this on this machine; it works once started and until Ctrl-C:\n{guard.address}")
    server.prepare(build(parts, guard))
    try:
        server.run()
    finally:
        parts.sounds.close()
        settle(settings, book, visit)
    return 0


def page_parts(settings: Settings, book: Notebook, visit: Visit, by: str | None) -> Parts:
    """What the review page is given: the desk, and ways to sound, pictures and the report."""
    from fieldnote.export import html, photos, wording
    from fieldnote.export.report import worked
    from fieldnote.flow.handover import hand_over, handover
    from fieldnote.review.page import Parts
    from fieldnote.review.page.media import Sounds

    own = desk(settings, book, visit, by)
    pictures = {item.id: book.media(item.sha256) for item in book.items(visit.id) if item.kind == "photo"}

    return Parts(
        desk=own,
        describe=lambda line: wording.titled(said) if (said := line.current or line.proposed) else line.id,
        work=worked,
        preview=lambda: report(settings, book, visit.id, "html", mask=True).decode("utf-8"),
        preview_style=html.style_source(),
        picture=lambda photo, side: photos.copy(pictures[photo], side) if photo in pictures else None,
        sounds=Sounds(lambda item: book.media(item.sha256), lambda item: clip(book, item)),
        handover=lambda: handover(book, visit.id),
        hand_over=lambda said: hand_over(book, visit.id, said),
    )


def due(settings: Settings, book: Notebook, keep_days: int | None) -> list[Row]:
    """What is open over all visits."""
    from fieldnote.export import due
    from fieldnote.flow.closing import closed
    from fieldnote.flow.handover import handover

    views = [view(settings, book, visit.id) for visit in book.visits()]
    days = {seen.visit.id: day for seen in views if (day := handover(book, seen.visit.id).next_due)}
    return due.rows(views, days, closed(book), keep_days)


def month_end(settings: Settings, book: Notebook, month: str) -> Month:
    """Visits made, parts used and situations of one month."""
    from fieldnote.export import due

    return due.month([view(settings, book, visit.id) for visit in book.visits()], month)


def close_line(settings: Settings, book: Notebook, line: str, ref: str | None) -> None:
    """Close a follow-up or a part. Raises UsageProblem FN-206 when nothing open has this id."""
    from fieldnote.flow.closing import close

    known = frozenset(row.id for row in due(settings, book, None) if row.kind in ("follow-up", "part"))
    close(book, line, book.visit(ref).id if ref else None, settings.engineer, known)


def audit_index(settings: Settings) -> Path:
    """Where this machine keeps what audits have read: beside the supervisor's keys, never beside a notebook."""
    return settings.keys.with_name("audit") / "index.db"


@contextlib.contextmanager
def audit(
    settings: Settings, paths: Sequence[Path], *, afresh: bool = False, progress: Progress | None = None
) -> Iterator[Audit]:
    """Many notebooks and bundles, read: the way to their picture and tables."""
    from fieldnote.audit.index import Index
    from fieldnote.audit.together import audit
    from fieldnote.notebook.book import now_here

    with Index(audit_index(settings)) as index:
        yield audit(paths, index, keyring(settings), now_here(), afresh=afresh, progress=progress)


def audit_compare(settings: Settings, old: Path, new: Path | None, progress: Progress | None = None) -> Picture:
    """Two runs of the machine: those in two places, or the first and the last in one."""
    from fieldnote.audit.compare import compared
    from fieldnote.notebook.book import now_here

    return compared([old], [new] if new else [], keyring(settings), now_here(), progress)


def audit_page(drawn: Picture, target: Path, title: str) -> None:
    """Write a picture as one page for a browser, whole or not at all."""
    from fieldnote.audit.page import page
    from fieldnote.export import whole

    whole.write(target, page(drawn, title).encode("utf-8", "replace"))


def audit_parquet(made: Audit, target: Path, progress: Progress | None = None) -> None:
    """Write what counts in an audit as Parquet files. Raises MachineLacks FN-402 without the extra `audit`."""
    from fieldnote.audit.parquet import write
    from fieldnote.notebook.book import now_here

    write(made.counting(), made.keyring, now_here(), target, progress)


def batch_recipe(settings: Settings) -> dict[str, str]:
    """What a transcript depends on besides the sound. Raises MachineLacks FN-401 or FN-405 without whole weights."""
    import hashlib

    from fieldnote import __version__
    from fieldnote.speech import hearing, hints, repair, weights

    texts = {"hints": hints.prose(), "repairs": repair.source(), "recipe": hearing.RECIPE}
    known = {name: hashlib.sha256(text.encode()).hexdigest() for name, text in texts.items()}
    return known | {
        "model": settings.model,
        "weights": weights.ready(settings, settings.model)[1],
        "program": __version__,
    }


def batch(
    settings: Settings, listed: Listed, out: Path, *, workers: int, link: Link | None = None, again: bool = False
) -> tuple[int, Iterator[Done]]:
    """Transcribe what was not transcribed yet: how many recordings wait, and what becomes of each."""
    from dataclasses import replace
    from functools import partial

    from fieldnote.audit import batch, fleet

    left = batch.waiting(listed.jobs, out, again=again)
    threads = settings.threads if link else max(1, settings.threads // workers)
    make = partial(recogniser, replace(settings, threads=threads))
    return len(left), fleet.fleet(left, make, out, link) if link else batch.local(left, make, out, workers)


def batch_jobs(settings: Settings, paths: Sequence[Path]) -> Listed:
    """Every recording at these paths as a job for the weights of the settings."""
    from fieldnote.audit.batch import jobs

    return jobs(paths, batch_recipe(settings), keyring(settings))


def audit_tables(tables: Sequence[Table], target: Path) -> None:
    """Write tables of an audit: a workbook where the name ends in .xlsx, else a folder with one CSV for each."""
    from fieldnote.export import spreadsheet, whole
    from fieldnote.export.tables import Table, csv_text

    made = [Table(one.name, one.columns, one.rows) for one in tables]
    if target.suffix == ".xlsx":
        whole.write(target, spreadsheet.workbook(made))
        return
    target.mkdir(parents=True, exist_ok=True)
    for one in made:
        whole.write(target / f"{one.name}.csv", csv_text(one).encode("utf-8-sig", "replace"))


def sound_source(path: Path | None, pace: float, device: str | None) -> Source:
    """What is listened to: a recording, or the microphone. Raises InputProblem when the file cannot be used, MachineLacks FN-402
    or FN-404 without what a microphone needs."""
    from fieldnote.capture.microphone import Microphone, Played, now_here

    if path is None:
        return Microphone(int(device) if device and device.isdigit() else device)
    from fieldnote.capture import look
    from fieldnote.speech.sound import Sound

    seen = look(path)
    return Played(Sound(path), (seen.at or now_here()).astimezone(), pace)


def listening(
    settings: Settings,
    book: Notebook,
    visit: Visit,
    show: Callable[[Event], None],
    photos: Sequence[Path],
    *,
    speak: bool = False,
    quiet: bool = False,
) -> Live:
    """The live loop of one visit, its parts made when first needed so that recording begins at once."""
    from fieldnote.capture.loudspeaker import Loudspeaker
    from fieldnote.flow.commands import commands
    from fieldnote.flow.hands import Outward, Parts
    from fieldnote.flow.live import Live
    from fieldnote.review.player import play

    def ear() -> Ear:
        from fieldnote.speech import phrases

        return phrases.Ear(recogniser(settings))

    def window() -> Window:
        from fieldnote.export import wording
        from fieldnote.flow.check import day_of
        from fieldnote.flow.talk import talk
        from fieldnote.flow.window import Window

        made = checker(settings)
        return Window(
            extractor(),
            lambda said: made(said, visit, day_of(book, visit)),
            wording.line,
            lambda: talk(book, visit.id).text,
        )

    out = Loudspeaker(play, quiet=quiet, speaks=speak)
    front = Outward(show, out.tone, out.speak)
    landed = photo_folders(book, visit, photos, front)
    return Live(Parts(book, visit.id, ear, window, front, commands(), settings.engineer, landed, speak))


def photo_folders(book: Notebook, visit: Visit, folders: Sequence[Path], front: Front) -> Callable[[], None]:
    """Looks into folders when called; takes in the photos that came to rest and says at once what is wrong with one."""
    from fieldnote.capture import Watch
    from fieldnote.flow.hands import Event
    from fieldnote.flow.take_in import take_in

    watches = [Watch(folder, rest=1.0) for folder in folders]

    def look() -> None:
        for receipt in take_in(book, [path for watch in watches for path in watch.look()], visit.id):
            flags = book.item(receipt.id).flags if receipt.id else ()
            bad = receipt.status == "refused" or bool(flags)
            said = receipt.reason or ", ".join(flags).replace("-", " ") or "taken in"
            front.show(Event("trouble" if bad else "photo", f"photo {Path(receipt.path).name}: {said}"))
            front.tone("doubtful" if bad else "understood")

    return look


def camera_offset(book: Notebook, visit: Visit, given: str, photo: Path | None) -> float:
    """Keep the camera's clock difference for a visit, given in seconds or as the time to be read on a photo. Returns seconds."""
    from fieldnote.capture import look
    from fieldnote.flow import camera

    seconds = camera.parsed(given, look(photo).at if photo else None)
    camera.keep(book, visit.id, seconds)
    return seconds


def recover(book: Notebook) -> int:
    """File recordings that a kill left open; how many there were. Their unheard rest waits for `process`."""
    from fieldnote.flow import taped

    return sum(1 for _ in taped.recover(book))


def after_listening(settings: Settings, book: Notebook, visit: Visit) -> None:
    """Read and check the visit as a whole, and reject the lines that were struck out by voice."""
    from fieldnote.flow import taped
    from fieldnote.flow.process import read_and_check, recheck
    from fieldnote.notebook.book import now_here

    read_and_check(book, extractor(), checker(settings), visit)
    struck = [taped.strike(book, item.id, visit.id, settings.engineer, now_here) for item in book.items(visit.id)]
    if any(struck):
        recheck(book, checker(settings), visit)
