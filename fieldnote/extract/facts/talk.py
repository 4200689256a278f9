"""What a talk is about at each word. In: clauses as they come. Out: appliance, place, size, parts and facts in
talk, and how far back "it" may reach. Not allowed to know: what a clause says of a part.
"""

import bisect
import functools
import itertools
from dataclasses import dataclass, field, replace

from fieldnote.extract.clauses import linking
from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Job, Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import SIDE, Target, both
from fieldnote.extract.draft import Context, Draft
from fieldnote.extract.facts import units
from fieldnote.extract.facts.story import Fact, Story
from fieldnote.extract.phrases.mention import COOKING, Mention
from fieldnote.extract.words.lexicon import FUNCTION, SKIP, Sense
from fieldnote.extract.words.symptoms import AT_BURNER

BURNER = Target((Sense("component", "burner", None, "strong"),))
SMALL = (
    FUNCTION
    | SKIP
    | frozenset(
        "could do did with due good proper thorough full deep chemical "
        "so then also ive ill thats its one new amp needs wants need want will going gonna must has have be to out should plus "
        "minimum".split()
    )
)
PARTED = "\n\n"
FORGET = 25  # words after which "it" no longer means the part last spoken of


@dataclass(slots=True)
class State:
    """What the talk is about: appliance, place, size; the parts of the last statement and the facts it made."""

    appliance: str | None = None
    places: tuple[str, ...] | None = None
    size: str | None = None
    topic: tuple[Target, ...] = ()
    focus: tuple[Fact, ...] = ()
    mode: Mode = field(default_factory=Mode)
    clause: int = 0


_A_ROUND = 12  # clauses and facts in which the burners are told one after the other
_CLOCKWISE = ("front-left", "rear-left", "rear-right", "front-right")  # seen from above
_NEXT_ONE = frozenset("next second third fourth last".split())
_FEW = frozenset({"two", "three", "2", "3"})
_BURNERS = frozenset({"burner", "ring", "plate"})
_HAVING = frozenset("are has got have with having only just".split())
_VERBS = frozenset("is was isnt wasnt has".split())
_REACH = 80  # words that a visit to a small hob takes


_NEAR = 30  # mentions
_SAME_TIME = 4  # words behind work in which "at the same time" stands
_WAS = frozenset("was were been got".split())
_HAVE = frozenset("have has had".split())
_THEY_HAVE = frozenset("theyve landlords customers tenants owners councils neighbours".split())
_OTHERS = frozenset("they landlord customer tenant owner council".split())
_ON_TOP = frozenset({"hotplate", "hob"})
_MINE = frozenset("i ive we weve".split())


