"""Hands-free: where sound comes from and what listens to it. In: settings and a visit. Out: a source, a listener."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.bootstrap.basis import checker, extractor, recogniser
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.capture.microphone import Source
    from fieldnote.flow.hands import Ear, Event, Front
    from fieldnote.flow.live import Live
    from fieldnote.flow.window import Window
    from fieldnote.notebook import Notebook
    from fieldnote.records import Visit


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
            lambda: talk(book, visit.id),
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


def after_listening(settings: Settings, book: Notebook, visit: Visit) -> None:
    """Read and check the visit as a whole, and reject the lines that were struck out by voice."""
    from fieldnote.flow import taped
    from fieldnote.flow.process import read_and_check, recheck
    from fieldnote.notebook.book import now_here

    read_and_check(book, extractor(), checker(settings), visit)
    struck = [taped.strike(book, item.id, visit.id, settings.engineer, now_here) for item in book.items(visit.id)]
    if any(struck):
        recheck(book, checker(settings), visit)
