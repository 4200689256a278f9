"""Clauses become facts. In: the clauses of a talk. Out: facts, and what the talk is about at each word.

One clause at a time: where it moves to, how far it is meant (seen, guessed, told, past, general), which parts it names, what it
says of them, which work. Not allowed to know: limits; whether a finding is good or bad for the visit.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from fieldnote.extract import linking
from fieldnote.extract.assertion import Mode, assess
from fieldnote.extract.clauses import Clause, split
from fieldnote.extract.draft import Context, Draft
from fieldnote.extract.lexicon import FUNCTION, SKIP, Sense
from fieldnote.extract.linking import Said
from fieldnote.extract.story import AT_BURNER, MENDING, OPEN, SAFETY, Fact, Story
from fieldnote.extract.subjects import FOUR, RELATIVE, SIDE, Target

INSTALLATION = frozenset(
    "pipework emergency-control meter bonding ventilation window co-alarm".split()
)  # parts of the house rather than of an appliance

# appliances without a row of burners: a side said of a radiant is no place of the thermocouple
NO_BURNERS = frozenset({"fire", "boiler", "water-heater", "installation"})
BURNER = Target((Sense("component", "burner", None, "strong"),))
SIDED = frozenset({"radiant", "pan-support", "door", "door-seal", "window", "appliance"})

LOOSE_PLACES = frozenset({"front", "rear", "all", "others", "centre"})  # "all round", "in the middle": not which one

TESTED = {"tightness": "pipework", "soundness": "pipework", "spillage": "flue"}  # which part a test speaks of
TEST_REACH = 70  # words between the name of a test and its verdict, readings among them
NO_FINDING = frozenset("test advise monitor label isolate disconnect".split())  # work that alone is none
UNTOLD = 1  # words of weight between a part and work on it in which no fault is told
SMALL = FUNCTION | SKIP | frozenset("so then also ive ill thats its one new amp needs wants out".split())
PARTED = "\n\n"
FORGET = 25  # words after which "it" no longer means the part last spoken of
_SPARKS = frozenset({"ht-lead", "spark-generator", "ignition-switch"})  # where no spark comes from
_FEEDS = frozenset(
    {"pilot", "regulator", "gas-valve", "flue", "ventilation"}
)  # what a flame hangs on besides its burner
_TIGHTENED = frozenset("leaking loose unstable detached".split())  # "gave it half a turn" tightens them
_SETTINGS = frozenset("out-of-adjustment lifting yellow-tipping weak noisy not-holding".split())  # what a setting mends
_SHOWS = frozenset({"flame", "burner", "pilot"})  # parts whose faults show what is wrong with others
_SET = frozenset({"burner", "appliance", "pipework", "meter"})  # what has a pressure that is set


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


class Reader:
    """Reads one talk."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.story = Story()
        self.state = State(appliance=draft.appliance)
        self.spoken_at = 0
        self.read_to = 0
        self.sizes: dict[str, str] = {}
        self.recent: list[str] = []
        self.last: tuple[Sense, ...] = ()
        self.last_denied = False
        self.last_words: frozenset[str] = frozenset()

    def read(self) -> list[Fact]:
        """All facts of the talk, in the order in which they were said."""
        for clause in split(self.draft.mentions):
            self.state.clause += 1
            self._clause(clause)
        return self.story.facts

    # ------------------------------------------------------------------ one clause

    def _clause(self, clause: Clause) -> None:
        if self._new_recording(clause):
            self._begin_anew()
        mode = assess(clause, self.state.mode)
        self._move(clause)
        self.state.mode = mode
        self._contexts(clause)
        if mode.silent:
            self._remember(clause)
            return
        self._answered(clause)
        said = self._settled(linking.parse(clause))
        if mode.corrects and self._correct(said, clause, mode):
            return
        if "swap" in clause.kinds():
            self._swap()
        self._note_places(said)
        self._facts(said, mode)
        if clause.named or (self.story.facts and self.story.facts[-1].clause == self.state.clause):
            self.spoken_at = clause.mentions[-1].end

    def _new_recording(self, clause: Clause) -> bool:
        """Whether an empty line, which parts the recordings of a visit, stands before a clause."""
        start = clause.mentions[0].start
        begun = self.draft.tokens[start].start
        before = self.draft.tokens[self.read_to - 1].end if self.read_to else 0
        self.read_to = clause.mentions[-1].end
        return PARTED in self.draft.text[before:begun]

    def _begin_anew(self) -> None:
        """A new recording: what "it" and "the same" meant in the one before is over; the appliance stays."""
        self.state.places, self.state.size, self.state.topic, self.state.focus = None, None, (), ()
        self.state.mode = Mode()
        self.last, self.recent, self.spoken_at = (), [], 0

    def _answered(self, clause: Clause) -> None:
        """ "And it does", "couldn't replicate it": what somebody else said is so, or is not."""
        kinds = clause.kinds()
        for fact in self.state.focus if kinds & {"confirm", "deny"} else ():
            if fact.status in ("reported", "possible"):
                fact.turn("present" if "confirm" in kinds else "absent", "own-check")
            elif fact.condition == "ok" and "deny" in kinds:
                self.story.drop(fact)  # "I said it was fine, well it isn't"

    def _settled(self, said: Said) -> Said:
        """Places that are said from the place in talk ("the one behind it", "that cap I mentioned") become places."""
        here = self._one_place() or ""

        def settle(target: Target) -> Target:
            nonlocal here
            target = self._of_the_pair(target)
            if target.which and not target.places:
                return self._told_by(target)
            if target.places:
                here = target.places[-1]
                return target
            place = RELATIVE.get(target.group or "", {}).get(here)
            if said.earlier and not target.group:
                place = self._said_before(target) or place
            return replace(target, places=(place,), group=None) if place else target

        said.subject = [settle(target) for target in said.subject]
        parts: list[linking.Statement | linking.Job] = [*said.statements, *said.works]
        for part in parts:
            part.targets = [settle(target) for target in part.targets]
        return said

    def _of_the_pair(self, target: Target) -> Target:
        """ "Both left hand burners light but the front one lifts": the front one of the two."""
        pair, said = self.state.places or (), target.places or ()
        elsewhere = bool(target.names) and not any(name.id in AT_BURNER for name in target.names)
        if len(pair) != 2 or len(said) != 1 or said[0] not in SIDE or elsewhere:
            return target
        meant = tuple(place for place in pair if said[0] in place.split("-") and "-" in place)
        return replace(target, places=meant) if len(meant) == 1 else target

    def _told_by(self, target: Target) -> Target:
        """ "The stiff one": the part of which that was said."""
        told = [fact for fact in self.story.facts[-16:] if fact.condition in target.which and fact.status in OPEN]
        told = [fact for fact in told if fact.component == told[-1].component]
        if not told:
            return target
        places = tuple(dict.fromkeys(fact.position for fact in told if fact.position))
        names = target.names or (Sense("component", told[-1].component or "", None, "strong"),)
        return replace(target, names=names, places=places or None)

    def _said_before(self, target: Target) -> str | None:
        """The place at which a part, or a burner of this size, was spoken of last."""
        if target.size and not target.names:
            return next((place for place, size in self.sizes.items() if size == target.size), None)
        return next((fact.position for fact in self.story.named(target.component)), None)

    def _remember(self, clause: Clause) -> None:
        """A part that was spoken of in general may be meant by what follows ("this one's fine")."""
        named = [target for target in linking.parse(clause).every if target.component]
        if named:
            self.state.topic, self.state.focus = (replace(named[-1], places=None, group=None),), ()

    def _move(self, clause: Clause) -> None:
        """Places and appliances that the clause moves to."""
        for mention in clause.mentions:
            if mention.kind == "next-burner":
                self.state.places, self.state.size, self.state.topic = None, None, (BURNER,)
            elif mention.kind == "next-appliance":
                self._go_to(None)
            elif mention.kind == "appliance" and linking.moves(mention, clause):
                self._go_to(mention.id)

    def _go_to(self, appliance: str | None) -> None:
        inside = {"oven", "grill", "hob"} if self.state.appliance == "cooker" else set()
        if appliance == self.state.appliance or appliance in inside:
            return
        self.state.appliance = appliance
        self.state.places, self.state.size, self.state.topic = None, None, ()

    def _note_places(self, said: Said) -> None:
        """The place of the clause is carried on to the next ones."""
        for target in said.every:
            if target.places or target.size:
                if target.places or target.size not in self.sizes.values():
                    self.state.places = target.places
                self.state.size = target.size
                if target.size is None and target.places and len(target.places) == 1:
                    self.state.size = None
                if target.size and target.places:
                    self.sizes.update(dict.fromkeys(target.places, target.size))

    def _contexts(self, clause: Clause) -> None:
        """What the words up to the end of this clause are about, for the readings among them."""
        held = self.draft.contexts
        here = Context(self.state.appliance, self._one_place(), self.state.size)
        for mention in clause.mentions:
            held.extend([here] * (mention.start - len(held)))
            if mention.kind == "place":
                here = replace(here, position=mention.id, burner=None)
            elif mention.kind == "size" or (mention.kind == "appliance" and mention.id in ("oven", "grill")):
                here = replace(here, burner=mention.id)
        last = clause.mentions[-1].end
        held.extend([here] * (last - len(held)))

    def _one_place(self) -> str | None:
        return self.state.places[0] if self.state.places and len(self.state.places) == 1 else None

    # ------------------------------------------------------------------ facts

    def _facts(self, said: Said, mode: Mode) -> None:
        made: list[Fact] = []
        ended = self._ended(said) if said.cured and said.statements else []
        made += ended
        over = {fact.condition for fact in ended}
        for statement in said.statements:
            if statement.condition_ids & over or (statement.pointed and self._pointed(statement)):
                continue
            if self._after_work(statement, said):
                said.cured = True  # "brushed it clean"
                continue
            made += self._statement(statement, mode)
        if said.guessed:
            made += self._guesses(said, mode)
        if not said.statements and not said.led and any(t.component or t.places or t.appliance for t in said.subject):
            self.state.topic = tuple(said.subject)
            if said.reading and not said.works:
                self.state.focus = ()
        for work in said.works:
            made += self._work(work, said, [fact for fact in made if fact not in ended], mode)
        worked_on = [target for job in said.works for target in job.targets if target.names]
        if worked_on and all(statement.head < said.works[-1].start for statement in said.statements):
            self.state.topic = tuple(worked_on)
        if said.outcome and not said.cured:
            said.cured = self._comes_of_work(said, made)
        if said.cured and not ended:
            made += self._cured(said, made)
        if said.declined:
            self._declined(said, made)
        if said.still:
            self._still(made)
        if made:
            self.state.focus = tuple(dict.fromkeys(made))

    def _pointed(self, statement: linking.Statement) -> bool:
        """Whether "the cap I said was cracked" was indeed spoken of: then that one is in talk, and nothing new is said."""
        names = {name.id for target in statement.targets for name in target.names}
        facts = [
            fact for fact in self.story.facts if fact.component in names and fact.condition in statement.condition_ids
        ]
        if facts:
            self.state.focus, self.state.topic = (facts[-1],), tuple(statement.targets)
        return bool(facts)

    def _comes_of_work(self, said: Said, made: Sequence[Fact]) -> bool:
        """Whether "it sparks" follows work, or a fault that it contradicts."""
        if said.works:
            return True
        return any(
            (fact.worked and fact.status == "resolved")
            or (fact.condition in linking.SILENT and fact.status == "present")
            for fact in [*made, *self.state.focus]
        )

    def _after_work(self, statement: linking.Statement, said: Said) -> bool:
        """Whether "fine" is said of what was just worked on ("brushed it clean", "reseated it and it lights first time")."""
        if statement.condition_ids != {"ok"} or statement.own or statement.denied or statement.hedged:
            return False
        mended = next((job for job in said.works if job.state == "done" and job.kind in MENDING), None)
        if mended and not statement.pronoun and self._elsewhere(statement):
            return False
        if mended or said.works:
            return mended is not None and statement.head > mended.start
        return not said.subject and any(fact.worked and fact.status == "resolved" for fact in self.state.focus)

    def _elsewhere(self, statement: linking.Statement) -> bool:
        """Whether "fine" is a wording of other parts than those in hand ("brushed it out ... meter's fine")."""
        limits = [sense.of for sense in statement.senses]
        known = {fact.component for fact in self.state.focus}
        return bool(known) and all(of is not None and not of & known for of in limits)

    def _statement(self, statement: linking.Statement, mode: Mode) -> list[Fact]:
        facts: list[Fact] = []
        if self._asked(statement) and not self._answer(statement):
            return []  # a question
        if statement.denied and statement.condition_ids == {"ok"}:
            return []  # "not right": a fault, but nobody said which
        like = list(self.state.focus)[-1:] if statement.again else []
        if statement.again:
            if not self.last or self._forgotten(statement):
                return []
            statement.senses, statement.denied = self._meant_again(statement)
        for target in self._resolved(statement, mode):
            kin = [name.id for t in reversed(self.state.topic) for name in t.names if not name.note.startswith("weak")]
            if self.state.size == "oven":
                kin = [*kin, "door"]
            found = linking.fitting(target, statement, self.state.appliance, [*kin, *self.recent])
            if found is None or (
                found[0] == "appliance"
                and found[1] != "leaking"
                and self._untold(target.end, statement.head) > UNTOLD + 2
            ):
                continue
            component, condition = found
            self.last = tuple(sense for sense in statement.senses if sense.id == condition)
            self.last_denied = statement.denied
            if not statement.again:
                said = self.draft.tokens[statement.head : statement.head + statement.words]
                self.last_words = frozenset(token.norm for token in said)
            self.recent = [component, *self.recent[:3]]
            status = mode.status_of(statement)
            cause = self._cause_of(statement)
            for place in self._places(target, component):
                facts.append(self._file(component, condition, place, target, status, statement, mode))
                facts[-1].cause = facts[-1].cause or (cause if cause is not facts[-1] else None)
            self.state.topic = (*self.state.topic[-3:], target) if facts and len(facts) > 1 else (target,)
        if statement.left_out and self.state.topic:
            out = statement.left_out[0]
            self.state.topic = (replace(self.state.topic[-1], places=out.places, group=out.group, size=out.size),)
            self.state.places = out.places
        for before in like:
            self._likewise(before, [fact for fact in facts if fact is not before], statement.treated)
        return [fact for fact in facts if fact is not None]

    def _likewise(self, before: Fact, facts: Sequence[Fact], treated: bool) -> None:
        """ "The one across from it the same": the same is needed there; "same cure": the same was done."""
        for fact in facts if before.status != "historical" else ():
            for action in before.actions:
                if (action.state == "needed" or treated) and fact.condition == before.condition:
                    fact.act(action.kind, action.state)
            if treated and before.status == "resolved" and fact.status == "present" and fact.actions:
                fact.turn("resolved", "work-done")

    def _asked(self, statement: linking.Statement) -> bool:
        """ "Any leaks?" """
        return not statement.denied and statement.head > 0 and self.draft.tokens[statement.head - 1].norm == "any"

    def _answer(self, statement: linking.Statement) -> bool:
        """Whether a question is answered right behind: "any leaks no"; the statement is denied where it is answered by no."""
        end = max([statement.head + statement.words, *(target.end for target in statement.targets)])
        word = self.draft.tokens[end].norm if end < len(self.draft.tokens) else ""
        statement.denied = word in ("no", "none", "nope", "nil", "negative", "nothing")
        return statement.denied or word in ("yes", "yeah", "aye", "yep")

    def _meant_again(self, statement: linking.Statement) -> tuple[tuple[Sense, ...], bool]:
        """The condition said last and whether it is denied: "same", "doesn't", "does"."""
        if not statement.verb:
            return self.last, statement.denied or self.last_denied
        ids, does = {sense.id for sense in self.last}, statement.verb == "does"
        if ids & linking.OPPOSITES.keys():  # "won't light": what does, lights
            return (self.last, False) if not does else ((Sense("condition", "ok"),), False)
        if ids == {"ok"} and not does:
            wrong = next((id_ for id_, words in linking.OPPOSITES.items() if words & self.last_words), None)
            return ((Sense("condition", wrong),) if wrong else self.last), not wrong
        return self.last, not does

    def _pointed_at(self, statement: linking.Statement) -> list[Fact]:
        """ "Replaced the cracked cap": the fault that was told before, and no new one."""
        target = statement.targets[-1] if statement.targets else Target()
        told = [
            fact
            for fact in self.story.facts[-16:]
            if fact.condition in statement.condition_ids
            and fact.component in {name.id for name in target.names}
            and fact.status in OPEN
            and (not target.places or fact.position in target.places)
        ]
        return told if target.many else told[-1:]

    def _resolved(self, statement: linking.Statement, mode: Mode) -> list[Target]:
        """The targets of a statement; what was left out is taken from the statement before."""
        if statement.condition_ids & {"passed", "failed"} and (tested := self._tested(statement)):
            return [tested]
        if not any(target.names for target in statement.targets) and self._comes_of_topic(statement):
            return statement.targets or linking.implied(statement)
        if not statement.targets:
            if self._forgotten(statement) or not self.state.topic or not linking.goes_with(self.state.topic, statement):
                return linking.implied(statement)
            return list(self.state.topic)
        out: list[Target] = []
        for target in statement.targets:
            if target.names or linking.only_said_of(target, statement, self.state.topic):
                out.append(target)
            elif self.state.topic and linking.elliptical(target, self.state.topic, statement):
                topic = self.state.topic[-1]
                out.append(replace(target, names=topic.names, many=True))  # a list by places has begun
            else:
                out.append(target)
        return out

    def _cause_of(self, statement: linking.Statement) -> Fact | None:
        """The fault from which a symptom was just said to come."""
        if any(target.names for target in statement.targets) or not self._comes_of_topic(statement):
            return None
        return next(fact for fact in reversed(self.state.focus) if fact.component in _SPARKS)

    def _comes_of_topic(self, statement: linking.Statement) -> bool:
        """ "The lead was off so it wouldn't spark": the symptom shows at another part than the one that has been told of."""
        if not statement.condition_ids & {"no-spark", "weak-spark"} or statement.denied:
            return False
        return any(
            fact.component in _SPARKS and fact.status == "present" and fact.condition not in (None, "ok")
            for fact in self.state.focus
        )

    def _tested(self, statement: linking.Statement) -> Target | None:
        """What a test that was spoken of tries, unless the part was named before the verdict."""
        if any(t.names and t.end <= statement.head for t in statement.targets):
            return None
        behind = self.draft.tokens[statement.head : statement.head + statement.words + 3]
        for token in behind:  # "passed spillage", "spillage passed"
            if token.norm in TESTED:
                return Target((Sense("component", TESTED[token.norm], None, "strong"),))
        for token in reversed(self.draft.tokens[max(0, statement.head - TEST_REACH) : statement.head]):
            if token.norm in TESTED:
                return Target((Sense("component", TESTED[token.norm], None, "strong"),))
        return None

    def _forgotten(self, part: linking.Statement | linking.Job) -> bool:
        """Whether the part last spoken of lies too far back to be meant without its name."""
        return part.start - self.spoken_at > FORGET

    def _places(self, target: Target, component: str) -> list[str | None]:
        if target.group == "rest":
            return list(self._rest(component))
        if target.group in ("last-two", "listed") and not target.places:
            return self._last_places(component)
        if target.places and component not in AT_BURNER | SIDED and set(target.places) <= LOOSE_PLACES:
            return [None]
        if target.places == ("others",) and component not in AT_BURNER | {"radiant", "pan-support"}:
            return [None]  # "at the back" says where a hose is, not which one
        if target.places == ("others",) and self._one_place() in SIDE and not target.many:
            return [SIDE[self._one_place() or ""]]  # "the other one" of two
        if target.places:
            return list(target.places)
        if target.size and component in AT_BURNER and (sized := [p for p, s in self.sizes.items() if s == target.size]):
            return list(sized[:1]) if len(sized) == 1 else [None]
        if self.state.appliance in NO_BURNERS:
            return [None]
        if component in AT_BURNER and not target.many and self.state.places and len(self.state.places) == 1:
            return list(self.state.places)
        return [None]

    def _rest(self, component: str) -> Iterable[str]:
        """The places left of the usual four when earlier facts name some of them, else "others"."""
        now = self.state.clause
        known = [fact for fact in self.story.named(component) if fact.position in FOUR and fact.clause < now]
        if not known:
            here = self._one_place()
            return [SIDE[here]] if here in ("left", "right") else ["others"]
        latest = {fact.position for fact in known if fact.clause >= known[0].clause - 12}
        rest = [place for place in FOUR if place not in latest]
        return rest if rest and len(rest) < 4 else ["others"]

    def _last_places(self, component: str) -> list[str | None]:
        seen = [fact.position for fact in self.story.named(component)[:2]]
        return list(dict.fromkeys(reversed(seen))) or [None]

    def _file(
        self,
        component: str,
        condition: str | None,
        place: str | None,
        target: Target,
        status: str,
        statement: linking.Statement | linking.Job,
        mode: Mode,
    ) -> Fact:
        """File a fact, or update the one that it speaks of again."""
        aside = isinstance(statement, linking.Statement) and statement.is_aside
        burner = self._burner(component, target, place)
        appliance = self._appliance(component, target)
        same = self.story.of(component, place, burner, appliance)
        for fact in same:
            if fact.condition == condition and fact.status != "historical" and status != "historical":
                return self._again(fact, status, statement)
        if (guess := self._guessed_before(same)) and condition is not None and status in ("present", "absent"):
            guess.condition = condition  # "I thought it was the fan, but the fan's fine"
            guess.turn(status, "own-check")
            return guess
        if condition == "ok" and status == "present":
            for fact in same:
                if (
                    fact.condition not in (None, "ok", "passed")
                    and fact.status in OPEN
                    and (fact.worked or statement.now or self._mended_at(place, fact))
                ):
                    fact.turn("resolved", "ok-after-work")
                    return fact
                if fact.condition not in (None, "ok", "passed") and fact.status == "resolved":
                    return fact
                if fact.status == "present" and fact.condition not in (None, "ok", "passed") and aside:
                    return fact  # "chipped but still sparking"
        elif condition is not None and status == "present":
            for fact in same[:1]:
                for_that = fact.actions and fact.status in ("present", "resolved")
                if fact.condition is None and for_that and fact.clause >= self.state.clause - 1:
                    fact.condition = condition  # "screw adjusted, it was set too high": why it was done
                    return fact
        if (
            component == "fuse"
            and isinstance(statement, linking.Job)
            and statement.kind == "replace"
            and status == "resolved"
        ):
            condition = "wrong-part"  # a fuse that is changed for another rating was the wrong one
        if condition is not None and status == "present":
            self._drop_denied(same)
        fact = Fact(component, place, burner, condition, status, statement.start, statement.end, appliance)
        fact.explicit = bool(target.places or target.group)
        fact.clause = self.state.clause
        fact.cues += [*mode.cues, *statement.cues, *self._doubts(component, place, target)]
        return self.story.add(fact)

    def _guessed_before(self, same: list[Fact]) -> Fact | None:
        """The bare suspicion of this part that was told just before."""
        now = self.state.clause
        return next((f for f in same if f.condition is None and f.status == "possible" and now - f.clause <= 4), None)

    def _drop_denied(self, same: list[Fact]) -> None:
        """ "It's not cracked, it's only dirty": what was said first is taken back, not looked for in vain."""
        for fact in same[:1]:
            if (
                fact.status == "absent"
                and fact.superseded
                and fact.clause >= self.state.clause - 1
                and not fact.actions
            ):
                self.story.drop(fact)

    def _mended_at(self, place: str | None, symptom: Fact) -> bool:
        """Whether, since a symptom was told, work was done on another part at its place."""
        return any(
            fact.worked
            and fact.position in (place, None)
            and fact.number > symptom.number
            and fact.component != symptom.component
            for fact in self.story.facts[-4:]
        )

    def _doubts(self, component: str, place: str | None, target: Target) -> list[str]:
        """What makes the reading of a part or place less sure."""
        doubts = []
        if not target.names:
            doubts.append("part-implied")
        elif all(name.note.startswith("weak") for name in target.names):
            doubts.append("weak-name")
        if place and not (target.places or target.group):
            doubts.append("place-carried")
        if len(target.names) > 1 and target.component is None:
            doubts.append("several-parts")
        return doubts

    def _again(self, fact: Fact, status: str, statement: linking.Statement | linking.Job) -> Fact:
        if fact.status in ("reported", "possible") and status in ("present", "absent"):
            fact.turn(status, "own-check")
        elif fact.status == "resolved" and status == "present" and not statement.past_tense:
            fact.turn("present", "again")
        elif fact.status == "present" and status in ("absent",):
            fact.turn("resolved" if fact.worked or statement.now else "absent", "later")
        fact.clause = self.state.clause
        return fact

    def _burner(self, component: str, target: Target, place: str | None) -> str | None:
        if component not in AT_BURNER and component != "thermostat":
            return None
        if target.size:
            return target.size
        if place and place in self.sizes:
            return self.sizes[place]
        if not target.places and not target.group:
            return self.state.size
        return None

    def _appliance(self, component: str, target: Target) -> str | None:
        if component in INSTALLATION:
            return "installation"
        return self.state.appliance or target.appliance

    def _guesses(self, said: Said, mode: Mode) -> list[Fact]:
        """A part that is suspected and nothing more: "might be the magnet"."""
        facts = []
        for target in said.guessed:
            component = target.component
            if component:
                for place in self._places(target, component):
                    facts.append(self._file(component, None, place, target, "possible", said.as_statement(), mode))
        return facts

    # ------------------------------------------------------------------ updates

    def _cured(self, said: Said, made: list[Fact]) -> list[Fact]:
        """ "Clear now", "lights every time now": what is open of the part in talk is put right."""
        named = [target for target in said.subject if target.component]
        if named:
            found = [fact for target in named for fact in self._open_of(target)]
            found += [fact for fact in self._neighbours(made or list(self.state.focus)) if fact not in found]
        else:
            found = [fact for fact in made or self.state.focus if fact.status in OPEN and fact.condition != "ok"]
            found += [fact for fact in self._neighbours(made or list(self.state.focus)) if fact not in found]
        for fact in found:
            fact.turn("resolved", "cured")
        return found or list(self.state.focus)

    def _ended(self, said: Said) -> list[Fact]:
        """ "The clicking has stopped": the fault itself is the subject."""
        ids = {id_ for statement in said.statements if not statement.denied for id_ in statement.condition_ids - {"ok"}}
        return [self._cure(fact) for fact in self.story.facts[-12:] if fact.condition in ids and fact.status in OPEN]

    def _cure(self, fact: Fact) -> Fact:
        fact.turn("resolved", "cured")
        return fact

    def _open_of(self, target: Target) -> list[Fact]:
        component = target.component
        facts = [
            fact for fact in self.story.named(component) if fact.status in OPEN and fact.condition not in (None, "ok")
        ]
        places = set(target.places or self.state.places or ())
        at_place = [fact for fact in facts if not places or fact.position in places or fact.position is None]
        return at_place[:4]

    def _neighbours(self, worked: list[Fact]) -> list[Fact]:
        """Symptoms at the same place that were said shortly before, when a cause was just worked on."""
        if not any(fact.worked for fact in worked):
            return []
        places = {fact.position for fact in worked}
        feeds = any(fact.worked and fact.component in AT_BURNER | _FEEDS for fact in worked)
        return [
            fact
            for fact in self.story.facts[-8:]
            if (
                fact.condition in linking.SHOWING
                or (feeds and fact.condition in linking.SYMPTOMS and fact.component in _SHOWS)
            )
            and fact.status in ("present", "reported")
            and (fact.position in places or fact.position is None)
            and fact.clause >= self.state.clause - 6
        ]

    def _still(self, made: list[Fact]) -> None:
        parts = {(fact.component, fact.position) for fact in made or self.state.focus}
        for fact in [*made, *self.state.focus]:
            if (fact.component, fact.position) not in parts:
                continue
            if fact.status == "resolved" and fact.clause >= self.state.clause - 3:
                fact.turn("present", "still")

    def _declined(self, said: Said, made: list[Fact]) -> None:
        """The customer does not want it: the work asked for last is declined."""
        if any(work.state == "declined" for work in said.works):
            return
        facts = made or (self._by_subject(said.subject) if said.subject else []) or list(self.state.focus)
        for fact in facts:
            for action in fact.actions:
                if action.state == "needed":
                    fact.act(action.kind, "declined")
                    fact.cues.append("declined")

    def _by_subject(self, subject: Sequence[Target]) -> list[Fact]:
        out: list[Fact] = []
        for target in subject:
            if target.component:
                facts = self.story.named(target.component)
                places = target.places
                out += [
                    fact
                    for fact in facts
                    if (not places or fact.position in places)
                    and (not target.size or fact.burner == target.size)
                    and any(action.state == "needed" for action in fact.actions)
                ][:1]
        return out

    # ------------------------------------------------------------------ work

    def _work(self, job: linking.Job, said: Said, made: list[Fact], mode: Mode) -> list[Fact]:
        """Work done, needed or declined: it goes to the part it names, else to what was just said."""
        state = job.state
        if mode.reported and state == "done" and not mode.past:
            return []
        if mode.past and state == "done":
            return self._past_work(job, said, made, mode)
        if job.points_at:
            facts = self._pointed_at(job.points_at) or self._statement(job.points_at, mode)
        else:
            facts = self._worked_on(job, said, made, mode)
        for fact in facts:
            loose = "tighten" in job.kinds and fact.condition in _TIGHTENED
            fact.act("tighten" if loose else job.kind, state)
            fact.cues.append(f"work-{state}")
            if state == "done" and job.kind in MENDING and fact.status in ("present", "reported", "possible"):
                if fact.condition == "ok":
                    continue
                fact.turn("resolved", "work-done")
                for symptom in self.story.facts[-8:]:
                    if symptom.cause is fact and symptom.status == "present":
                        symptom.turn("resolved", "cured")
        return facts

    def _worked_on(self, job: linking.Job, said: Said, made: list[Fact], mode: Mode) -> list[Fact]:
        targets = job.targets or ([] if made else said.subject)
        named = [target for target in targets if target.names]
        if job.bare:  # "casing seal tore, new seal": said of a fault, or a mere description
            ids = {name.id for target in named for name in target.names}
            return [fact for fact in self.story.facts[-6:] if self._faulty(fact) and fact.component in ids][-1:]
        both = any(target.group == "last-two" and not target.places for target in targets)  # "both need replacing"
        if (job.many or both) and not named and (together := self._told_together(targets)):
            return together
        if (
            not named
            and targets
            and any(t.places or t.group for t in targets)
            and self.state.topic
            and self.state.topic[-1].names
        ):
            named = [replace(target, names=self.state.topic[-1].names) for target in targets]
        pool = made or list(self.state.focus)
        if (
            named
            and all(n.note.startswith("weak") or n.id == "joint" for t in named for n in t.names)
            and not any(t.places for t in named)
        ) and any(self._faulty(fact) and fact.condition not in linking.SHOWING for fact in pool):
            meant = {name.id for target in named for name in target.names}
            told = [fact for fact in self.story.facts[-8:] if fact.component in meant and fact.status in OPEN]
            if told and job.targets:
                return told[-1:]  # "cleaned the burner and ordered a seal"
            named = []  # "tap's weeping, nipped up the gland": the fault that was just told is meant
        if not named and not made and self._forgotten(job):
            return []
        if not named and job.kind == "test":
            return pool[-1:]
        if not named:
            faults = [fact for fact in pool if fact.condition not in ("ok", "passed") and fact.status != "absent"]
            faults = faults or [fault for fact in pool for fault in self._faults_beside(fact)]
            faults = faults or (self._last_fault() if job.kind in SAFETY else [])
            if job.figure and job.kind == "adjust" and not said.subject and not job.pronoun:
                faults = [fact for fact in faults if fact.condition in _SETTINGS]  # "flow set to 65"
            if faults:
                return self._share(job, self._causes(faults) or faults)
            if made or self.state.focus:
                return []
            named = [target for target in self.state.topic if target.names]
        return [fact for target in named for fact in self._facts_for(target, job, mode)]

    @staticmethod
    def _faulty(fact: Fact) -> bool:
        return fact.status in OPEN and fact.condition not in (None, "ok", "passed")

    def _told_together(self, targets: Sequence[Target]) -> list[Fact]:
        """The open faults that were told one after the other, of one part or of one kind: what "both", "them" are."""
        out: list[Fact] = []
        if any(target.places and target.places != ("all",) for target in targets):
            return out
        for fact in reversed(self.story.facts[-12:]):
            if fact.condition in (None, "ok", "passed") or fact.status == "absent":
                continue
            alike = not out or fact.component == out[0].component or fact.condition == out[0].condition
            if fact.status not in OPEN or not alike or fact.clause < self.state.clause - 8:
                break
            out.append(fact)
        return out[::-1]

    def _causes(self, faults: Sequence[Fact]) -> list[Fact]:
        """ "The lead was off so it wouldn't spark, pushed it home": nobody works on a symptom where its cause was told."""
        if any(fact.condition not in linking.SHOWING for fact in faults):
            return []
        places = {fact.position for fact in faults}
        return [
            fact
            for fact in self.story.facts[-6:]
            if self._faulty(fact)
            and fact.condition not in linking.SHOWING
            and fact.position in places | {None}
            and fact.clause >= self.state.clause - 1
        ][-1:]

    def _last_fault(self) -> list[Fact]:
        """The fault that was told last of this appliance: what is made safe."""
        told = [f for f in self.story.facts[-10:] if f.status == "present" and self._faulty(f)]
        return [f for f in told if f.appliance == self.state.appliance][-1:]

    def _faults_beside(self, fit: Fact) -> list[Fact]:
        """Faults just told of a part that something good was said of last ("greasy but sound, wiped it down")."""
        return [
            fact
            for fact in self.story.of(fit.component, fit.position, fit.burner, fit.appliance)
            if fact.status in OPEN and fact.condition not in (None, "ok", "passed") and fact.clause >= fit.clause - 2
        ]

    def _share(self, job: linking.Job, faults: list[Fact]) -> list[Fact]:
        """Work without an object goes to the last part spoken of, at all its places."""
        last = faults[-1]
        beside = [  # "tap was stiff, the grease had dried out, regreased it" mends both
            fact
            for fact in self.story.facts[-6:]
            if (fact.component, fact.position, fact.burner) == (last.component, last.position, last.burner)
            and fact.status == "present"
            and fact.condition not in (None, "ok")
            and fact.clause >= self.state.clause - 2
        ]
        return [
            fact
            for fact in dict.fromkeys([*faults, *beside])
            if (fact.component == last.component or (fact.condition == last.condition and fact.clause == last.clause))
            and fact.status not in ("historical", "absent")
        ]

    def _facts_for(self, target: Target, job: linking.Job, mode: Mode) -> list[Fact]:
        component = target.component or self._spoken_of(target) or linking.any_name(target, self.state.appliance)
        if component is None:
            return []
        out: list[Fact] = []
        for place in self._places(target, component):
            burner = self._burner(component, target, place)
            same = [
                fact
                for fact in self.story.of(component, place, burner, self._appliance(component, target))
                if fact.condition not in ("ok", "passed") and fact.status not in ("historical", "absent")
            ]
            if not same and not target.places:
                same = [
                    f for f in self.story.named(component) if f.status in OPEN and f.condition not in ("ok", "passed")
                ][:1]
            if same:
                latest = same[0].clause
                out += [fact for fact in same if fact.clause == latest]
            elif job.state_of:
                self._file(component, "ok", place, target, "present", job, mode)
            elif job.kind == "remove" or (job.kind == "adjust" and job.figure and component in _SET):
                continue  # "took the cap off", "burner pressure seventeen, set to eighteen": no finding
            elif job.kind not in NO_FINDING and self._says_enough(target, job):
                status = "resolved" if job.state == "done" and job.kind in MENDING else "present"
                out.append(self._file(component, None, place, target, status, job, mode))
        return out

    def _says_enough(self, target: Target, job: linking.Job) -> bool:
        """Whether work without a fault is a finding: not when words that nobody knows stand between part and work, for then
        a fault was told ("stat was reading thirty low so I tweaked it"), nor of a part whose name says little."""
        if all(name.note.startswith("weak") for name in target.names):
            return False
        if target.component == "fuse":
            return True  # what is wrong with a fuse is its figure
        return self._untold(target.end, job.start) <= UNTOLD

    def _untold(self, start: int, end: int) -> int:
        """How many words of weight stand between two tokens."""
        between = range(start, end)
        return sum(i not in self.draft.measured and self.draft.tokens[i].norm not in SMALL for i in between)

    def _spoken_of(self, target: Target) -> str | None:
        """Of the parts that a weak name can mean, the one that was just spoken of."""
        return next((id_ for id_ in self.recent for name in target.names if name.id == id_), None)

    def _past_work(self, job: linking.Job, said: Said, made: Sequence[Fact], mode: Mode) -> list[Fact]:
        facts: list[Fact] = []
        told = [fact for fact in made if fact.status == "historical" and fact.condition is not None]
        if told and not any(target.names for target in job.targets):
            for fact in told:
                fact.act(job.kind, "done")  # "was noisy last year and I changed it"
            return told
        if not job.targets and not said.subject:
            old = [fact for fact in self.state.focus if fact.status == "historical"]
            for fact in old:
                fact.act(job.kind, "done")
            if old:
                return old
        for target in job.targets or said.subject or list(self.state.topic):
            component = target.component
            if component:
                for place in self._places(target, component):
                    fact = self._file(component, None, place, target, "historical", job, mode)
                    fact.act(job.kind, "done")
                    facts.append(fact)
        return facts

    # ------------------------------------------------------------------ corrections

    def _correct(self, said: Said, clause: Clause, mode: Mode) -> bool:
        """Take back what was just said, in the slot that is said anew. True when nothing is left to do."""
        focus = [fact for fact in self.state.focus if fact.clause >= self.state.clause - 3]
        if not focus:
            return False
        places = [place for target in said.subject for place in target.places or ()]
        names = [target for target in said.subject if target.names]
        if places and not names and not said.statements:
            self._move_facts(focus, places)
            self._note_places(said)
            said.subject = []
            return not (said.works or said.cured)
        if said.statements or names:
            self._replace_facts(focus, said)
            if names and not said.statements and self.state.topic:
                self._note_places(said)
                self._rename(focus, names)
                return not said.works
        elif not said.works and not said.subject and mode.takes_all:
            for fact in focus:
                self.story.drop(fact)
            self.state.focus = ()
            return True
        return False

    def _swap(self) -> None:
        """ "No, other way round": the last two facts of one part change places."""
        facts = [fact for fact in self.story.facts[-6:] if fact.position]
        for first in reversed(facts[:-1]):
            last = facts[-1]
            if first.component == last.component and first.position != last.position:
                first.position, last.position = last.position, first.position
                for fact in (first, last):
                    fact.cues.append("corrected")
                return

    def _move_facts(self, focus: list[Fact], places: list[str]) -> None:
        last = [fact for fact in focus if fact.position == focus[-1].position]
        for fact, place in zip(last, places * len(last), strict=False):
            fact.superseded = fact.superseded or f"{fact.position}"
            fact.position = place
            fact.cues.append("corrected")

    def _rename(self, focus: list[Fact], names: list[Target]) -> None:
        for fact in focus:
            component = names[0].component
            if component and not fact.actions:
                self.story.drop(fact)
                fact.superseded = f"{fact.component}"
                fact.component = component
                if names[0].places:
                    fact.position = names[0].places[0]
                self.story.add(fact)

    def _replace_facts(self, focus: list[Fact], said: Said) -> None:
        """A new condition for the same part, or a new statement: the old one goes."""
        if not said.statements:
            return
        for fact in focus:
            if fact.clause >= self.state.clause - 2 and not fact.actions:
                self.story.drop(fact)
                self.state.places = self.state.places or ((fact.position,) if fact.position else None)
        self.state.focus = ()
