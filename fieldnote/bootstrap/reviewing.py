"""Where decisions are made: the desk, under the terminal and under the page. In: settings and a notebook."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldnote.bootstrap.basis import checker, extractor, settle
from fieldnote.bootstrap.papers import report
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.notebook import Notebook
    from fieldnote.records import Extraction, Item, Visit
    from fieldnote.review.desk import Desk
    from fieldnote.review.page import Parts
    from fieldnote.review.terminal import Terminal

Say = Callable[[object], None]


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
