"""What one clause says of what: statements, work, guesses, each with the parts it is said of. In: a clause. Out: `Said`.

A condition looks for its part among the names before it, then behind it; which names fit is known from the trade's limits.
Not allowed to know: earlier clauses.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses import coordinating, heads, jobs, leading
from fieldnote.extract.clauses.attributes import worked_on
from fieldnote.extract.clauses.chunks import chunked
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.comparing import (
    better_now,
    contrast,
    copy,
    done_before,
    either_of,
    like_before,
    mended_since,
    no_longer,
    no_more,
    not_done,
    overruled,
    should_be_another,
    since_work,
    still_reads,
)
from fieldnote.extract.clauses.guessing import (
    guessed,
    guessed_behind,
    guesses_at_its_cause,
    guesses_first,
    part_guesses,
)
from fieldnote.extract.clauses.missing import heads_nothing, none_of_another, not_there, placed, taken_off
from fieldnote.extract.clauses.said import Said, Statement
from fieldnote.extract.clauses.statements import all_but, statement_of, without_what_it_leans_from
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target, both
from fieldnote.extract.clauses.wholes import of_its_whole
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING

_TOGETHER = frozenset("along together as".split())
_ONES = frozenset("ones uns".split())  # "one's"
_WHOLE_ROW = frozenset("all both every each".split())
_EXCEPTED = frozenset("which thats that its it where".split())  # "bar the rear left, that's seized"
_IT = frozenset("it its that thats".split())
# first words of faults that are told as denials
_DENYING = frozenset("dont doesnt didnt wont wouldnt isnt arent not no neither".split())
_THEY = frozenset("them those these two four".split())
_AND_A = 2  # "and a" before what is counted in
_EXACT = frozenset("bang spot dead bob smack right".split())


def moves(mention: Mention, clause: Clause) -> bool:
    """Whether naming an appliance moves the talk to it: not when it stands behind a preposition at the end of a statement."""
    at = clause.mentions.index(mention)
    behind = clause.mentions[:at]
    preps = [m for m in behind if m.kind == "prep"]
    if preps and any(m.kind in ("condition", "component", "work") for m in behind):
        return False
    return not (_counted_in(at, clause) or any(m.kind in ("if", "general") for m in behind))


def _counted_in(at: int, clause: Clause) -> bool:
    """ "Four rings and an oven": what a cooker consists of, told before anything is said of it."""
    row = clause.mentions
    lead = row[at - _AND_A : at] if at >= _AND_A else []
    having = [m.kind for m in lead] == ["prep", "det"] and lead[0].first == "with"  # "a hob with a grill under it"
    two = lead[-1:] != [] and lead[-1].kind == "and" and row[at].gap == 1 and row[at].last in ("ovens", "grills")
    if two and any(m.kind == "appliance" for m in row[: at - 1]):
        return True  # "a range cooker, six burners and two ovens"
    if row[at].id not in ("oven", "grill") or not (having or [m.kind for m in lead] == ["and", "det"]):
        return False
    article = row[at - 1].first in ("a", "an") and not (row[at].pause or row[at - 1].gap)
    after = row[at + 1] if at + 1 < len(row) else None
    said = after is not None and after.kind in ("be", "which", "condition", "component", "place") and not after.pause
    return article and row[at].gap <= 1 and not said and any(m.kind == "appliance" for m in row[: at - 1])


def parse(clause: Clause) -> Said:
    """What a clause says."""
    return _Parse(clause).said()


def _worked_on_one(at: int, clause: Clause) -> bool:
    """Whether a mention is not "one", or "one" that closes what was done ("I've put in for one, back left's fine")."""
    if clause.mentions[at].kind != "one":
        return True
    before, after = clause.mentions[at - 1 : at], clause.mentions[at + 1 : at + 2]
    closes = bool(after) and after[0].kind == "place" and not after[0].led
    return closes and not (before and before[0].kind in NOMINAL | {"det", "and"})


class _Parse:
    """One clause on its way to what it says: `lead` are the names before anything is said, `chunks` each thing said with the
    cues before it and the names behind it."""

    def __init__(self, clause: Clause) -> None:
        self.clause = clause
        self.lead, self.chunks = chunked(clause)
        self.kinds = clause.kinds() | contrast(clause)
        if "one" in self.kinds and all(_worked_on_one(at, clause) for at in range(len(clause.mentions))):
            self.kinds -= {"one"}
        self.out = Said(start=clause.mentions[0].start, end=clause.mentions[-1].end)
        self.left_out: list[Target] = []
        self.guess = next((m.start for m in reversed(clause.mentions) if m.kind == "hedge-after"), 0)
        self.guessed = max((at for at, (head, _, _) in enumerate(self.chunks) if head.start < self.guess), default=-1)
        self.fronted = guesses_first(clause)
        if self.guess and self.chunks and guesses_at_its_cause(clause, self.lead, self.chunks[self.guessed][0]):
            self.guessed = -1

    def said(self) -> Said:
        """All of it: the subject, what is said of it, the work, then what only the whole clause shows."""
        self._subject()
        self._turns()
        for at in range(len(self.chunks)):
            self._chunk(at)
        self._works_unsaid()
        self._statements_together()
        self._statements_unsaid()
        if not (self.out.works or self.out.cured or "now" in self.kinds):
            self.out.statements = [out for out in self.out.statements if not overruled(out, self.out.statements)]
        return self.out

    def _subject(self) -> None:
        """The names before anything is said, without those behind "bar"."""
        self.lead = leading.meant(self.lead, self.clause)
        if self.chunks and self.chunks[0][0].kind == "condition":
            self.lead = of_its_whole(self.lead, self.chunks[0][0], self.chunks[0][2])
        bar = next((i for i, mention in enumerate(self.lead) if mention.kind == "except"), None)
        left_out = targets(self.lead[bar + 1 :]) if bar is not None else []
        named = targets(self.lead[:bar])
        if bar is not None and not named and self.lead[bar].first == "all":
            named = [
                Target(tuple(n for t in left_out for n in t.names), ("all",))
            ]  # "all but the front left are blocked"
        named = [_all_of_them(target, self.clause) for target in named]
        subject = [all_but(target, left_out) for target in named]
        if bar is not None and self._tells_the_one(bar, named):
            subject, left_out = [t for t in left_out if t.names or t.places], []
        if any(m.first == "where" for m in self.lead[(bar or 0) :]) and any(t.names for t in left_out):
            subject, left_out = (
                left_out,
                [],
            )  # "sparks at all of them except the rear left where the electrode's broken"
        names = next((t.names for t in subject if t.names), ())
        self.out.subject, self.left_out = subject, left_out
        self.out.excepted = [replace(out, names=out.names or names) for out in left_out]
        self.out.led = next((m.kind for m in self.lead if m.kind not in ("and", "or")), "") == "prep"

    def _tells_the_one(self, bar: int, named: Sequence[Target]) -> bool:
        """ "Tidy hob, bar one: front right, tap's stiff": the fault is that of the one."""
        one = [m.kind for m in self.lead[bar + 1 : bar + 2]] == ["one"] and len(self.lead) > bar + 2
        fault = bool(self.chunks) and self.chunks[0][0].kind == "condition" and not self.chunks[0][0].fit
        return one and fault and not any(t.names or t.places for t in named)

    def _turns(self) -> None:
        """What the clause changes of what was said before: put right, still so, declined, carried out, of an earlier day."""
        out, kinds, clause = self.out, self.kinds, self.clause
        out.earlier, out.declined = "earlier" in kinds, "decline" in kinds
        out.carried_out, out.reading = "carried-out" in kinds, "reading" in kinds
        out.against = clause.joint == "but"
        out.outcome = "outcome" in kinds and not kinds & {"hedge", "report", "need"}
        out.cured = ("cured" in kinds and not out.declined) or better_now(clause) or no_more(clause)
        out.cured = out.cured or (out.outcome and "now" in kinds)
        heads_ = [head for head, _, _ in self.chunks]
        out.still = "still" in kinds and not any(head.fit for head in heads_) and not still_reads(clause)
        out.still = (out.still and not mended_since(clause)) or any(
            head.first == "still" and head.kind == "condition" and not head.fit and any(h.done for h in heads_[:at])
            for at, head in enumerate(heads_)
            if not any(h.done for h in heads_[at + 1 :] if h.senses[0].id != "order")
        )  # "nipped it up, still passing"
        out.still = out.still or self._again()

    def _again(self) -> bool:
        """ "Stripped it, cleaned it, stuck again": the fault came back after the work of the same breath."""
        row = self.clause.mentions
        for at, again in enumerate(row[1:], 1):
            fault = row[at - 1]
            if again.kind == "now" and again.first == "again" and fault.kind == "condition" and not fault.fit:
                return not again.gap and any(m.done for m in row[:at]) and not any(m.done for m in row[at:])
        return False

    def _chunk(self, at: int) -> None:
        """One thing said."""
        head, flags, tail = self.chunks[at]
        before = self.chunks[at - 1][0] if at and not flags else None
        if before is not None and (heads.goes_on(before, head) or heads.praised(before, head)):
            return  # "sparks fine" says it once
        told = self.out.statements and before is not None and self.out.statements[-1].head == before.start
        if told and before is not None and heads.only_praises(before, head):
            self.out.statements.pop()
        parted = bool(at) and any(
            m.kind == "except" for m in self.chunks[at - 1][2]
        )  # "none cracked bar that one's split"
        same = heads.said_twice(before, head) if before is not None and self.out.statements and not parted else ()
        if same and before is not None and heads.of_the_cause(head, self.clause):
            same = (*same, *(sense for sense in before.senses if sense not in same))  # "furred with black muck"
            if {sense.id for sense in before.senses} == {"blocked"}:
                same = tuple(sense for sense in same if sense.id != "partly-blocked")  # "blocked with a bit of foil"
        if same:
            if self.out.subject or not any(m.kind == "component" for m in tail):
                self.out.statements[-1].senses = same
                return
            self.out.statements.pop()  # "stuffed cling film over both air bricks"
            flags = self.chunks[at - 1][1]
        all_but = any(m.kind == "except" for m in tail)  # "twenty millibar, all fine bar the pump"
        if head.fit and not all_but and _of_a_figure(head, self.clause, self.out.subject):
            return  # "twenty millibar bang on"
        if head.kind == "condition":
            self._condition(at, head, flags, tail, same)
        elif head.kind in ("same", "no-after"):
            subject = _same_with(head, tail, self.out.subject) or self.out.subject
            self.out.statements.append(copy(head, flags, tail, subject, self.kinds))
        elif head.kind == "work" and not self._no_work(at, head, flags):
            wanted = self._wanted_with(at, flags)
            if wanted and self.out.statements:
                self.out.statements.pop()
            self._work(head, flags, tail)
            if wanted:
                self.out.works[-1].state = "needed"

    def _wanted_with(self, at: int, flags: list[Mention]) -> bool:
        """ "Knob's going to have to be broken off and replaced": what is to be done is told in two words, one of a fault."""
        if not at or [m.kind for m in flags] != ["and"] or flags[0].first != "and" or flags[0].gap:
            return False
        fault, before, tail = self.chunks[at - 1]
        needs = [m for m in before if m.kind == "need"]
        return (
            fault.kind == "condition"
            and bool(needs)
            and needs[-1].last == "be"
            and needs[-1].end == fault.start
            and not tail
        )

    def _condition(
        self, at: int, head: Mention, flags: list[Mention], tail: list[Mention], same: tuple[Sense, ...]
    ) -> None:
        clause, said = self.clause, self.out
        if head.first in _IT and head.last == "gone" and done_before(head, clause, flags):
            said.cured = True  # "changed the washer and it's gone"
            return
        if head.fit and _what_was_got(head, clause):
            return
        around = heads.of_the_cause(head, clause) or heads.circumstance(head, clause)
        if around or heads.sounds_fit(head, self.chunks[at + 1 : at + 2]):
            return
        if said.works and worked_on(clause.mentions.index(head), clause.mentions):
            said.works[-1].points_at = statement_of(head, flags, tail, [], self.kinds, at == self.guessed)
            return
        if at + 1 < len(self.chunks) and heads.goes_on(head, self.chunks[at + 1][0]):
            named = any(target.names for target in said.subject)
            head, tail = heads.fit_alone(head, self.chunks[at + 1][0], named), [*tail, *self.chunks[at + 1][2]]
        tail = without_what_it_leans_from(head, jobs.without_its_cure(head, tail, clause))
        tail = jobs.without_what_comes(head, tail, clause)
        if head.last == "off" and any(m.kind == "place" for m in tail[:2]) and _off_what(head, tail, said.subject):
            tail = [m for m in tail if m.kind != "component"]  # "lead off the rear left electrode": where it was on
        reached = _reaches(clause, head) and not none_of_another(head, clause)
        mine = self.kinds if reached else self.kinds - {"no-after"}
        guessed = at == self.guessed or (at == 0 and self.fronted and not head.fit)
        statement = statement_of(head, flags, tail, said.subject, mine, guessed)
        statement.senses = same or statement.senses
        if any(flag.id == "old-one" for flag in flags):
            statement.cues.append("old-one")
        if no_longer(head, clause, flags):
            statement.cues.append("no-longer")
        if at and not (flags or head.fit) and jobs.may_have_been(*self.chunks[at - 1][:2]):
            statement.hedged = True
            statement.cues.append("hedge")
        if since_work(head, clause):
            statement.cues.append("since-work")
        if head.fit and any(m.kind == "but" and m.start < head.start for m in clause.mentions) and statement.pronoun:
            statement.cues.append("still")  # "the pump rattles but it's shifting water"
        shows = statement.condition_ids & SHOWING
        if not statement.targets and "still" in statement.cues and not (head.fit or shows) and said.works:
            statement.targets = [t for t in said.works[-1].targets if t.names]  # "tightened the gland, still bubbling"
        unnamed = not any(m.kind in NOMINAL for m in tail)
        its_own = jobs.its_yield(head, clause) or (not statement.targets and jobs.told_behind(head, clause))
        if said.works and said.works[-1].targets and unnamed and its_own:
            if said.statements and said.statements[-1].targets is said.works[-1].targets:
                return  # "two handfuls of soot and a dead starling"
            statement.targets = said.works[-1].targets
        if said.statements and _more_of_it(statement, said):
            statement.targets = said.statements[-1].targets
        seen = any(flag.kind == "own" and flag.first == "and" and flag.last in ("was", "is") for flag in flags)
        if seen and not statement.targets and said.works and not any(m.kind in NOMINAL for m in tail):
            statement.targets = [
                t for t in said.works[-1].targets if t.names
            ]  # "whipped the jet out and it was blocked"
        statement.pointed = bool(flags) and flags[-1].kind == "earlier" and head.start == flags[-1].end
        said.statements.append(statement)
        alone = not any(m.kind in NOMINAL for m in tail)  # "bar the wok, bit of yellow in that"
        bare = said.statements[-2].left_out if len(said.statements) > 1 and alone else []
        at_it = [m for m in clause.mentions if m.end <= head.start][-1:]  # "bar the front left, that one's split"
        that_one = bool(at_it) and at_it[0].kind in NOMINAL and at_it[0].clitic and at_it[0].last in _ONES
        taken_up = that_one or any(flag.kind == "pronoun" and flag.first in _EXCEPTED for flag in flags)
        taken_up = taken_up or (bool(at_it) and self._behind_the_excepted(at_it[0], head))
        if bare or (self.left_out and taken_up):
            coordinating.of_the_excepted(said, bare or self.left_out)

    def _behind_the_excepted(self, before: Mention, head: Mention) -> bool:
        """ "Knobs are all there bar the back right, gone": behind a pause, it is said of the one left out."""
        out = [t for t in self.left_out if t.end == before.end]
        return bool(out) and bool(head.pause) and not (head.gap or head.fit) and head.first not in _WHOLE_ROW

    def _no_work(self, at: int, head: Mention, flags: list[Mention]) -> bool:
        """Whether words of work tell of none: undone, asked for, only recalled, told to somebody."""
        if self.clause.mentions[-1].id in ("no-answer", "none-answer"):
            return True
        recalled = jobs.recalled(head, self.clause) or jobs.its_purpose(head, flags, self.chunks[:at])
        undone = jobs.undone(head, flags) or jobs.as_it_stood(head, self.clause)
        return undone or recalled or jobs.told_to(head, flags, self.chunks[:at])

    def _work(self, head: Mention, flags: list[Mention], tail: list[Mention]) -> None:
        said, job = self.out, jobs.job_of(head, flags, tail, self.kinds)
        if job.state == "done" and jobs.had_done(head, self.clause):
            job.state = "declined"
        if job.state == "done" and jobs.put_down_for(head, self.clause, tail):
            job.state = "needed"
        before = said.works[-1] if head.senses[0].note == "ing" and said.works else None
        if head.senses[0].note == "bare" and said.works and said.works[-1].kind == "advise" and head.gap == 0:
            before = said.works[-1]  # "advised new pump"
        if before and (before.state == "needed" or before.kind == "advise"):
            job.state = "needed"  # "needs packing out and lining up", "advised replacing it"
        if tail and tail[0].kind == "and" and tail[0].first in _TOGETHER and said.subject:
            job.targets = [*said.subject, *targets(tail[1:])]  # "electrodes renewed along with the seals"
        one_place = len(said.subject) == 1 and len(said.subject[0].places or ()) == 1
        among = [] if head.crowd and one_place else said.subject  # "rear right's the same, put two new taps on"
        job.targets = [placed(t, among) for t in job.targets if not _is_the_spark(t)]
        job.many = jobs.several(head, self.clause)
        job.figure = said.reading
        job.state_of = jobs.describes(head, self.clause)
        job.kinds = frozenset(sense.id for sense in head.senses)
        job.bare = head.senses[0].note == "bare"
        job.pronoun = any(m.kind == "pronoun" for m in jobs.following(head, self.clause))
        out = said.works[-1] if said.works else None
        if job.kind == "refit" and out is not None and (out.kind, out.state, job.state) == ("remove", "done", "done"):
            job.targets = job.targets or out.targets
            said.works.pop()  # "took it off and put it back"
        said.works.append(job)

    def _works_unsaid(self) -> None:
        """Work that is in no word of work ("it wants a new cap"), and what it is to be done on."""
        said = self.out
        if not said.works and not said.subject and not said.statements:
            said.subject = not_done(self.chunks)
        if not said.works and (wanted := jobs.needs_a_part(self.clause)):
            said.works.append(wanted)
        if not said.works and (wanted := jobs.what_it_needs(self.clause)):
            said.works.append(wanted)
        if not said.works and not said.statements and (fitted := jobs.had_fitted(self.clause)):
            said.works.append(fitted)
        if not said.works and (renewed := jobs.renewed_before(self.clause)):
            said.works.append(renewed)
        if not said.works:
            conditions = [head for head, _, _ in self.chunks if head.kind == "condition"]
            said.works += [job for head in conditions if (job := jobs.wanted_in(head))]

    def _statements_together(self) -> None:
        """What the statements of a clause lend one another: exceptions, days, denials, names, places told in order."""
        said, kinds = self.out, self.kinds
        if self.left_out and said.statements:
            said.statements[-1].left_out = self.left_out
        if any(m.kind == "except" for m in self.clause.mentions):
            coordinating.of_the_pair(said, self.lead)
            coordinating.at_the_excepted(said)
        if heads_nothing(self.clause):
            said.statements = []
        if said.earlier:
            for out in said.statements:
                out.cues.append("earlier")
        if any(mention.first == "neither" for mention in self.clause.mentions):
            for out in said.statements:  # "neither of the right ones"
                out.targets = [replace(t, places=both(t.places)) if t.places else t for t in out.targets]
        coordinating.coordinate(said, self.chunks)
        if "in-order" in kinds or len(said.statements) > 2:
            coordinating.in_order(said)
        if said.statements and "or" in kinds and ("hedge" in kinds or either_of(self.lead, self.chunks)):
            part_guesses(said, self.lead)

    def _statements_unsaid(self) -> None:
        """What is said without a word for it: by likeness, by what should be there, by what is not there, by a guess."""
        said, clause, hedged = self.out, self.clause, "hedge" in self.kinds
        told = clause.mentions.index(self.chunks[0][0]) if self.chunks else len(clause.mentions)
        if not said.statements and not hedged and said.subject:
            said.statements += like_before(clause, clause.mentions[:told], said.subject)
        if not said.statements and (wrong := should_be_another(clause, said.subject)):
            said.statements.append(wrong)
        if not said.statements and (absent := not_there(clause) or taken_off(clause, said.works)):
            said.statements.append(absent)
        wanted = any(work.state == "needed" and work.targets for work in said.works)  # "I reckon it needs a new fan"
        if hedged and not said.statements and not wanted:
            said.guessed = guessed(clause) or guessed_behind(clause, said.subject) or _might_be_it(clause, said.subject)
        elif not said.statements and not said.works and (two := _one_of_two(clause, said.subject)):
            said.guessed = two
        elif self.guess and not said.statements:
            said.guessed = [target for target in said.subject if target.names]


def _off_what(head: Mention, tail: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether what stands behind "off" only says what it was on: "lead's come off the front right electrode"."""
    leads = any(name.id == "ht-lead" for target in subject for name in target.names)
    return head.first == "off" or (leads and all(m.id == "electrode" for m in tail if m.kind == "component"))


