"""The page in a real browser: each action by pointer and by keyboard alone, on a telephone's window too, for everybody to use."""

import shutil
import threading
from importlib import resources, util

import pytest

from fieldnote.flow.handover import handover
from fieldnote.review.page import pieces
from tests.review.conftest import by_component, desk_of, read
from tests.review.serving import serving
from tests.sample_visit import file, picture, sample_book

CHROMIUM = shutil.which("chromium")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed (apt-get install chromium)"),
    pytest.mark.skipif(util.find_spec("playwright") is None, reason="playwright is not installed"),
]
WIDE, PHONE, NARROW = (1280, 900), (390, 844), (320, 640)
BIG_ENOUGH = 44  # CSS pixels, WCAG 2.2 success criterion 2.5.5 (AAA); 2.5.8 (AA) asks for 24


@pytest.fixture(scope="module")
def chromium():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def served(tmp_path):
    book = sample_book(tmp_path / "book")
    with serving(book, desk_of(book)) as page:
        page.book = book
        yield page


class Faults(list):
    """Errors of the page's script and requests that left this machine's page."""

    def watch(self, page, port):
        page.on("pageerror", lambda error: self.append(str(error)))
        page.on("console", lambda message: self.append(message.text) if _wrong(message) else None)
        page.on("request", lambda request: None if _own(request.url, port) else self.append(request.url))


def _wrong(message):
    """An error of the browser's console; that words were not understood (422) is no fault of the page."""
    return message.type == "error" and "status of 422" not in message.text


def _own(url, port):
    return url.startswith((f"http://127.0.0.1:{port}/", "data:", "about:"))


@pytest.fixture
def open_page(chromium, served):
    """Opens the page in a window of a given size; at the end nothing may have gone wrong or outside."""
    opened = []

    def opening(size=WIDE, scheme="light", touch=False):
        context = chromium.new_context(
            viewport=dict(zip(("width", "height"), size, strict=True)),
            color_scheme=scheme,
            has_touch=touch,
            is_mobile=touch,
        )
        page = context.new_page()
        page.set_default_timeout(8000)
        faults = Faults()
        faults.watch(page, served.guard.port)
        page.goto(served.guard.address)
        opened.append((context, faults))
        return page

    yield opening
    for context, faults in opened:
        context.close()
        assert faults == []


def state(served, component):
    served.desk.refresh()
    return served.desk.line(by_component(served.desk, component)).state


def told(page, text):
    from playwright.sync_api import expect

    expect(page.locator("#told")).to_contain_text(text)


def test_accept_reject_later_and_undo_by_pointer(open_page, served):
    """The buttons of a card decide it, the status line says so, and undo takes it back."""
    page = open_page()
    page.get_by_role("button", name="Accept a", exact=True).click()
    told(page, "Accepted.")
    assert state(served, "hose") == "accepted"
    page.get_by_role("button", name="Undo").click()
    told(page, "Taken back: accept.")
    assert state(served, "hose") == "open"
    page.get_by_role("button", name="Reject").click()
    told(page, "Rejected.")
    assert state(served, "hose") == "rejected"
    page.get_by_role("button", name="Undo").click()
    told(page, "Taken back: reject.")
    page.get_by_role("button", name="Later").click()
    told(page, "Left for later.")
    assert state(served, "hose") == "deferred"


def test_a_change_is_typed_as_it_is_said(open_page, served):
    """Typing the words changes the fields; words that are not understood change nothing and are answered in place."""
    page = open_page()
    page.get_by_label("Change: say it").fill("damaged, rear left")
    page.get_by_role("button", name="Change").click()
    told(page, "Changed: ")
    assert state(served, "hose") == "amended"
    page.get_by_label("Change: say it").fill("flibbertigibbet")
    page.get_by_role("button", name="Change").click()
    told(page, "nothing new was understood")
    assert page.locator("#told.wrong").count() == 1


def test_words_that_are_not_understood_stay_in_their_field(open_page, served):
    """What could not be taken is answered, and what was typed is still there to be put right."""
    page = open_page()
    page.get_by_label("Change: say it").fill("rear left flibbertigibbet")
    page.get_by_role("button", name="Change").click()
    told(page, "FN-201")
    assert page.get_by_label("Change: say it").input_value() == "rear left flibbertigibbet"


