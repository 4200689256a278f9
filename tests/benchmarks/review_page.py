"""How long the review page takes with a large visit: first paint, and each step from the key to the next frame.

python tests/benchmarks/review_page.py [FINDINGS] [PHOTOS] [HOURS] [SCREENSHOT-FOLDER]

The limits are 1 s for the first paint and 100 ms for a step, on 2 cores. Beside the clock stands the processor time, which does
not depend on what else the machine does, and a bare page of as many words, which is what this browser can do here at all.
Needs chromium and playwright.
"""

import os
import random
import shutil
import statistics
import sys
import tempfile
import threading
import time
import wave
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

from PIL import Image

from fieldnote import bootstrap
from fieldnote.flow.process import recheck
from fieldnote.notebook import Notebook
from fieldnote.records import Action, Evidence, Extraction, Finding, Reading, Transcript, Visit, digest, to_plain
from fieldnote.review.page import Guard, Server, build
from fieldnote.settings import load
from tests.sample_visit import file, transcript

START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
CLIPS = 12
CHATTER = (
    "so I am just moving round to the other side now and having a look at the next one along here as well.".split()
)
PARTS = "electrode injector hose burner-cap tap thermocouple magnet-unit ht-lead".split()
STATES = "cracked blocked perished ok worn corroded seized damaged".split()
PLACES = "front-left front-right rear-left rear-right".split()


def main() -> None:
    findings, photos, hours = (int(value) for value in [*sys.argv[1:4], *"500 200 2".split()[len(sys.argv[1:4]) :]])
    pictures = Path(sys.argv[4]) if len(sys.argv) > 4 else None
    with tempfile.TemporaryDirectory() as scratch:
        book, visit = large_visit(Path(scratch) / "book", findings, photos, hours)
        print(
            f"{findings} findings, {photos} photos, {hours} h of sound; load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"
        )
        measure(book, visit, pictures)


