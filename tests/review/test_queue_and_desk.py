"""The queue and the desk: what comes first, what a decision leaves behind, and what undo takes back."""

from dataclasses import replace

import pytest

from fieldnote.errors import UsageProblem
from fieldnote.flow.view import decisions
from fieldnote.review import queue
from fieldnote.review.amendment import changes_of
from fieldnote.review.words import doubts
from tests.review.conftest import by_component, desk_of, kinds, read


def test_the_queue_is_in_the_order_of_danger(desk):
    """Dangerous first, then what is unlikely, less sure, still unsaid, loose photos, and what is sure."""
    ranks = [card.rank for card in desk.queue()]
    assert ranks == sorted(ranks)
    assert set(ranks) == {queue.DANGER, queue.UNLIKELY, queue.LOW, queue.UNSAID, queue.LOOSE_PHOTO, queue.CERTAIN}
    first = desk.queue()[0]
    assert first.line.current.component == "hose"


def test_a_doubtful_word_makes_a_line_low_or_worse(desk):
    """A line with a doubtful word is never among the sure ones, whatever its confidence."""
    doubtful = [line.id for line in desk.view.lines if line.trace.doubtful]
    assert doubtful
    assert not {card.target for card in desk.sure()} & set(doubtful)


def test_accepting_the_sure_ones_leaves_the_rest(desk):
    """Accepting in one go takes exactly what is sure, and the record says that it was taken in one go."""
    sure = {card.target for card in desk.sure()}
    before = len(desk.queue())
    assert desk.accept_sure() == len(sure)
    assert len(desk.queue()) == before - len(sure)
    kept = {d.target: d.kind for line in desk.view.lines for d in line.decisions}
    assert kept == dict.fromkeys(sure, "accept-sure")


def test_every_decision_keeps_what_the_machine_proposed(desk):
    """A decision carries the fields that were proposed, so that agreement can be measured later."""
    target = by_component(desk, "hose")
    desk.amend(target, "condition: damaged")
    (decision,) = desk.line(target).decisions
    assert decision.seen["condition"] == "perished"
    assert decision.changes == {"condition": "damaged"}
    assert decision.reason == "condition: damaged"
    assert desk.line(target).current.condition == "damaged"
    assert desk.line(target).proposed.condition == "perished"


def test_undo_takes_back_one_decision_or_all_of_one_go(desk):
    """Undo takes back the last decision; what was accepted in one go comes back in one go."""
    desk.reject(by_component(desk, "hose"))
    before = [line.state for line in desk.view.lines]
    desk.accept_sure()
    assert desk.undo() == "accept-sure"
    assert [line.state for line in desk.view.lines] == before
    assert desk.undo() == "reject"
    assert {line.state for line in desk.view.lines} == {"open"}
    assert desk.undo() is None


def test_a_deferred_line_comes_back(desk, book):
    """What is put off stays in the queue of the next sitting."""
    target = by_component(desk, "hose")
    desk.defer(target)
    assert target in [card.target for card in desk_of(book).queue()]


def test_points_and_loose_photos_are_decided_too(desk, book):
    """Accepting or rejecting a point or a photo without a finding takes it out of the queue, and undo brings it back."""
    loose = [card for card in desk.queue() if card.line is None]
    for card in loose:
        desk.accept(card.target)
    assert [card for card in desk.queue() if card.line is None] == []
    assert kinds(decisions(book, desk.visit)) == ["accept"] * len(loose)
    assert desk.view.problems == ()
    desk.undo()
    assert [card.target for card in desk.queue() if card.line is None] == [loose[-1].target]


def test_adding_needs_words_that_are_understood(desk):
    """What is added is read as dictation; words without a finding in them add nothing and say so."""
    lines = len(desk.view.lines)
    desk.add("grommet crazed")
    assert len(desk.view.lines) == lines + 1
    assert desk.view.lines[-1].state == "added"
    assert desk.view.lines[-1].current.condition == "cracked"
    with pytest.raises(UsageProblem):
        desk.add("nothing of the kind")
    assert len(desk.view.lines) == lines + 1


def test_a_question_says_what_it_is_about(desk):
    """A question card names the lines that gave rise to it: of two hoses, which one."""
    card = next(card for card in desk.queue() if card.point and card.point.kind == "question")
    assert [line.id for line in card.about] == [by_component(desk, "hose")]


