"""Clauses become facts. In: the clauses of a talk. Out: facts, and what the talk is about at each word.

One clause at a time: where it moves to, how far it is meant (seen, guessed, told, past, general), which parts it names, what it
says of them, which work. Not allowed to know: limits; whether a finding is good or bad for the visit.
"""

from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses import linking
from fieldnote.extract.clauses.assertion import Mode, assess
from fieldnote.extract.clauses.clause import Clause, is_aside
from fieldnote.extract.clauses.cutting import split
from fieldnote.extract.clauses.said import MENDING, Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.draft import Draft
from fieldnote.extract.facts import (
    acts,
    afterall,
    answering,
    curing,
    declining,
    excepting,
    filing,
    going_on,
    groups,
    hitherto,
    lacking,
    likeness,
    locating,
    moving,
    owning_up,
    places_of_several,
    pointing,
    reasons,
    respective,
    retracting,
    returning,
    spread,
    stating,
    strangers,
    told_of,
    trying,
    unhelped,
    updating,
    verdicts,
    working,
)
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import NOMINAL
from fieldnote.trade.spoken import STRANGER

_I = frozenset({"i", "ive"})
_LOOKED = frozenset("checked tried tested timed ran run lit looked had listened measured sprayed put watched".split())
_COUNTED = 5  # words behind "she says" in which things are counted
_SENTENCE = 25  # words back to where a sentence begins
_SEVERAL = frozenset("two three four five few couple".split())
_THINGS = frozenset("things complaints problems faults issues bits points".split())
_ORDINALS = frozenset(
    "first firstly second secondly third thirdly fourth one two three four last lastly finally".split()
)
_LATELY = 40  # facts among which those of a clause are
_LEADING_ON = frozenset(
    "the all now so right then on to onto and for as moving next those them i we ill shall will lets let us me deal dealing "
    "with do doing take taking start starting begin beginning look looking at go going through".split()
)
_NEXT = frozenset("next now then first together".split())
_IS_SO = frozenset("its theyre shes hes".split())
_OUT = frozenset({"not-holding", "not-lighting"})  # a burner that goes out or does not light