def large_visit(folder: Path, findings: int, photos: int, hours: int) -> tuple[Notebook, Visit]:
    """Clips of talk in which a finding stands every few sentences, photos all along, and the real check of it."""
    book = Notebook.open(folder, create=True)
    visit = book.open_visit("LARGE", work="service", appliances=["hob"], gas="natural", meter="G4", region="GB")
    chance, seconds = random.Random(1), hours * 3600 / CLIPS
    sources, found, readings, at = [], [], [], 0
    for clip in range(CLIPS):
        text, said = _talk(chance, findings // CLIPS + (clip < findings % CLIPS), seconds)
        heard = transcript(text, doubtful=("worn",))
        began = START + timedelta(seconds=clip * (seconds + 60))
        item = _sound(book, visit, clip, began, heard)
        book.append("transcript", to_plain(heard), visit=visit.id, item=item)
        sources.append({"item": item, "start": at, "end": at + len(text)})
        for evidence, record in said:
            evidence = replace(evidence, start=evidence.start + at, end=evidence.end + at)
            (readings if isinstance(record, Reading) else found).append(replace(record, evidence=evidence))
        at += len(text) + 2
    _photos(book, visit, photos, hours)
    extraction = Extraction(tuple(found), tuple(readings), gas="natural")
    kept = {"basis": digest("large"), "sources": sources, "extraction": to_plain(extraction)}
    book.append("extraction", kept, visit=visit.id)
    recheck(book, bootstrap.checker(load(folder)), visit)
    return book, visit


def _talk(chance: random.Random, findings: int, seconds: float) -> tuple[str, list[tuple[Evidence, Any]]]:
    text, said = "", []
    for number in range(int(seconds / 0.4 / 20)):
        if len(said) < findings * (number + 1) / int(seconds / 0.4 / 20):
            part, place, state = chance.choice(PARTS), chance.choice(PLACES), chance.choice(STATES)
            words = f"{place} {part} is {state}".replace("-", " ")
            evidence = Evidence(words, len(text), len(text) + len(words))
            acts = (Action("replace", "needed"),) if state != "ok" else ()
            sure = chance.choice((0.6, 0.8, 0.9, 0.95))
            said.append((evidence, Finding("hob", part, place, None, state, "present", acts, sure, evidence)))
            if len(said) % 50 == 0:
                said[-1] = (
                    evidence,
                    Reading("working-pressure", Decimal("20.5"), "mbar", "hob", None, None, None, sure, evidence),
                )
            text += words + ". "
        text += " ".join(CHATTER) + " "
    return text.strip(), said


def _sound(book: Notebook, visit: Visit, clip: int, began: datetime, heard: Transcript) -> str:
    path = book.path / f"clip-{clip:02}.wav"
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(8000)
        for second in range(int(heard.duration) + 1):
            sound.writeframes(bytes([clip, second % 3]) * 8000)
    facts = {"format": "wav", "codec": "pcm_s16le"}
    return file(
        book, "recording", path.name, path.read_bytes(), visit.id, at=began, seconds=heard.duration, facts=facts
    )


def _photos(book: Notebook, visit: Visit, photos: int, hours: int) -> None:
    """Photos of the size of a telephone's, 12 million points each."""
    rough = Image.effect_noise((4032, 3024), 60).convert("RGB")
    for number in range(photos):
        path = book.path / f"photo-{number:03}.jpg"
        rough.putpixel((number, 0), (255, 0, 0))
        rough.save(path, "JPEG", quality=30, comment=str(number).encode())
        taken = START + timedelta(seconds=number * hours * 3600 / photos)
        file(book, "photo", path.name, path.read_bytes(), visit.id, at=taken)


# ---- in the browser

STEP = """key => new Promise(done => {
  const told = document.getElementById("told"), began = performance.now();
  const watch = new MutationObserver(() => {
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - began)));
  });
  watch.observe(told, { attributes: true, attributeFilter: ["data-seen"] });
  if (key === "Enter") document.getElementById("change").form.requestSubmit();
  else document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
})"""
BARE = "<!doctype html><title>bare</title><body>" + "<p>" + " ".join(CHATTER) + "</p>\n"
Times = tuple[float, float, float]  # milliseconds: by the clock; processor time of the server; of the browser's page


class Timed:
    """An application whose answers are counted in processor time, those of sound and pictures left out."""

    def __init__(self, application: Any) -> None:
        self.application = application
        self.spent = 0.0

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        began = time.thread_time()
        answer = self.application(environ, start_response)
        if environ["PATH_INFO"] in ("/", "/card", "/decide"):
            self.spent += 1000 * (time.thread_time() - began)
        return answer


def measure(book: Notebook, visit: Visit, pictures: Path | None) -> None:
    from playwright.sync_api import sync_playwright

    parts = bootstrap.page_parts(load(book.path), book, visit, "A. Person")
    began = time.process_time()
    parts.desk.queue()  # as the command does before it prints the address
    print(f"reading the visit, once, before the page: {1000 * (time.process_time() - began):.0f} ms of processor time")
    server = Server()
    guard = Guard(server.port)
    timed = Timed(build(parts, guard))
    server.prepare(timed)
    threading.Thread(target=server.run, daemon=True).start()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        print(f"{'ms':30}    median   worst   server  browser   (the last two: processor time, mean)")
        for name, times in _walk(browser, guard, timed, pictures):
            clock, server_side, page_side = zip(*times, strict=True)
            means = f"{statistics.mean(server_side):8.0f} {statistics.mean(page_side):8.0f}   ({len(times)})"
            print(f"{name:30} {statistics.median(clock):9.0f} {max(clock):7.0f} {means}")
        browser.close()
    server.stop()
    parts.sounds.close()


def _walk(browser: Any, guard: Guard, timed: Timed, pictures: Path | None) -> Iterator[tuple[str, list[Times]]]:
    bare = browser.new_page()
    yield "a bare page of as many words", [_counted(bare, timed, lambda: _shown(bare))]
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    yield "first paint, first time", [_counted(page, timed, lambda: _opened(page, guard.address))]
    again = f"http://127.0.0.1:{guard.port}/"
    yield "first paint, again", [_counted(page, timed, lambda: _opened(page, again)) for _ in range(3)]
    _pictures(page, pictures)
    keys = {"accept": "a", "undo": "u", "reject": "r", "later": "d", "next": "j", "back": "k"}
    for name, key in keys.items():
        yield name, [_counted(page, timed, partial(page.evaluate, STEP, key)) for _ in range(10)]
    page.keyboard.press("c")
    page.keyboard.type(
        "condition: damaged", delay=120
    )  # milliseconds a key: while they are typed, the reader is made ready
    for name, key in (("change", "Enter"), ("the surest in one go", "s"), ("undo of the surest", "u")):
        yield name, [_counted(page, timed, partial(page.evaluate, STEP, key))]


def _counted(page: Any, timed: Timed, act: Callable[[], float]) -> Times:
    """What an act takes; `act` answers with the milliseconds that passed by the clock."""
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    before, timed.spent = _task_time(session), 0.0
    clock = act()
    spent = _task_time(session) - before
    session.detach()
    return clock, timed.spent, spent


def _task_time(session: Any) -> float:
    metrics = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    return 1000 * float(metrics["TaskDuration"])


def _shown(page: Any) -> float:
    began = time.perf_counter()
    page.set_content(BARE * 360)
    return 1000 * (time.perf_counter() - began)


def _opened(page: Any, address: str) -> float:
    page.goto(address)
    return _paint(page)


def _paint(page: Any) -> float:
    page.wait_for_load_state("load")
    paints = "performance.getEntriesByName('first-contentful-paint').map(entry => entry.startTime)"
    page.wait_for_function(f"() => {paints}.length > 0")
    return float(page.evaluate(paints)[0])


def _pictures(page: Any, folder: Path | None) -> None:
    if folder is None:
        return
    folder.mkdir(parents=True, exist_ok=True)
    for scheme in ("light", "dark"):
        for name, size in (("wide", (1280, 900)), ("phone", (390, 844))):
            page.emulate_media(color_scheme=scheme)
            page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
            page.wait_for_timeout(1500)
            page.screenshot(path=folder / f"large-{scheme}-{name}.png")
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 1280, "height": 900})


if __name__ == "__main__":
    main()
