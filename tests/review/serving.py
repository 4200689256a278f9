"""The page of the sample visit, served on a free port of this machine by the program's own server."""

import contextlib
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from fieldnote.export import html, photos, report, wording
from fieldnote.flow.handover import hand_over, handover
from fieldnote.flow.points import of_visit
from fieldnote.notebook import Notebook
from fieldnote.review.desk import Desk
from fieldnote.review.page import Guard, Parts, Server, build
from fieldnote.review.page.media import Sounds
from tests.sample_visit import tone


@dataclass
class Served:
    """A running page: its guard (with the secrets) and its desk."""

    guard: Guard
    desk: Desk


def parts(book: Notebook, desk: Desk) -> Parts:
    """What `bootstrap` hands to the page, with the sample's check and reader."""
    paths = {item.id: book.media(item.sha256) for item in book.items() if item.kind == "photo"}

    def made(view):
        return report.build(view, answers=of_visit(book, desk.visit))

    return Parts(
        desk=desk,
        describe=lambda line: wording.line(line.current or line.proposed),
        work=report.worked,
        preview=lambda: html.render(made(desk.view), lambda photo: photos.copy(paths[photo])),
        preview_style=html.style_source(),
        picture=lambda photo, side: photos.copy(paths[photo], side) if photo in paths else None,
        sounds=Sounds(lambda item: book.media(item.sha256), lambda item: tone(item.seconds or 1.0)),
        handover=lambda: handover(book, desk.visit),
        hand_over=lambda said: hand_over(book, desk.visit, said),
    )


@contextlib.contextmanager
def serving(
    book: Notebook, desk: Desk, patience: int = 20, before_picture: Callable[[], object] = lambda: None
) -> Iterator[Served]:
    """Serve until the block ends. `before_picture` is called before each picture is made."""
    server = Server()
    guard = Guard(server.port)
    made = parts(book, desk)
    picture = made.picture
    made = replace(made, picture=lambda photo, side: (before_picture(), picture(photo, side))[1])
    server.prepare(build(made, guard), patience)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield Served(guard, desk)
    finally:
        server.stop()
        thread.join(10)
        made.sounds.close()