def _all_of_them(target: Target, clause: Clause) -> Target:
    """ "The taps, they're all heavy": a pronoun takes up a plural and counts it."""
    them = any(m.kind == "them" and m.last == "all" and 0 <= m.start - target.end <= 1 for m in clause.mentions)
    bare = not (target.places or target.group or target.size) and any(n.note.endswith("s") for n in target.names)
    at_burners = any(name.id in AT_BURNER for name in target.names)
    return replace(target, places=("all",)) if them and bare and at_burners else target


def _one_of_two(clause: Clause, subject: Sequence[Target]) -> list[Target]:
    """ "It's the thermocouple or the magnet": one of the two, and nobody knows which."""
    row = [m for m in clause.mentions if m.kind not in ("det", "and", "but", "mark")]
    kinds = [m.kind for m in row[:4]]
    it_is = kinds in (["pronoun", "component", "or", "component"], ["pronoun", "be", "component", "or"])
    told = it_is and row[0].first in ("its", "it", "thats") and not any(m.gap > 1 for m in row[1:4])
    return [target for target in subject if target.names][:2] if told else []


def _is_the_spark(target: Target) -> bool:
    """ "Joined on a new lead and the spark came back": what a part makes is not worked on."""
    return bool(target.names) and all(n.id == "electrode" and n.note.startswith("weak-the") for n in target.names)