def test_what_is_told_twice_of_a_line_is_shown_once(desk):
    """A line that contradicts several others in the same words carries those words once."""
    view = desk.view
    again = tuple(point for point in view.check.points for _ in range(3))
    told = queue.all_lines(replace(view, check=replace(view.check, points=again)))
    assert [card.points for card in told] == [card.points for card in queue.all_lines(view)]


def test_each_doubt_of_the_reader_has_words():
    """Every doubt that the reader's table lets lower a confidence is put into words, and no words stand for anything else."""
    from fieldnote.extract.confidence import LEAST, OF_READING, table
    from fieldnote.review.words import _doubts

    doubts = {name: row for name, row in table().weights.items() if name and ":" not in name}
    lower = {
        name for name, row in doubts.items() if row.get("", 0) + min(0, *(row[one] for one in row if one), 0) < LEAST
    }
    assert lower | {*OF_READING} <= set(_doubts()) <= doubts.keys() | {*OF_READING}


def test_why_a_finding_is_less_sure_is_said():
    """What lowered the confidence of a finding is told in words, the heaviest first; a sure one has nothing to tell."""
    from fieldnote.bootstrap import extractor
    from fieldnote.records import Line, Trace

    talk = "Hob in the kitchen. Front left tap blimey quartz lemon stiff. Hose perished, replaced it."
    found = extractor().read(talk)
    told = {
        said.component: doubts(Line("f", "finding", said, said, "open", Trace(None, 0, 0)))
        for said in (*found.findings, *found.doubted)
    }
    assert "it stands among words that are not understood" in told["gas-tap"]
    assert len(told["hose"]) < len(told["gas-tap"])


AMENDMENTS = [
    ("electrode", "rear left, not right", {"position": "rear-left"}),
    ("electrode", "it's the back right one", {"position": "rear-right"}),
    ("electrode", "Chipped.", {"condition": "chipped"}),
    ("electrode", "right hand front", {"position": "front-right"}),
    ("electrode", "put right, replaced", {"status": "resolved", "actions": "replace/done"}),
    ("electrode", "cleaning declined", {"actions": "clean/declined"}),
    ("electrode", "no position", {"position": ""}),
    ("electrode", "component: HT lead", {"component": "ht-lead"}),
    ("electrode", "HT lead, simmer burner", {"component": "ht-lead", "burner": "auxiliary"}),
    ("hose", "needs adjusting", {"actions": "adjust/needed"}),
    ("hose", "seized, stuck", {"condition": "seized"}),
    ("injector", "still there", {"status": "present"}),
    ("working-pressure", "21.5", {"value": "21.5"}),
    ("working-pressure", "19.8 mbar as left", {"value": "19.8", "phase": "as-left"}),
    ("working-pressure", "that's net", {"basis": "net"}),
    ("working-pressure", "basis: gross", {"basis": "gross"}),
    ("working-pressure", "it's the standing pressure", {"quantity": "standing-pressure"}),
    ("revisit", "in 21 days", {"due_days": "21"}),
    ("revisit", "quote", {"kind": "quote"}),
    ("at-risk", "immediately dangerous", {"class_": "immediately-dangerous"}),
]


@pytest.mark.parametrize(("about", "words", "expected"), AMENDMENTS, ids=[row[1] for row in AMENDMENTS])
def test_an_amendment_is_said_as_one_would_say_it(desk, about, words, expected):
    """Plain words change the fields that they speak of and no others."""
    assert changes_of(_said(desk, about), words, read) == expected


def _said(desk, about):
    for line in desk.view.lines:
        names = (getattr(line.current, name, None) for name in ("component", "quantity", "kind", "class_"))
        if about in names:
            return line.current
    raise AssertionError(about)


def test_what_no_phrase_knows_goes_to_the_reader(desk):
    """Words beyond the phrases are read as dictation, after the name of what the line is about."""
    said = _said(desk, "magnet-unit")
    assert changes_of(_said(desk, "electrode"), "burnt, needs a new one", read) == {"condition": "burnt"}
    with pytest.raises(UsageProblem):
        changes_of(said, "needs a new one", read)