@pytest.mark.parametrize("size", [WIDE, PHONE, NARROW])
def test_an_answer_is_seen_wherever_the_page_stands(open_page, size):
    """With a large photo on the card and the page scrolled to its fields, the answer is in sight and covers no field."""
    page = open_page(size)
    page.locator(".chip", has_text="Spark electrode").click()
    page.wait_for_function("() => document.querySelector('#desk .photos img')?.naturalWidth > 500")
    field = page.get_by_label("Change: say it")
    field.scroll_into_view_if_needed()
    field.fill("flibbertigibbet")
    page.keyboard.press("Enter")
    told(page, "FN-201")
    field.focus()
    line, typed = page.locator("#told").bounding_box(), field.bounding_box()
    assert line["y"] >= 0 and line["y"] + line["height"] <= size[1] + 1
    assert typed["y"] + typed["height"] <= line["y"]


def test_a_slow_answer_says_that_it_is_coming(open_page):
    """When an answer takes longer than a moment the page says that it works on it; the answer takes its place."""
    page = open_page()
    page.route("**/decide", lambda route: (page.wait_for_timeout(900), route.continue_()))
    page.get_by_role("button", name="Accept a", exact=True).click()
    told(page, "Working on it.")
    told(page, "Accepted.")


def test_words_are_made_ready_for_while_they_are_typed(chromium, tmp_path):
    """With the focus in a field for words the reader is built, before anything is sent."""
    book, asked = sample_book(tmp_path / "book"), threading.Event()

    def reading(text):
        asked.set()
        return read(text)

    with serving(book, desk_of(book, reading)) as served:
        page = chromium.new_page()
        page.goto(served.guard.address)
        page.wait_for_load_state("load")
        assert not asked.is_set()
        page.keyboard.press("c")
        assert asked.wait(5)
        page.close()


def test_something_new_is_added(open_page, served):
    """Words typed under "New" become a line of the visit."""
    page = open_page()
    page.get_by_label("New: say").fill("grommet crazed")
    page.get_by_role("button", name="Add").click()
    told(page, "Added: ")
    served.desk.refresh()
    assert served.desk.view.lines[-1].state == "added"
    assert page.locator("#time .chip.added").count() == 1


def test_everything_sure_is_accepted_in_one_go(open_page, served):
    """One button takes all that is sure and goes away with it."""
    page = open_page()
    sure = len(served.desk.sure())
    page.get_by_role("button", name=f"Accept all {sure}").click()
    told(page, f"{sure} accepted in one go.")
    served.desk.refresh()
    assert served.desk.sure() == []
    assert page.get_by_role("button", name="Accept all").count() == 0


def test_a_finding_is_heard_at_its_second(open_page):
    """A finding on the line of time shows its card and plays its clip from its own second."""
    page = open_page()
    page.locator(".chip", has_text="Injector").click()
    page.wait_for_function("() => document.getElementById('audio').currentTime > 6.9")
    assert page.evaluate("document.getElementById('audio').currentTime") < 9.9
    assert page.locator("#desk .what").inner_text().startswith("Injector")
    assert page.locator(".chip[aria-current]").inner_text().startswith("Injector")


def test_talk_plays_from_any_moment(open_page):
    """The second beside a sentence plays the talk from there."""
    page = open_page()
    page.get_by_role("button", name="Play from 0:18").click()
    page.wait_for_function("() => document.getElementById('audio').currentTime > 18")


def test_a_photo_is_shown_large(open_page):
    """A finding's photo stands large beside it; any photo of the line of time opens large, and closes again."""
    page = open_page()
    page.locator(".chip", has_text="Spark electrode").click()
    photo = page.locator("#desk .photos img")
    photo.wait_for()
    page.wait_for_function("() => document.querySelector('#desk .photos img').naturalWidth > 500")
    assert "Spark electrode" in photo.get_attribute("alt")
    page.locator(".thumb").first.click()
    page.locator("dialog[open] img").wait_for()
    assert page.locator("#large-name").inner_text().startswith("Photo ")
    page.keyboard.press("Escape")
    assert page.locator("dialog[open]").count() == 0