def _what_was_got(head: Mention, clause: Clause) -> bool:
    """ "I've ordered the right size", "fitted the right one": what is put in, and no verdict on what was there."""
    at = clause.mentions.index(head)
    before = clause.mentions[at - 1] if at else None
    got = before is not None and before.kind == "work" and before.senses[0].id in ("order", "replace")
    return (
        got and head.first == "the" and head.last in ("one", "ones", "size", "sort", "type", "part") and not head.pause
    )


def _more_of_it(statement: Statement, said: Said) -> bool:
    """ "There's a nest in the throat of it, stuffed solid": the same again, of the part that was named behind what was said."""
    last = said.statements[-1]
    again = last.condition_ids & statement.condition_ids - {"ok", "passed"} and last.denied == statement.denied
    return bool(again) and last.own and not statement.own and statement.targets == said.subject


def _reaches(clause: Clause, head: Mention) -> bool:
    """Whether a denial behind its part reaches a condition: not over a pronoun ("none there ... it's got a blocked jet"), nor
    where it says again what was denied ("they don't spark, neither of them")."""
    return any(
        m.kind == "no-after"
        and not (head.first in _DENYING and m.last in _THEY)
        and not any(out.kind == "except" and head.end <= out.start < m.start for out in clause.mentions)
        and (m.start >= head.start or not any(_anew(p) and m.end <= p.start < head.start for p in clause.mentions))
        for m in clause.mentions
    )


