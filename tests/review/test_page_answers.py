"""What the page answers: to a decision only what it changed, however long the visit."""

import re
from dataclasses import replace
from urllib.parse import quote

import pytest

from fieldnote.records import Point
from tests.review.conftest import by_component, desk_of
from tests.review.serving import serving
from tests.review.test_page_guard import ask, form
from tests.sample_visit import TALK, file, picture, sample_book, transcript


@pytest.fixture
def served(tmp_path):
    book = sample_book(tmp_path / "book")
    with serving(book, desk_of(book)) as page:
        yield page


def parts(content):
    """The ids of the parts of the page that an answer holds, those of the form fields left out."""
    return set(re.findall(r'<(?:a|div|section|form|p|strong) id="([^"]+)"', content.decode()))


def seen(content):
    return re.search(rb'data-seen="(\d+)"', content).group(1).decode()


def decide(served, **fields):
    body, head = form(served, **fields)
    answer, content = ask(served, "POST", "/decide", body, **head)
    assert answer.status == 200
    return content


ALWAYS = {"told", "count", "acts", "desk"}


def test_an_answer_holds_the_changed_line_only(served):
    """An accepted line comes back with the next card; the rest of the line of time and the results do not."""
    line = by_component(served.desk, "injector")
    shown = seen(ask(served)[1])
    content = decide(served, action="accept", target=line, seen=shown)
    assert parts(content) == {*ALWAYS, f"line-{line}"}


def test_an_answer_holds_the_lists_that_changed(served):
    """A struck-out reading takes its result with it, and the line that it was; lists that say the same are not sent."""
    reading = next(
        line.id for line in served.desk.view.lines if getattr(line.current, "quantity", "") == "working-pressure"
    )
    content = decide(served, action="reject", target=reading, seen=seen(ask(served)[1]))
    assert parts(content) == {*ALWAYS, f"line-{reading}", "worked"}


def test_a_line_more_brings_its_stretch_of_time(served):
    """What a person adds stands at no talk: only that stretch is drawn anew."""
    content = decide(served, action="add", words="grommet crazed", seen=seen(ask(served)[1]))
    drawn = parts(content)
    assert {*ALWAYS, "track-elsewhere"} <= drawn and "time" not in drawn
    assert not [part for part in drawn if part.startswith("track-") and part != "track-elsewhere"]


def test_a_window_that_shows_something_older_gets_all_of_it(served):
    """An answer to a window that has missed one holds the whole line of time and every list."""
    old = seen(ask(served)[1])
    decide(served, action="accept", target=by_component(served.desk, "injector"), seen=old)
    content = decide(served, action="accept", target=by_component(served.desk, "hose"), seen=old)
    assert {*ALWAYS, "time", "worked", "points-decide", "points-unsaid", "handover"} <= parts(content)


def test_an_emergency_that_comes_up_stands_first(tmp_path):
    """When a change brings the emergency steps up, they come with the answer to it."""
    book = sample_book(tmp_path / "book")
    desk = desk_of(book)
    calm = desk.view
    steps = Point("emergency", "smell", "A smell of gas was said.", steps=("No flames.",))
    with serving(book, desk) as page:
        number = seen(ask(page)[1])
        alarmed = replace(calm, check=replace(calm.check, points=(steps, *calm.check.points)))
        desk._look = lambda: alarmed
        content = decide(page, action="accept", target=by_component(desk, "injector"), seen=number)
        assert "emergency" in parts(content) and b"<li>No flames.</li>" in content


def test_words_are_never_markup(tmp_path):
    """Dictated words, names of files, references and typed words come to the browser escaped, with the page and in answers."""
    mark = "<b onclick=x>&\"'"
    talk = f"{TALK} The tap is {mark} stiff."
    book = sample_book(tmp_path / "book", heard=transcript(talk, doubtful=(mark.split()[0],)))
    visit = book.visit("KITCHEN-1")
    file(book, "photo", mark + ".jpg", picture((1, 2, 3)), visit.id, facts={"format": "jpg"})
    desk = desk_of(book)
    with serving(book, desk) as page:
        shown = ask(page)[1]
        answers = [ask(page, path=f"/card?at={quote(card.target)}&seen=0")[1] for card in desk.queue()]
        typed = form(page, action="amend", target=desk.queue()[0].target, words=f"damaged {mark}")
        answers.append(ask(page, "POST", "/decide", typed[0], **typed[1])[1])
        assert shown.count(b"&lt;b onclick=x&gt;&amp;&#34;&#39;") > 1
        for content in (shown, *answers):
            assert b"<b onclick" not in content


def test_looking_at_a_card_keeps_nothing(served):
    """Asking for a card, or for a list whole, adds no record."""
    before = [line.state for line in served.desk.view.lines]
    answer, content = ask(served, path=f"/card?at={by_component(served.desk, 'injector')}&all=unsaid&seen=0")
    assert answer.status == 200 and b"Injector" in content
    served.desk.refresh()
    assert [line.state for line in served.desk.view.lines] == before