def test_no_decision_waits_for_pictures(chromium, tmp_path):
    """While more pictures than a browser has connections wait to be made, a decision is answered; then they come."""
    book, light = sample_book(tmp_path / "book"), threading.Event()
    visit = book.visit("KITCHEN-1")
    for n in range(12):
        file(book, "photo", f"more-{n}.jpg", picture((n, 2, 3)), visit.id, facts={"format": "jpg"})
    with serving(book, desk_of(book), before_picture=lambda: light.wait(30)) as served:
        page = chromium.new_page()
        page.goto(served.guard.address)
        page.locator(".thumb").last.scroll_into_view_if_needed()
        page.wait_for_function("() => document.querySelector('img[src]')")
        page.keyboard.press("a")
        told(page, "Accepted.")
        assert not light.is_set()
        light.set()
        page.wait_for_function("() => document.querySelector('.thumb:last-of-type img').naturalWidth > 0")
        page.close()


def test_results_show_their_working(open_page):
    """A result opens to its formula, its inputs, its limit and its source."""
    page = open_page()
    page.locator("summary", has_text="Working pressure").click()
    text = page.locator("details[open]").inner_text()
    assert "as read" in text and "20.5 mbar" in text and "an invented limit for tests" in text


def test_what_is_unsaid_is_listed(open_page):
    """What nobody spoke of is on the page."""
    assert "Tightness test" in open_page().locator("#rest").inner_text()


def test_a_long_list_is_drawn_when_it_is_asked_for(open_page, monkeypatch):
    """Of a long list the first points are drawn; one button draws the rest, and a decision does not fold it again."""
    monkeypatch.setattr(pieces, "FIRST", 1)
    page = open_page()
    items = page.locator("#points-unsaid li")
    assert items.count() == 1
    page.get_by_role("button", name="Show 1 more").last.click()
    page.wait_for_function("() => document.querySelectorAll('#points-unsaid li').length === 2")
    page.keyboard.press("a")
    told(page, "Accepted.")
    assert items.count() == 2


def test_an_answered_point_says_so_in_its_list(open_page):
    """What a person said to a point of the checklist stands beside it."""
    page = open_page()
    while page.locator("#desk-title").inner_text() != "Still unsaid":
        seen = page.locator("#told").get_attribute("data-seen")
        page.keyboard.press("d")
        page.wait_for_function("t => document.getElementById('told').dataset.seen !== t", arg=seen)
    page.keyboard.press("r")
    told(page, "Rejected.")
    assert "does not apply here, says a person" in page.locator("#points-unsaid").inner_text()


def test_two_windows_show_the_same(open_page, served):
    """A decision in one window is seen in the other with its next answer, whatever that one showed."""
    first, second = open_page(), open_page()
    first.get_by_role("button", name="Accept a", exact=True).click()
    told(first, "Accepted.")
    line = by_component(served.desk, "hose")
    assert "open" in second.locator(f"#line-{line}").inner_text()
    second.keyboard.press("j")
    second.wait_for_function("id => document.getElementById(id).innerText.includes('accepted')", arg=f"line-{line}")


def test_handing_over_is_kept(open_page, served):
    """The next due date and the signature are kept for the report; a date that is none is refused."""
    page = open_page()
    page.get_by_label("Next visit due").fill("2027-11-25")
    page.get_by_label("Signature of").select_option("refused")
    page.get_by_role("button", name="Keep").click()
    told(page, "Kept for the report.")
    kept = handover(served.book, served.desk.visit)
    assert (str(kept.next_due), kept.signature) == ("2027-11-25", "refused")
    page.get_by_label("Next visit due").fill("soon")
    page.get_by_role("button", name="Keep").click()
    told(page, "YYYY-MM-DD")


def test_the_report_is_previewed_with_its_own_look(open_page, served):
    """The preview opens, its style is allowed by its hash, its photos show, and it runs nothing."""
    page = open_page()
    page.goto(f"http://127.0.0.1:{served.guard.port}/report")
    assert page.locator("h1").inner_text() == "Record of a visit"
    assert page.evaluate("getComputedStyle(document.querySelector('.first')).borderLeftWidth") == "6px"
    assert page.evaluate("document.images[0].naturalWidth") > 0


@pytest.mark.parametrize("size", [PHONE, NARROW])
def test_the_report_fits_a_telephone(open_page, served, size):
    """In a narrow window the report runs off sideways nowhere; its tables scroll by themselves (WCAG 2.2, 1.4.10)."""
    page = open_page(size)
    page.goto(f"http://127.0.0.1:{served.guard.port}/report")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