def _anew(mention: Mention) -> bool:
    """Whether a word opens what is said of something else: "nothing there at all, lead's off"."""
    return mention.kind == "pronoun" or (mention.kind == "component" and mention.clitic)


def _of_a_figure(head: Mention, clause: Clause, subject: Sequence[Target]) -> bool:
    """Whether "bang on" is said of the figure right before, and no part is named."""
    at = clause.mentions.index(head)
    figure = at > 0 and clause.mentions[at - 1].kind == "reading" and not head.gap and not head.pause
    exact = head.last == "on" and head.first in _EXACT  # "the front right I clocked at thirty bang on"
    return figure and not any(t.names or (t.places and not exact) for t in subject)


def _same_with(head: Mention, tail: list[Mention], subject: list[Target]) -> list[Target]:
    """ "Boiler two, same again with the fan and the trap": the parts of which the same is told stand behind."""
    whole = bool(subject) and all(not target.names for target in subject)
    led = head.kind == "same" and bool(tail) and tail[0].first == "with"
    parts = targets(tail) if whole and led else []
    return parts if all(target.names for target in parts) else []


def _might_be_it(clause: Clause, subject: Sequence[Target]) -> list[Target]:
    """ "As for the diverter, the water's only tepid, which might be it": the part that was named before."""
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "hedge")
    row, behind = clause.mentions[at + 1 :], clause.mentions[at]
    it = len(row) == 1 and row[0].kind == "pronoun" and row[0].first == "it" and not row[0].gap
    named = [target for target in subject if target.names and target.end <= behind.start]
    return named[-1:] if it else []
