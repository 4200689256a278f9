"""The review in a terminal: one card at a time in plain lines, one key for each action. In: a desk. Out: decisions.

No colours, no boxes, nothing redrawn: it reads the same over ssh, in a log and through a screen reader. Every decision is kept
before the next card is shown, so that it may be closed at any moment.
"""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from fieldnote.errors import InputProblem, UsageProblem
from fieldnote.flow.handover import SIGNATURES, Handover
from fieldnote.records import Item, Line, Point
from fieldnote.review.console import Console
from fieldnote.review.desk import Desk, confidence
from fieldnote.review.queue import CERTAIN, DANGER, Card
from fieldnote.review.words import doubts, marked, pointed

KEYS = ", ".join(
    "a accept|c change|r reject|d later|n new|p play|w why|s accept all that is sure|u undo|h hand over|q leave|? keys".split(
        "|"
    )
)
AT_THE_END = "h hand over, n new, u undo, q leave"
Playing = Callable[[Item, float, float], bool]


@dataclass
class Terminal:
    """One sitting. `describe` puts a line into words; `play` is told the item and the seconds, and answers whether it could."""

    desk: Desk
    console: Console
    describe: Callable[[Line], str]
    play: Playing
    hand_over: Callable[[Handover], None]
    left: set[str] = field(default_factory=set)
    listed: set[str] = field(default_factory=set)
    ended: bool = False

    def run(self) -> None:
        """Go through the queue until the person leaves; with nothing left in it there is still the handing over."""
        view = self.desk.view
        self.console.say(f"Visit {view.visit.ref}: {len(self.desk.queue())} to decide. Keys: {KEYS}.")
        try:
            shown = None
            while not self.ended:
                if (card := self._next()) is None:
                    self._end()
                    shown = None
                    continue
                if card != shown:  # a key that decided nothing is answered without reading the card out again
                    self._show(card)
                    if card.rank == DANGER:  # never answered by a key that was pressed before it was shown
                        self.console.forget()
                shown = card
                self.console.say("Key?")
                self._answer(card)
        finally:
            self.console.close()

    def _end(self) -> None:
        later = f" {len(self.left)} left for later: the next review asks again." if self.left else ""
        self.console.say(f"Nothing is left to decide.{later} Keys: {AT_THE_END}.")
        actions = {"h": self._hand_over, "n": self._new, "u": self._undo, "q": self._leave}
        if action := actions.get(self.console.key().lower()):
            self._do(lambda: action(None))

    def _next(self) -> Card | None:
        waiting = [card for card in self.desk.queue() if card.target not in self.left]
        return waiting[0] if waiting else None

    # ---- showing

    def _show(self, card: Card) -> None:
        say = self.console.say
        say("")
        if card.rank == CERTAIN:
            self._show_sure()
            return
        waiting = [one for one in self.desk.queue() if one.target not in self.left]
        say(f"{len(waiting)} to go. {card.reason.capitalize()}.")
        for line in self._card_lines(card):
            say(line)

    def _show_sure(self) -> None:
        sure = [card for card in self.desk.sure() if card.target not in self.left]
        self.console.say(f"{len(sure)} sure. s accepts them all in one go; any other key is about the first of them.")
        for card in sure:
            if card.line is not None and card.target not in self.listed:
                self.console.say(f"  {self.describe(card.line)}")
        self.listed |= {card.target for card in sure}
        for line in self._card_lines(sure[0]):
            self.console.say(line)

    def _card_lines(self, card: Card) -> list[str]:
        if card.line is not None:
            return [*self._line_lines(card.line), *(f"  {_told(point)}" for point in card.points)]
        if card.point is not None:
            about = [f"  about: {self.describe(line)}, from {self._where(line)}" for line in card.about]
            return [_capital(_told(card.point)), *about]
        return [f"Photo {self._name(card.photo or '')} stands at no line."]

    def _line_lines(self, line: Line) -> list[str]:
        said, sure = [self.describe(line), f"  words: {marked(line, self.desk.view)}"], confidence(line)
        said[1] += f"  (confidence {sure:.2f})" if sure is not None else ""
        if line.state in ("open", "deferred") and (less := doubts(line)):
            said.append(f"  less sure because {'; '.join(less)}")
        said.append(f"  from: {self._where(line)}")
        said += [f"  photo: {self._name(photo)}" for photo in line.photos]
        return said

    def _where(self, line: Line) -> str:
        if line.trace.item is None:
            return "a person"
        name = self._name(line.trace.item)
        second = line.trace.from_second
        return name if second is None else f"{name} at {int(second // 60)}:{second % 60:04.1f}"

    def _name(self, item: str) -> str:
        return next((one.name for one in self.desk.view.items if one.id == item), item)

    # ---- answering

    def _answer(self, card: Card) -> None:
        actions: dict[str, Callable[[Card], None]] = {
            "a": self._accept,
            "c": self._change,
            "r": self._reject,
            "d": self._later,
            "n": self._new,
            "p": self._play,
            "w": self._why,
            "s": self._accept_sure,
            "u": self._undo,
            "h": self._hand_over,
            "q": self._leave,
        }
        key = self.console.key()
        if key.lower() not in actions:
            self.console.say(f"Keys: {KEYS}.")
            return
        self._do(lambda: actions[key.lower()](card))

    def _do(self, action: Callable[[], None]) -> None:
        try:
            action()
        except (UsageProblem, InputProblem) as problem:
            self.console.say(problem.line())  # a disk that keeps nothing ends the review, with its status

    def _change(self, card: Card) -> None:
        words = self._words("Say it as it should be" if card.line else "Say what is to be added")
        if not words:
            return
        changes = self.desk.amend(card.target, words)
        line = self.desk.line(card.target)
        self.console.say(f"Changed: {self.describe(line)}" if line else f"Added: {_listed(changes)}")

    def _words(self, prompt: str) -> str:
        """Words to be understood; their reader is made ready while they are typed."""
        threading.Thread(target=self.desk.prepare, daemon=True).start()
        return self.console.words(prompt)

    def _new(self, _: Card | None) -> None:
        if words := self._words("Say what is to be added"):
            self.console.say(f"Added: {_listed(self.desk.add(words))}")

    def _accept(self, card: Card) -> None:
        self.desk.accept(card.target)
        self.console.say("Accepted.")

    def _reject(self, card: Card) -> None:
        self.desk.reject(card.target)
        self.console.say("Rejected. The record keeps it.")

    def _later(self, card: Card) -> None:
        self.desk.defer(card.target)
        self.console.say("Left for later.")
        self.left.add(card.target)

    def _accept_sure(self, _: Card) -> None:
        self.console.say(f"{self.desk.accept_sure()} accepted in one go.")

    def _leave(self, _: Card | None) -> None:
        self.ended = True
        self.console.say("Left. Everything decided so far is kept.")

    def _undo(self, _: Card | None) -> None:
        kind = self.desk.undo()
        self.left.clear()
        self.console.say(f"Taken back: {kind}." if kind else "There is nothing to take back.")

    def _play(self, card: Card) -> None:
        line = next((one for one in (card.line, *card.about) if one and one.trace.from_second is not None), None)
        item = next((one for one in self.desk.view.items if line and one.id == line.trace.item), None)
        if line is None or item is None or line.trace.from_second is None:
            self.console.say("There is no clip behind this.")
            return
        end = line.trace.to_second or line.trace.from_second
        if not self.play(item, line.trace.from_second, end):
            self.console.say(f"No sound device here. The clip is {self._where(line)}.")

    def _why(self, card: Card) -> None:
        whys = getattr(card.line.proposed, "why", ()) if card.line and card.line.proposed else ()
        for why in whys:
            words = f" from \u201c{why.evidence.text}\u201d" if why.evidence else ""
            self.console.say(f"  {why.field} = {why.value or 'none'}: rule {why.rule}{words}")
        for point in (card.point, *card.points):
            if point is not None:
                told = " of ".join(dict.fromkeys((pointed(point)[0], point.id.replace("-", " "))))
                self.console.say(f"  {told}: {point.source or 'common practice, no source'}")
        if not whys and card.line is not None:
            self.console.say(f"  said as: {marked(card.line, self.desk.view)}")

    def _hand_over(self, _: Card | None) -> None:
        due = self.console.words("Next visit due (YYYY-MM-DD, Enter for a line to fill in)")
        self.console.say("Signature: s signed, r refused, n nobody there, any other key for a line to sign on.")
        signature = {"s": "signed", "r": "refused", "n": "nobody there"}.get(self.console.key().lower(), "")
        assert signature in SIGNATURES
        try:
            self.hand_over(Handover(date.fromisoformat(due) if due else None, signature))
            self.console.say("Kept for the report.")
        except ValueError:
            self.console.say(f"{due} is no date; nothing was kept.")


def _told(point: Point) -> str:
    return " ".join([": ".join(pointed(point)), *(f"{n}. {step}" for n, step in enumerate(point.steps, 1))])


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _listed(changes: dict[str, str]) -> str:
    return ", ".join(f"{name} {value or 'none'}" for name, value in changes.items())