class Talk:
    """One talk as far as it has been read."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.story = Story()
        self.state = State(appliance=draft.appliance)
        self.spoken_at = 0
        self.read_to = 0
        self.unit: units.Mark | None = None
        self.sizes: dict[str, str] = {}
        self.pair: tuple[str, ...] = ()
        self.two: tuple[str, ...] = ()  # of which one was called the former or the latter
        self.across = ""  # the side that was called the other side
        self.round: list[str] = []  # the burners in the order in which the talk goes round them
        self.round_read = 0
        self.alike: tuple[str, ...] = ()  # the place that another is like, and that one
        self.recent: list[str] = []
        self.misplaced: tuple[int, str] = (-9, "")
        # the clause that took something back, the part that it was said of, and where that is not so after all
        self.cleared: tuple[int, str | None, frozenset[str]] = (-9, None, frozenset())
        self.heading: tuple[int, tuple[str, ...] | None] = (-9, None)  # the clause that was no more than a place
        self.passed: tuple[int, str | None] = (
            -9,
            None,
        )  # the clause that went on to the next burner, and where it had been
        self.bare = -9, ""  # the last clause that named something and said nothing of it, and what it named
        self.tested = False  # whether the last clause tells of a test of the part in talk
        self.recalled: tuple[int, list[Fact]] = (-9, [])  # the clause in which faults told before were spoken of again
        self.ahead: list[tuple[int, str | None, Job]] = []
        self.wanted: tuple[int, Job | None] = (-9, None)  # the clause that said last what work is to do, and the work
        self.last: tuple[Sense, ...] = ()
        self.last_denied = False
        self.shown: tuple[int, str] = (-99, "")  # the clause that told last what a burner or spark did not do, and what
        self.praised: tuple[int, tuple[Fact, ...]] = (-9, ())  # the clause that praised several, and its praise
        self.praised_but: tuple[int, tuple[Fact, ...]] = (-9, ())  # the clause that praised all but one, and its praise
        self.left_out: tuple[int, tuple[Target, ...]] = (
            -9,
            (),
        )  # the clause that ended in "all but ...", and what it left out
        self.recap = -99  # the clause that began to tell once more what had been told
        # the word that named last what is no part of the gas installation, where something was said of it
        self.stranger = -9
        self.fit_now = 0  # the clause in which something was last said to be right now
        self.last_words: frozenset[str] = frozenset()

    @functools.cached_property
    def small_hobs(self) -> list[int]:
        """Where a hob of two or three burners is spoken of: its left one is no corner."""
        words = [token.norm for token in self.draft.tokens]
        few = [at for at in range(len(words) - 1) if words[at] in _FEW]
        counted = {f"{word}s" for word in _BURNERS}  # "there are three burners", but not "the two burners at the back"
        return [
            at
            for at in few
            if words[at + 1] in _BURNERS or (words[at + 1] in counted and at and words[at - 1] in _HAVING)
        ]

    def on_small_hob(self, at: int) -> bool:
        """Whether the last hob spoken of before a token has two or three burners."""
        last = bisect.bisect_left(self.small_hobs, at) - 1
        return last >= 0 and at <= self.small_hobs[last] + _REACH

    def new_recording(self, clause: Clause) -> bool:
        """Whether an empty line, which parts the recordings of a visit, stands before a clause."""
        start = clause.mentions[0].start
        begun = self.draft.tokens[start].start
        before = self.draft.tokens[self.read_to - 1].end if self.read_to else 0
        self.read_to = clause.mentions[-1].end
        return PARTED in self.draft.text[before:begun]

    def another_named(self, fact: Fact, end: int) -> bool:
        """Whether another part was named between a fact and a word."""
        at = bisect.bisect_left(self.draft.mentions, fact.end, key=lambda mention: mention.start)
        between = itertools.takewhile(lambda mention: mention.start < end, self.draft.mentions[at : at + _NEAR])
        return any(
            m.kind == "component" and m.strong and fact.component not in {sense.id for sense in m.senses}
            for m in between
        )

    def at_the_same_time(self, clause: Clause) -> bool:
        """ "The last lad changed the rear left tap in May ... the front left was changed at the same time": work that was done on
        the day of other work that is history."""
        start, end = clause.mentions[0].start, clause.mentions[-1].end
        words = [token.norm for token in self.draft.tokens[start : end + _SAME_TIME]]
        same = any(words[i : i + 2] == ["same", "time"] for i in range(end - start, len(words) - 1))
        row = [m for m in clause.mentions if m.done]
        passive = bool(row) and any(m.kind == "be" and m.first in _WAS for m in clause.mentions)
        if same and passive and any(fact.status == "historical" for fact in self.story.facts[-4:]):
            return True
        was = any(m.kind == "condition" for m in clause.mentions) and bool(_WAS & {m.first for m in clause.mentions})
        goes_on = bool(row) and clause.mentions[0].first == "then"  # "the tap was stiff then and I greased it"
        return self.state.mode.past and (((bool(row) or was) and self._then(end)) or (goes_on and self._then(start)))

    def had_done(self, clause: Clause) -> bool:
        """ "They've had a new flue fitted", "the landlord's had the pump changed": what others had done before this visit."""
        if not any(m.done for m in clause.mentions):
            return False
        start = clause.mentions[0].start
        row = [token.norm for token in self.draft.tokens[max(0, start - 2) : clause.mentions[-1].end]]
        owned = any(a in _THEY_HAVE or (a in _OTHERS and b in _HAVE) for a, b in itertools.pairwise(row))
        led = next((i for i, word in enumerate(row) if word == "had"), len(row))
        thing = row[led + 1 : led + 2] == ["the"] or row[led + 1 : led + 3] in (
            ["a", "new"],
            ["a", "fresh"],
            ["another", "new"],
        )
        return (
            owned
            and thing
            and 0 < led < len(row)
            and (row[led - 1] in _THEY_HAVE | _OTHERS | _HAVE)
            and row[0] not in _MINE
        )

    def _then(self, at: int) -> bool:
        """ "I did this hob in the spring. Changed the front left tap then, and it's fine": of that day."""
        tokens = self.draft.tokens
        if at >= len(tokens) or tokens[at].norm not in ("then", "since"):
            return False
        return bool(tokens[at].pause) or at + 1 == len(tokens) or tokens[at + 1].norm in ("and", "but")

    def begin_anew(self) -> None:
        """A new recording: what "it" and "the same" meant in the one before is over; the appliance stays."""
        self.state.places, self.state.size, self.state.topic, self.state.focus = None, None, (), ()
        self.state.mode = Mode()
        self.last, self.recent, self.spoken_at = (), [], 0

    def remember(self, clause: Clause) -> None:
        """A part that was spoken of in general may be meant by what follows ("this one's fine")."""
        said = linking.parse(clause).every
        named = [target for target in said or targets(clause.mentions) if target.component and target.names]
        if named:
            there = named[-1].places or ()
            # "if the front left tap gets any worse it'll want changing but it's only a bit stiff today"
            meant = any(m.kind == "if" for m in clause.mentions) and len(there) == 1 and "-" in there[0]
            self.state.topic = (replace(named[-1], places=there if meant else None, group=None),)
            self.state.focus = ()

    @functools.cached_property
    def units(self) -> list[units.Mark]:
        """Where the talk turns to another one of several appliances of a kind."""
        return units.marks(self.draft.tokens)

    def _to_unit(self, clause: Clause) -> None:
        """Turn to the one of several fires, boilers, hobs that was named last: what "it" was is of the other one."""
        at = bisect.bisect_left([mark.at for mark in self.units], clause.mentions[-1].end) - 1
        mark = self.units[at] if at >= 0 else None
        if mark is None or mark is self.unit:
            return
        self.unit = mark
        if mark.unit != self.story.unit:
            self.story.unit = mark.unit
            kept = (
                tuple(replace(t, places=None, group=None) for t in self.state.topic[-1:]) if self._its(mark.at) else ()
            )
            self.state.places, self.state.size, self.state.topic, self.state.focus = None, None, kept, ()

    def _its(self, at: int) -> bool:
        """ "Number one's pump is seized, number two's is fine": the same part of the other one."""
        row = self.draft.tokens[at : at + 4]
        owner = next((i for i, token in enumerate(row[:-1]) if token.clitic), None)
        return owner is not None and row[owner + 1].norm in _VERBS and not any(token.pause for token in row[:owner])

    def move(self, clause: Clause) -> None:
        """Places and appliances that the clause moves to."""
        self._to_unit(clause)
        here = self.one_place()
        for mention in clause.mentions:
            if mention.kind == "next-burner":
                self.passed = self.state.clause, self.one_place()
                self.state.places, self.state.size = None, None
                if any(fact.worked for fact in self.state.focus):
                    self.state.focus = ()  # "turned it back, next one nothing wrong": no outcome of that work
                last = self._last_of_four(mention)
                if last:
                    self.state.places = (last,)
                    self.state.topic = tuple(replace(t, places=(last,), group=None) for t in self.state.topic[-1:])
                listed = last and self._told_round()
                if mention.last not in ("one", "ones") or not (listed or self._of_no_burner() or self._of_a_row()):
                    self.state.topic = (BURNER,)
            elif mention.kind == "recap":
                self.recap = self.state.clause
            elif mention.kind == "place" and mention.id in SIDE and self._heads_a_side(mention):
                self.pair = both((mention.id,))  # "on the right side then ... the back one's split"
            elif mention.kind == "mark" and mention.first == "number":
                self.state.focus = ()  # "number two lit fine": "it" was of the other one
            elif mention.kind == "next-appliance":
                self.recap = -99
                self.go_to(None)
            elif mention.kind == "component" and mention.id == "burner" and self._of_the_hob(mention):
                self.state.places, self.state.size = None, None  # "grill won't light ... hotplate burners all light"
                if self.state.appliance in ("oven", "grill"):
                    self.go_to("hob")
            elif mention.kind == "appliance" and linking.moves(mention, clause):
                told = self.state.focus, self.state.topic
                self.go_to(mention.id)
                if clause.mentions[0].kind == "correct" and mention.id in COOKING:
                    self.state.focus, self.state.topic = told  # "the oven knob's missing, correction, the grill knob"
            elif mention.kind == "appliance":
                self.state.appliance = self.state.appliance or mention.id  # "leak on the boiler"
        self._round_to(clause, here)

    def _of_the_hob(self, burner: Mention) -> bool:
        """ "Hotplate burners", "hob burners": those on top of a cooker."""
        before = self.draft.tokens[burner.start - 1].norm if burner.start else ""
        return burner.first in _ON_TOP or (before in _ON_TOP and burner.last.endswith("s"))

    def _told_round(self) -> bool:
        """Whether the part told last was told at more than one place, as one that heads a list is."""
        part = self.story.facts[-1].component
        return len({fact.position for fact in self.story.facts[-_A_ROUND:] if fact.component == part}) > 1

    def _last_of_four(self, mention: Mention) -> str | None:
        """ "Electrodes: front left, rear left and rear right cracked, the last one's fine": the corner left of that part."""
        if (
            "last" not in {token.norm for token in self.draft.tokens[mention.start : mention.end]}
            or not self.story.facts
        ):
            return None
        part, reach = self.story.facts[-1].component, self.state.clause - _A_ROUND
        told = {f.position for f in self.story.facts[-_A_ROUND:] if f.component == part and f.clause >= reach}
        if len(told & set(_CLOCKWISE)) < len(_CLOCKWISE) - 1:  # another part at each burner of the round
            told = {f.position for f in self.story.facts[-_A_ROUND:] if f.component in AT_BURNER and f.clause >= reach}
        left = [place for place in _CLOCKWISE if place not in told]
        return left[0] if len(left) == 1 else None

    def _round_to(self, clause: Clause, here: str | None) -> None:
        """ "Going round clockwise from the rear left: first one fine. Next: cap cracked": which burner the next one is."""
        corner = next((m.id for m in clause.mentions if m.kind == "place" and m.id in _CLOCKWISE), None)
        words = [token.norm for token in self.draft.tokens[self.round_read : clause.mentions[-1].end]]
        self.round_read = clause.mentions[-1].end
        if corner and any(word.endswith("clockwise") for word in words):
            back = any(word.startswith(("anti", "counter")) for word in words)
            at = _CLOCKWISE.index(corner)
            row = [*_CLOCKWISE[at:], *_CLOCKWISE[:at]]
            self.round = [row[0], *row[:0:-1]] if back else row
            return
        first = next((m for m in clause.mentions if m.kind not in ("and", "det")), clause.mentions[0])
        if corner or not self.round or not (first.kind == "next-burner" or first.last in _NEXT_ONE):
            return
        if first.kind not in ("next-burner", "mark"):
            return
        at = len(self.round) - 1 if "last" in (first.first, first.last) else self._on_round(here) + 1
        self.state.places = (self.round[at],) if 0 < at < len(self.round) else None
        self.state.size, self.state.topic, self.state.focus = None, (BURNER,) if first.kind == "next-burner" else (), ()

    def _on_round(self, here: str | None) -> int:
        return self.round.index(here) if here in self.round else len(self.round)

    def turn_to_side(self, clause: Clause) -> None:
        """ "Put it back, over on the right side then": where the talk goes on, named at the end of a clause."""
        at = len(clause.mentions) - 1 - (clause.mentions[-1].kind == "one")
        side = clause.mentions[at]
        if at and side.kind == "place" and side.led and side.id in SIDE and self._heads_a_side(side) and clause.said:
            before = clause.mentions[at - 1]
            over = self.draft.tokens[side.start - 1].norm == "over" or before.kind == "mark"
            self.state.places = (side.id,) if over else self.state.places

    def _heads_a_side(self, mention: Mention) -> bool:
        """Whether a side is named as such, on a hob of four."""
        said = [token.norm for token in self.draft.tokens[mention.start : mention.end + 1]]
        return "side" in said and not self.on_small_hob(mention.start)

    def _of_no_burner(self) -> bool:
        """Whether the part in talk sits at no burner ("four pan supports ... the last one is bent")."""
        names = [name.id for target in self.state.topic[-1:] for name in target.names]
        return bool(names) and not AT_BURNER & set(names) and "appliance" not in names

    def _of_a_row(self) -> bool:
        """Whether a row of parts is in talk, so that "one" is one of them ("thermocouples: ... that last one, front right")."""
        last = next(iter(self.state.topic[-1:]), None)
        if last is None or not any(name.note.endswith("s") for name in last.names):
            return False
        return any(token.norm.endswith("s") and not token.clitic for token in self.draft.tokens[last.start : last.end])

    def go_to(self, appliance: str | None) -> None:
        """Turn to an appliance; a part of the cooker in hand (oven, grill, hob) is no other one."""
        inside = {"oven", "grill", "hob"} if self.state.appliance == "cooker" else set()
        if appliance == self.state.appliance or appliance in inside:
            return
        if self.state.appliance is not None:
            self.state.focus = ()  # "it" was of the other one
        if not {appliance, self.state.appliance} <= COOKING:
            self.recent = []  # "the lead's off ... job two, the fire, ceramics fine"
        self.state.appliance = appliance
        self.state.places, self.state.size, self.state.topic = None, None, ()

    def contexts(self, clause: Clause) -> None:
        """What the words up to the end of this clause are about, for the readings among them."""
        held = self.draft.contexts
        here = Context(self.state.appliance, self.one_place(), self.state.size)
        for mention in clause.mentions:
            held.extend([here] * (mention.start - len(held)))
            if mention.kind == "place":
                here = replace(here, position=mention.id, burner=None)
            elif mention.kind == "size" or (mention.kind == "appliance" and mention.id in ("oven", "grill")):
                here = replace(here, burner=mention.id)
        last = clause.mentions[-1].end
        held.extend([here] * (last - len(held)))

    def one_place(self) -> str | None:
        """The place in talk, when it is one."""
        return self.state.places[0] if self.state.places and len(self.state.places) == 1 else None

    def forgotten(self, part: Statement | Job) -> bool:
        """Whether the part last spoken of lies too far back to be meant without its name."""
        return self.forgotten_at(part.start)

    def forgotten_at(self, start: int) -> bool:
        """The same, of a word."""
        return start - self.spoken_at > FORGET

    def untold(self, start: int, end: int) -> int:
        """How many words of weight stand between two tokens."""
        between = range(start, end)
        return sum(i not in self.draft.measured and self.draft.tokens[i].norm not in SMALL for i in between)