BROKEN = """() => {
    const walker = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
    const broken = [];
    while (walker.nextNode())
        for (const word of walker.currentNode.data.matchAll(/[A-Za-z]{2,16}|[0-9]{1,4}/g)) {
            const range = document.createRange();
            range.setStart(walker.currentNode, word.index);
            range.setEnd(walker.currentNode, word.index + word[0].length);
            if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) broken.push(word[0]);
        }
    return broken;
}"""


@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_no_word_of_the_report_is_broken(open_page, served, size):
    """Columns are wide enough for their words: no ordinary word and no short figure goes on in the next line."""
    page = open_page(size)
    page.goto(f"http://127.0.0.1:{served.guard.port}/report")
    assert page.evaluate(BROKEN) == []


def test_a_whole_review_by_keyboard_alone(open_page, served):
    """With keys alone: change one line, accept the rest one by one and the sure ones in one go; nothing is left."""
    page = open_page()
    page.keyboard.press("c")
    page.keyboard.type("damaged")
    page.keyboard.press("Enter")
    told(page, "Changed: ")
    pressed = 0
    while (left := int(page.locator("#count").inner_text())) and pressed < 40:
        page.keyboard.press("s" if page.locator("#desk-title").inner_text() == "Sure" else "a")
        page.wait_for_function(f"() => Number(document.getElementById('count').textContent) < {left}")
        pressed += 1
    assert page.locator("#desk-title").inner_text() == "Nothing is left to decide"
    assert state(served, "hose") == "amended"
    assert pressed <= 15
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # what comes next is one step away: the handing over
    assert page.evaluate("location.hash") == "#due"
    page.wait_for_function("() => document.getElementById('due').getBoundingClientRect().top < innerHeight")
    page.evaluate("document.activeElement.blur()")  # in a field a key is a letter
    page.keyboard.press("u")
    told(page, "Taken back: accept-sure.")


def test_keys_walk_the_line_of_time_and_play(open_page):
    """j and k walk from finding to finding, p plays the one that is shown."""
    page = open_page()
    first = page.locator("#desk .what").inner_text()
    page.keyboard.press("j")
    page.wait_for_function("t => document.querySelector('#desk .what').innerText !== t", arg=first)
    page.keyboard.press("k")
    page.wait_for_function("t => document.querySelector('#desk .what').innerText === t", arg=first)
    page.keyboard.press("p")
    page.wait_for_function("() => document.getElementById('audio').currentTime > 10")


def test_a_card_is_answered_once_and_only_when_it_is_there(open_page, served):
    """A key held down, or pressed again before the next card has come, decides nothing that was not seen."""
    page = open_page()
    left = int(page.locator("#count").inner_text())
    page.evaluate(
        "for (const repeat of [false, false, true, true]) document.body.dispatchEvent("
        "new KeyboardEvent('keydown', { key: 'a', repeat, bubbles: true, cancelable: true }))"
    )
    told(page, "Accepted.")
    page.wait_for_timeout(300)
    assert int(page.locator("#count").inner_text()) == left - 1
    assert len(list(served.book.entries(kind="decision"))) == 1


def test_single_keys_can_be_switched_off(open_page, served):
    """Single-key shortcuts can be turned off (WCAG 2.2, 2.1.4), and typing in a field is never taken for one."""
    page = open_page()
    page.get_by_label("New: say").focus()
    page.keyboard.type("ars")
    assert state(served, "hose") == "open"
    page.get_by_role("button", name="Single keys on").click()
    page.locator("#desk-title").focus()
    page.keyboard.press("a")
    page.wait_for_timeout(200)
    assert state(served, "hose") == "open"


def test_everything_is_reached_by_tab(open_page):
    """Every control is reached by Tab alone, and where the focus is can be seen."""
    page = open_page()
    wanted = page.evaluate(
        "document.querySelectorAll('a[href], button, input:not([type=hidden]), select, summary').length"
    )
    page.evaluate("document.activeElement.blur()")
    seen = set()
    for _ in range(wanted + 20):
        page.keyboard.press("Tab")
        seen.add(page.evaluate("(document.activeElement.outerHTML || '').slice(0, 160)"))
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none" or page.evaluate("document.activeElement === document.body")
    hidden = page.evaluate("document.querySelectorAll('dialog button').length")
    unique = page.evaluate(
        "new Set([...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, summary')]"
        ".map(e => e.outerHTML.slice(0, 160))).size"
    )
    assert len(seen - {""}) >= unique - hidden