@pytest.fixture(scope="module")
def dictation():
    """The reader of dictation itself."""
    from fieldnote.bootstrap import extractor

    return extractor().read


NOT_UNDERSTOOD = [
    ("electrode", "bananas", "nothing new was understood"),
    ("electrode", "burnt bananas", "bananas"),
    ("hose", "bananas and custard", "nothing new was understood"),
    ("hose", "leaking like Tuesday wallpaper", "Tuesday wallpaper"),
    ("injector", "rear left purple", "\u201cpurple\u201d was not understood"),
    ("injector", "worn, my cat says", "cat"),
    ("hose", "works a treat", "nothing new was understood"),
    ("hose", "happy", "nothing new was understood"),
    ("working-pressure", "bananas", "nothing new was understood"),
    ("working-pressure", "19.8 bananas", "bananas"),
]


@pytest.mark.parametrize(("about", "words", "named"), NOT_UNDERSTOOD, ids=[row[1] for row in NOT_UNDERSTOOD])
def test_what_is_understood_in_part_is_refused(desk, dictation, about, words, named):
    """Each word of an amendment has to count; where one does not, nothing is changed and the answer names it."""
    with pytest.raises(UsageProblem) as refused:
        changes_of(_said(desk, about), words, dictation)
    assert named in str(refused.value.line())


UNDERSTOOD = [
    ("electrode", "bent and buckled", {"condition": "distorted"}),
    ("electrode", "badly worn and needs replacing", {"condition": "worn"}),
    ("hose", "burnt, needs a new one", {"condition": "burnt", "actions": "replace/needed"}),
    ("hose", "condition: Cracked, split", {"condition": "cracked"}),
    ("injector", "rear left burnt", {"position": "rear-left", "condition": "burnt"}),
    ("injector", "actions: clean/needed", {"actions": "clean/needed"}),
]


@pytest.mark.parametrize(("about", "words", "expected"), UNDERSTOOD, ids=[row[1] for row in UNDERSTOOD])
def test_a_whole_sentence_is_read_as_dictation(desk, dictation, about, words, expected):
    """Where every word counts the line takes what was said, and stays about the part that it is about."""
    changes = changes_of(_said(desk, about), words, dictation)
    assert changes == changes | expected
    assert "component" not in changes


@pytest.mark.parametrize(
    "words", ["basis: bananas", "unit: psi", "comparator: x", "value: NaN", "value: 1e400", f"value: {'9' * 400}"]
)
def test_what_no_calculation_could_take_is_refused(desk, words):
    """A reading takes plain figures, its quantity's own unit, gross or net, and no other comparator than it may have."""
    with pytest.raises(UsageProblem):
        changes_of(_said(desk, "working-pressure"), words, read)


def test_what_was_heard_in_doubt_is_not_called_less_sure(desk):
    """The reason of a card tells a doubtful word from a doubtful reading."""
    reasons = {card.reason for card in desk.queue() if card.line and card.rank == queue.LOW}
    for card in desk.queue():
        if card.rank == queue.LOW and card.line:
            sure = getattr(card.line.current, "confidence", 1.0) >= queue.SURE
            assert card.reason == (queue.HEARD if sure else "less sure")
    assert reasons


def test_work_is_not_taken_as_done_unsaid(desk):
    """An action without its state is refused: that it was done was not said."""
    with pytest.raises(UsageProblem):
        changes_of(_said(desk, "electrode"), "actions: clean", read)


@pytest.mark.parametrize("part", ["flue", "joint"])
def test_the_name_of_a_part_makes_no_guess(desk, dictation, part):
    """What is said of a part after its name is no guess, though its label holds an "or"."""
    said = replace(_said(desk, "hose"), component=part)
    assert changes_of(said, "rotten", dictation) == {"condition": "corroded"}


@pytest.mark.parametrize(
    "words",
    ["", "flibbertigibbet", "rear left flibbertigibbet", "21.5 or so I think", "cracked", "not sure", "value: many"],
)
def test_what_is_not_understood_changes_nothing(desk, words):
    """Words that are not understood, or only in part, or change nothing, raise and leave the line as it was."""
    target = by_component(desk, "electrode")
    before = desk.line(target)
    with pytest.raises(UsageProblem):
        desk.amend(target, words)
    assert desk.line(target) == before
