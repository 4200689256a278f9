"""`fieldnote listen`: hands-free."""

from __future__ import annotations

from pathlib import Path

import click


@click.command(
    help="Listen while hands are busy: what is said is on the disk within a second, and becomes words, findings and answers. "
    "Without --from the microphone is used. Say: start, pause, stop, photo, next appliance, strike that, read that back, "
    "what is left. Tell the people in the room that talk is recorded, keep one ear free, never use it while driving."
)
@click.option("--visit", "ref", metavar="REF", help="The visit it belongs to; else the last one opened.")
@click.option("--device", metavar="D", help="Number or name of the sound device; ? lists them.")
@click.option(
    "--from", "source", type=click.Path(path_type=Path), metavar="FILE", help="Listen to a recording instead."
)
@click.option(
    "--pace", type=click.FloatRange(0), default=1.0, show_default=True, help="So many times as fast; 0 unhindered."
)
@click.option(
    "--photos",
    multiple=True,
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    metavar="DIR",
    help="A folder in which photos land; may be given several times.",
)
@click.option(
    "--camera-offset", type=float, metavar="SECONDS", help="This machine's clock minus the camera's, once a visit."
)
@click.option(
    "--clock-photo",
    type=(click.Path(path_type=Path), str),
    metavar="FILE HH:MM:SS",
    help="Measures that difference: a photo of this machine's time, and the time to be read on it.",
)
@click.option("--speak", is_flag=True, help="Speak answers and questions, where espeak-ng is installed.")
@click.option("--quiet", is_flag=True, help="No tones.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(
    ctx: click.Context,
    ref: str | None,
    device: str | None,
    source: Path | None,
    pace: float,
    photos: tuple[Path, ...],
    camera_offset: float | None,
    clock_photo: tuple[Path, str] | None,
    speak: bool,
    quiet: bool,
    as_json: bool,
) -> int:
    import time

    from fieldnote import bootstrap, settings
    from fieldnote.cli import output

    if device == "?":
        from fieldnote.capture.microphone import names

        output.say("\n".join(names()) or "no device here can hear")
        return 0
    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen, create=True) as book:
        visit = book.visit(ref) if ref else book.current_visit()
        if visit is None:
            from fieldnote.errors import UsageProblem

            raise UsageProblem("FN-204")
        if camera_offset is not None:
            bootstrap.camera_offset(book, visit, str(camera_offset), None)
        if clock_photo is not None:
            seconds = bootstrap.camera_offset(book, visit, clock_photo[1], clock_photo[0])
            output.note(f"this machine's clock is {seconds:+.0f} s against the camera's; kept for this visit")
        if left := bootstrap.recover(book):
            output.note(f"{left} recordings that were cut off are safe now (fieldnote process hears the rest)")
        output.tell_if_rules_alone(chosen)
        sound = bootstrap.sound_source(source, pace, device)
        live = bootstrap.listening(chosen, book, visit, _show(as_json), photos, speak=speak, quiet=quiet)
        output.note(f"{NOTICE} It is {time.strftime('%H:%M:%S')} by this machine.")
        live.parts.front.tone("listening")
        status = 0
        try:
            live.run(sound, time.sleep)
        except KeyboardInterrupt:
            output.complain("stopped; what was recorded is kept")
            status = 130
        bootstrap.after_listening(chosen, book, visit)
    return status


NOTICE = (
    "Recording. Tell the people in the room that talk is recorded; a pause is one word. "
    "Keep one ear free; never while driving."
)
SIGNS = {"heard": "  ~ ", "line": "  + ", "command": "  > ", "answer": "  = ", "question": "  ? ", "trouble": "  ! "}


def _show(as_json: bool):  # type: ignore[no-untyped-def]
    from fieldnote.cli import output

    def show(event) -> None:  # type: ignore[no-untyped-def]
        if as_json:
            from fieldnote.records import to_plain

            output.data(to_plain(event))
            return
        at = f"{event.second:7.1f} " if event.second is not None else " " * 8
        output.say(f"{at}{SIGNS.get(event.kind, '  ')}{output.one_line(event.text)}")
        for number, step in enumerate(event.steps, 1):
            output.say(f"{' ' * 12}{number}. {step}")

    return show