@pytest.mark.parametrize("size", [PHONE, NARROW])
def test_it_fits_a_telephone_and_a_glove(open_page, size):
    """In a narrow window nothing runs off sideways (WCAG 2.2, 1.4.10), and every control is large enough for a glove."""
    page = open_page(size, touch=True)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    boxes = page.evaluate(
        "[...document.querySelectorAll('button, .button, input:not([type=hidden]), select, summary, .chip, .thumb')]"
        ".filter(e => e.checkVisibility()).map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])"
        ".map(([html, box]) => [html, box.width, box.height])"
    )
    small = [box for box in boxes if box[1] < BIG_ENOUGH or box[2] < BIG_ENOUGH]
    assert boxes and small == []


def test_a_card_is_decided_without_scrolling_on_a_telephone(open_page):
    """The first card and the buttons that decide it stand together in the window of a telephone."""
    page = open_page(PHONE, touch=True)
    box = page.get_by_role("button", name="Later", exact=True).bounding_box()
    assert box["y"] + box["height"] <= PHONE[1]


def test_it_works_by_touch(open_page, served):
    """On a touch screen a tap does what a click does."""
    page = open_page(PHONE, touch=True)
    assert page.locator("kbd, #help").all_inner_texts() and not page.locator("kbd:visible, #help:visible").count()
    page.get_by_role("button", name="Accept", exact=True).tap()
    told(page, "Accepted.")
    assert state(served, "hose") == "accepted"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_no_barrier_is_found(open_page, served, size, scheme):
    """axe-core finds no violation of WCAG 2.2 A and AA on the page, its cards and the report preview."""
    if util.find_spec("axe_playwright_python") is None:
        pytest.skip("axe-core is not installed (pip install axe-playwright-python)")
    axe = resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    page = open_page(size, scheme)
    addresses = ["/", *(f"/?at={card.target}" for card in served.desk.queue()[-4:]), "/report"]
    for address in addresses:
        page.goto(f"http://127.0.0.1:{served.guard.port}{address}")
        page.evaluate(axe)
        found = page.evaluate("rules => axe.run(rules)", rules)
        assert [(v["id"], [n["failureSummary"] for n in v["nodes"]]) for v in found["violations"]] == []
        assert len(found["passes"]) > 10


def test_words_of_the_visit_run_nothing(chromium, tmp_path):
    """Markup in what was dictated, typed or named is shown as text; no script runs and no alert opens, in the preview neither."""
    from tests.sample_visit import START, TALK, file, picture, transcript

    said = TALK + " <script>alert(2)</script> <svg onload=alert(3)> {{ 7*7 }}."
    book = sample_book(tmp_path / "book", heard=transcript(said))
    name = "<img src=x onerror=alert(1)>.jpg"
    visit = book.visit("KITCHEN-1")
    file(book, "photo", name.replace("/", ""), picture((1, 2, 3)), visit.id, at=START, facts={"format": "jpg"})
    with serving(book, desk_of(book)) as served:
        context = chromium.new_context()
        page = context.new_page()
        dialogs = []
        page.on("dialog", lambda dialog: dialogs.append(dialog.message) or dialog.dismiss())
        page.goto(served.guard.address)
        page.locator(".thumb").nth(1).click()
        page.keyboard.press("Escape")
        page.get_by_label("New: say").fill("<img src=x onerror=alert(4)> {{ 7*7 }}")
        page.get_by_role("button", name="Add").click()
        told(page, "no finding or reading")
        page.get_by_label("Change: say it").fill("damaged <img src=x onerror=alert(5)>")
        page.get_by_role("button", name="Change").click()
        page.wait_for_timeout(200)
        assert "<script>alert(2)</script> <svg onload=alert(3)> {{ 7*7 }}" in page.locator("#time").inner_text()
        page.goto(f"http://127.0.0.1:{served.guard.port}/report")
        assert name.replace("/", "") in page.locator("body").inner_text()
        page.wait_for_timeout(200)
        assert dialogs == []
        context.close()