class Reader:
    """Reads one talk."""

    def __init__(self, draft: Draft) -> None:
        self.talk = Talk(draft)
        self.to_tell = 0  # sentences in which what somebody tells may still be counted off
        self.supposed = (-9, Clause())  # the clause that told last what would have been so

    def read(self) -> list[Fact]:
        """All facts of the talk, in the order in which they were said."""
        for clause in split(self.talk.draft.mentions):
            self.talk.state.clause += 1
            before = replace(self.talk.state)
            self._clause(clause)
            if is_aside(clause):
                self.talk.state = replace(before, clause=self.talk.state.clause)
        acts.settle(self.talk.story.facts)
        locating.of_one_burner(self.talk.story.facts)
        return [fact for fact in self.talk.story.facts if fact.component != STRANGER]

    def _clause(self, clause: Clause) -> None:
        if self.talk.new_recording(clause):
            self.talk.begin_anew()
        mode = self._of_a_list(clause, owning_up.admitted(self.talk, clause, assess(clause, self.talk.state.mode)))
        if not mode.past and (self.talk.at_the_same_time(clause) or self.talk.had_done(clause)):
            mode = replace(mode, past=True)
        self.talk.move(clause)
        self.talk.state.mode = mode
        self.talk.contexts(clause)
        if clause.mentions[0].id == "not-of-gas":
            strangers.disowned(self.talk, clause.mentions[0])
        if mode.silent:
            self._unreal(clause, mode)
            return
        at, such = self.supposed
        if at == self.talk.state.clause - 1 and (others := answering.unlike_its_kind(self.talk, clause, such)):
            self.talk.state.focus = tuple(others)
            return
        if hitherto.not_so_then(self.talk, clause):
            return
        unlike = excepting.which_does_not(self.talk, clause)
        if not unlike:
            answering.answered(self.talk, clause)
        answering.forget_it(self.talk, clause)
        said = pointing.settled(self.talk, linking.parse(clause))
        if excepting.heads_a_list(self.talk, clause):
            said.statements = []
        said.statements += unlike
        if clause.joint == "or" and clause.mentions[0].first == "or":
            self._either(said, clause)
        if afterall.only_seemed(self.talk, clause, said) or retracting.taken_back(self.talk, clause, said, mode):
            return
        afterall.something_else(self.talk, clause)
        afterall.meant_elsewhere(self.talk, clause)
        if "swap" in clause.kinds():
            moving.swap(self.talk, clause)
        answering.ruled_out(self.talk, clause, said)
        trying.nothing_found(self.talk, clause, said)
        trying.there_is_none(self.talk, clause, said)
        lacking.none_of_it(self.talk, clause, said)
        excepting.not_among_them(self.talk, clause, said)
        likeness.spelled_out(self.talk, clause, said)
        likeness.and_its_like(self.talk, clause, said)
        likeness.and_its_neighbour(self.talk, clause, said)
        if clause.joint != "pause" and not locating.taken_next(self.talk, clause):
            self.talk.heading = (-9, None)
        locating.only_one(self.talk, clause, said)
        returning.to_the_hob(self.talk, said)
        locating.note_places(self.talk, said)
        locating.note_heading(self.talk, said)
        self.talk.turn_to_side(clause)
        pointing.told_where(self.talk, clause, said)
        spread.told_where(self.talk, clause, said)
        retracting.found_at(self.talk, clause, said)
        returning.the_one_told(self.talk, clause, said)
        returning.back_to_fault(self.talk, clause, said)
        returning.to_a_place(self.talk, clause, said)
        returning.to_a_part(self.talk, clause, said)
        returning.taken_up(self.talk, said)
        groups.those_done(self.talk, clause, said)
        made = self._facts(said, mode)
        going_on.worse_now(self.talk, self.talk.state.focus if made else ())
        respective.respectively(self.talk, clause)
        working.charged(self.talk, clause)
        pointing.told_of_work(self.talk, clause)
        locating.note_work(self.talk, said)
        locating.note_rest(self.talk, said)
        answering.praise_then_but(self.talk, clause)
        likeness.same_but(self.talk, clause)
        afterall.told_otherwise(
            self.talk, clause, [f for f in self.talk.state.focus if f.clause == self.talk.state.clause]
        )
        if clause.named and clause.kinds() <= NOMINAL | {"det", "mark", "and"}:
            last = next(m for m in reversed(clause.mentions) if m.kind in NOMINAL)
            told = last.id in {
                fact.position for fact in self.talk.state.focus
            }  # "rear left flame lifts, rear left, no, ..."
            self.talk.bare = self.talk.state.clause, "" if told else last.kind
        places_of_several.three_of_four(self.talk, self.talk.state.focus if made else ())
        if (
            made
            or clause.named
            or (self.talk.story.facts and self.talk.story.facts[-1].clause == self.talk.state.clause)
        ):
            self.talk.spoken_at = clause.mentions[-1].end

    def _of_a_list(self, clause: Clause, mode: Mode) -> Mode:
        """ "The tenant tells me three things. First, it bangs": what is counted off after it is told by the same person."""
        tokens, start = self.talk.draft.tokens, clause.mentions[0].start
        if mode.reported:
            said = {token.norm for token in tokens[start : clause.mentions[-1].end + _COUNTED]}
            self.to_tell = len(_ORDINALS) if said & _SEVERAL and said & _THINGS else self.to_tell
            return mode
        first = start
        while first and tokens[first - 1].pause != "." and start - first < _SENTENCE:
            first -= 1
        counted = self.to_tell > 0 and tokens[first].norm in _ORDINALS and not any(m.mine for m in clause.mentions)
        self.to_tell -= self.to_tell > 0 and clause.joint == "."
        return replace(mode, reported=True, cues=("report",)) if counted and not mode.silent else mode

    def _unreal(self, clause: Clause, mode: Mode) -> None:
        """What is only supposed is no fact; behind what would have been so may stand that it is not."""
        at, supposed = self.supposed
        made = answering.not_as_it_would_be(self.talk, clause, supposed) if at == self.talk.state.clause - 1 else []
        if made:
            self.talk.state.focus = tuple(made)
        else:
            self.talk.remember(clause)
        told = "unreal" in mode.cues or any(m.id == "habit" for m in clause.mentions)
        self.supposed = (self.talk.state.clause, clause) if told else (-9, clause)

    def _either(self, said: Said, clause: Clause) -> None:
        """ "So the vessel's flat or the valve is passing": one of the two, and nobody knows which."""
        last = [f for f in self.talk.state.focus if f.clause == self.talk.state.clause - 1]
        told = [f for f in last if f.status == "present"]
        named = any(m.kind == "component" for m in clause.mentions)
        faults = [statement for statement in said.statements if not statement.denied and not statement.again]
        if named and any(fact.status == "possible" and fact.condition is None for fact in last):
            for statement in faults:
                statement.hedged = True  # "could be the fan or a blocked flue"
        if not named or not told or not faults or any("ok" in s.condition_ids for s in faults):
            return
        if any(fact.condition in ("ok", "passed", None) or fact.actions for fact in told):
            return
        for fact in told:
            fact.turn("possible", "hedge")
        for statement in faults:
            statement.hedged = True

    def _listed(self, said: Said) -> list[Target]:
        """Places whose figures are told one by one keep the part that heads the list ("thermocouples front left 14, rear 15")."""
        names = self.talk.state.topic[-1].names if self.talk.state.topic else ()
        names = tuple(name for name in names if name.id not in ("burner", "appliance"))
        return [target if target.names else replace(target, names=names) for target in said.subject]

    def _heading(self, said: Said) -> list[Target]:
        """A plural alone heads a list by places ("ffds tested: front left ok")."""
        tried = any(work.kind == "test" for work in said.works)
        plural = [t for t in said.subject if t.names and all(n.note.endswith("s") or n.id == "fsd" for n in t.names)]
        if len(said.subject) == 1 and self._stands_alone(said.subject[0]):
            return [replace(said.subject[0], many=True)]
        return [replace(target, many=True) for target in said.subject] if tried and plural else said.subject

    def _stands_alone(self, target: Target) -> bool:
        """ "Thermocouples. Front left nineteen, fine": nothing but the plural between two pauses."""
        tokens, first = self.talk.draft.tokens, target.start
        while first and tokens[first - 1].norm in _LEADING_ON and not tokens[first - 1].pause:
            first -= 1
        name = tokens[target.end - 1]
        after = tokens[target.end] if target.end < len(tokens) else name
        last = after if after.norm in _NEXT and not name.pause else name
        begins = first == 0 or bool(tokens[first - 1].pause)
        return (
            bool(target.names)
            and begins
            and (bool(last.pause) or last is not name)
            and name.norm.endswith("s")
            and not (name.clitic or target.places)
        )

    def _facts(self, said: Said, mode: Mode) -> bool:
        """The facts of a clause: what is said, the work, then what both change of earlier facts."""
        likeness.wanted_too(self.talk, said)
        likeness.done_too(self.talk, said, mode)
        going_on = unhelped.goes_on(self.talk, said)
        ended = updating.ended(self.talk, said) if said.cured and said.statements else []
        if ended:
            returning.bring_back(self.talk, ended)  # "the leak I stopped by nipping up the gland"
        made = [*ended, *self._stated(said, mode, ended)]
        self._heads_a_list(said, made)
        # "all sparking apart from the front right where"
        last = said.excepted and said.excepted[-1].end >= said.end - 1
        after_all = tuple(said.excepted) if said.excepted and (last or not said.statements) else ()
        if said.cured:  # "all cleaned and working apart from the front left, which is still not sparking"
            left = [one for one in said.statements if one.left_out and one.left_out[-1].end >= said.end - 1]
            after_all = after_all or (tuple(left[-1].left_out) if left else ())
        for work in said.works:
            facts = working.work(self.talk, work, said, [fact for fact in made if fact not in ended], mode)
            made += facts or self._on_what_was_out(work, said, mode)
        updating.stopped(self.talk, said, made)
        if said.works:
            likeness.of_another_cause(self.talk, said, made)
        self._worked_on(said)
        if said.works and said.works[-1].state == "needed":
            self.talk.wanted = (self.talk.state.clause, said.works[-1])
        self.talk.tested = any(job.kind == "test" and job.targets for job in said.works)
        self._turned(said, mode, made, cured_already=bool(ended))
        unhelped.keep(going_on)
        verdicts.told_by_its_part(self.talk, made)
        if made:
            self.talk.state.focus = tuple(dict.fromkeys(made))
        apart = tuple(one for told in said.statements for one in told.left_out if one.end >= said.end - 1)
        self.talk.left_out = (self.talk.state.clause, after_all or apart)
        if after_all:  # "all came up lovely except the rear right, that's pitted"
            self.talk.state.topic, self.talk.state.places, self.talk.state.focus = after_all, after_all[0].places, ()
        return bool(made)

    def _on_what_was_out(self, work: Job, said: Said, mode: Mode) -> list[Fact]:
        """ "Took the injector out and put a new one in": where no fault was told, the work is on what was taken out."""
        out = [job for job in said.works if job.kind == "remove" and job.state == "done" and job.end <= work.start]
        named = [target for target in out[-1].targets if target.names] if out else []
        if work.targets or not named or work.state != "done" or work.kind not in MENDING - {"remove", "refit"}:
            return []
        return working.work(self.talk, replace(work, targets=named), said, [], mode)

    def _stated(self, said: Said, mode: Mode, ended: list[Fact]) -> list[Fact]:
        """Facts of what is said and guessed."""
        made: list[Fact] = []
        over = {fact.condition for fact in ended}
        for statement in said.statements:
            if statement.condition_ids & over or (statement.pointed and stating.spoken_of_before(self.talk, statement)):
                continue
            if updating.heard_nothing(self.talk, statement):
                continue  # "he says it bangs, I've run it and not a murmur"
            if returning.mended_since(self.talk, statement, said):
                continue  # "back to that tap, put a new one in and no bubbles"
            since = self._since_then(said, statement, mode)
            if not since and updating.after_work(self.talk, statement, said):
                said.cured = True  # "brushed it clean"
                continue
            fault_told = mode.complaint or (bool(made) and made[-1].condition != "ok") or self._just_reported()
            fault_told = fault_told or (mode.reported and self._looked_himself(said, statement))
            seen = mode.reported and fault_told and statement.condition_ids == {"ok"}  # "sounded alright to me"
            seen = seen or since  # "was changed in May and runs quietly"
            told = stating.facts_of(self.talk, statement, Mode() if seen else mode)
            reasons.told_after(self.talk, statement, told)
            reasons.explained(self.talk, statement, told)
            curing.done_already(self.talk, statement, told)
            made += told
        likeness.only_in_part(self.talk, said, made)
        made += excepting.does_not(self.talk, said, made, mode)
        made = excepting.left_out_too(self.talk, said, made)
        returning.not_so_after_all(self.talk, made)
        returning.another_was_it(self.talk, made)
        returning.lights_but(self.talk, made)
        returning.same_of_its_part(self.talk, made)
        made = [fact for fact in made if fact in self.talk.story.facts[-_LATELY:]]
        reasons.told_ahead(self.talk, [*ended, *made])
        return [*made, *filing.guesses(self.talk, said, mode)] if said.guessed else made

    def _looked_himself(self, said: Said, statement: Statement) -> bool:
        """ "She says the oven's going cold on her, I've checked the stat, it's fine": what he found, whatever she told."""
        words = [token.norm for token in self.talk.draft.tokens[said.start : statement.head]]
        return any(who in _I and verb in _LOOKED for who, verb in pairwise(words))

    def _since_then(self, said: Said, statement: Statement, mode: Mode) -> bool:
        """Whether a statement in the present tense is joined by "and" to work of another day."""
        worked = any(job.state == "done" and job.end <= statement.head for job in said.works)
        if not (mode.past and worked) or mode.reported or statement.head < 1:
            return False
        verb, joint = self.talk.draft.tokens[statement.head], self.talk.draft.tokens[statement.head - 1]
        if joint.norm in _IS_SO:
            return True  # "that was the electrode and I put one in, it's lighting today"
        return joint.norm in ("and", "but") and verb.norm.endswith("s") and verb.norm not in ("was", "has", "always")

    def _just_reported(self) -> bool:
        """Whether the clause before told a fault that somebody else spoke of: "it's as supple as a glove" gives it the lie."""
        last = self.talk.state.focus[-1] if self.talk.state.focus else None
        told = last is not None and last.status == "reported" and last.condition not in (None, "ok", "passed")
        return told and last is not None and last.clause == self.talk.state.clause - 1

    def _heads_a_list(self, said: Said, made: list[Fact]) -> None:
        """A part or place named alone is what the talk is about from here."""
        whole = [t for t in said.subject if any(not name.note.startswith("weak") for name in t.names)]
        idle = not made and bool(whole)  # "hasn't been lifted in years, and it wouldn't reseat"
        named = any(t.component or t.places or t.appliance or self._stands_alone(t) for t in said.subject)
        alone = len(said.subject) == 1 and self._stands_alone(said.subject[0])  # "I shall deal with the taps together"
        if (said.led and not alone) or not named or (said.statements and not idle):
            return
        listed = said.reading or told_of.listed(self.talk)
        self.talk.state.topic = tuple(self._listed(said) if listed else self._heading(said))
        if said.reading and not said.works:
            self.talk.state.focus = ()

    def _worked_on(self, said: Said) -> None:
        """The part that work was done on last is what the talk is about, unless something is said behind it."""
        out = any(statement.condition_ids & _OUT and not statement.denied for statement in said.statements)
        if out and said.works and said.works[-1].state == "needed":
            return  # "left won't stay lit, needs a thermocouple, right one's fine": the burner is
        jobs = [job for job in said.works if any(target.names for target in job.targets)]
        named = [target for target in jobs[-1].targets if target.names] if jobs else []
        if named and all(s.head < said.works[-1].start or not s.targets for s in said.statements):
            self.talk.state.topic = tuple(named)

    def _turned(self, said: Said, mode: Mode, made: list[Fact], *, cured_already: bool) -> None:
        """What the clause changes of earlier facts: put right, belied, declined, carried out, still so."""
        if said.outcome and not said.cured:
            said.cured = updating.comes_of_work(self.talk, said, made)
            if not (said.cured or mode.reported):
                updating.belied(self.talk)
                made += (
                    updating.lit(self.talk, said)
                    or updating.sparks(self.talk, said)
                    or updating.goes_since(self.talk, said)
                    or updating.opens(self.talk, said)
                )
        if said.carried_out:
            updating.carried_out(self.talk, made, said)
        if said.cured and not cured_already:
            made += updating.lit(self.talk, said) or curing.cured(self.talk, said, made)
            self.talk.fit_now = self.talk.state.clause
        if said.declined:
            declining.declined(self.talk, said, made)
        if said.still:
            going_on.still(self.talk, said, made)
