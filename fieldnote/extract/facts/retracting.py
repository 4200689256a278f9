"""What was just said is taken back, in the slot that is said anew. In: a correcting clause and the talk. Out: facts denied or
dropped, or put right by `moving`. Not allowed to know: how a correction is recognised.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause, had_none
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import locating, owning_up, verdicts
from fieldnote.extract.facts.anew import (
    LATELY,
    all_placed_anew,
    another_part,
    is_the_one,
    named_again,
    part_anew,
    placed_anew,
    work_elsewhere,
)
from fieldnote.extract.facts.moving import (
    but_one,
    move_facts,
    of_another_size,
    rename,
    replace_facts,
    same_elsewhere,
    same_of_another,
    work_anew,
)
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.symptoms import AT_BURNER

_WHILE = 5  # clauses after work within which it is taken back
_SOUGHT = frozenset({"leaking", "noisy", "wet"})  # what is heard or smelt first and then found
_THERE_IS = frozenset("theres there heres here".split())
_HAVE_NOT = frozenset("havent didnt hasnt not never ive".split())
_TAKEN_UP = frozenset("correct not pronoun but det mark now be does own work".split())
_CALLED = frozenset(
    "love chef mate pal dear sir madam missus son lad darling hen duck pet flower boss guv gaffer buddy puss".split()
)
_NEAR = frozenset("end side nearest closest next furthest farthest near by alongside".split())
_BURNERS = frozenset("one burner ring corner place".split())
_FROM = frozenset("behind back wrong other".split())
_ALL_OF_IT = frozenset("everything all lot both".split())
_HESITATING = frozenset({"correct", "mark"})


def taken_back(talk: Talk, clause: Clause, said: Said, mode: Mode) -> bool:
    """Whether a clause only corrects: what it takes back or moves is done, and the places that it clears are kept in mind."""
    told = [(fact, fact.component, fact.position) for fact in talk.story.facts[-LATELY:] if fact.position]
    if clause.kinds() <= _HESITATING:
        for fact in talk.state.focus:  # "it's off, hang on, sorry, no, it's only loose": no time goes by
            fact.clause = talk.state.clause if fact.clause >= talk.state.clause - 1 else fact.clause
    another_part(talk, clause, said)
    done = all_placed_anew(talk, clause, said) or placed_anew(talk, clause, said) or part_anew(talk, clause, said)
    done = done or (mode.corrects and correct(talk, clause, said, mode))
    standing = {id(fact) for fact in talk.story.facts[-LATELY:]}
    cleared = [(part, place) for fact, part, place in told if id(fact) not in standing or fact.position != place]
    if len({part for part, _ in cleared}) == 1:
        talk.cleared = (talk.state.clause, cleared[-1][0], frozenset(place for _, place in cleared if place))
    return done


def correct(talk: Talk, clause: Clause, said: Said, mode: Mode) -> bool:
    """Take back what was just said, in the slot that is said anew. True when nothing is left to do."""
    if any(one.denied and verdicts.of_several(talk, one) for one in said.statements):
        return False  # "the rear two are sound, no, they're not both sound": which one is not is told next
    if _not_that(talk, clause, said):
        return True
    if _only_where(clause, said):
        return True
    if is_the_one(talk, clause, said):
        return False
    focus = [fact for fact in talk.state.focus if fact.clause >= talk.state.clause - 3]
    if _agrees(talk, clause, focus):
        return False
    _not_what_was_said(focus, said)
    anew = talk.bare == (talk.state.clause - 1, _named_first(clause)) and not _as_i_called_it(talk, clause)
    denies = any(one.denied and any(t.names for t in one.targets) for one in said.statements)
    if (
        not focus
        or _points_on(clause)
        or (said.earlier and not _all_of_it(talk, clause))
        or anew
        or denies
        or _of_the_others(said)
        or _besides(clause, said)
        or _to_others(clause)
        or _to_somebody(talk, clause)
        or _of_the_corner_in_talk(talk, focus, said)
        or owning_up.only_hesitates(talk, clause, said, focus)
    ):
        return False  # "that cap I said was cracked", "I mean the other three", "cap cracked, rear left, no, rear right jet"
    if _there_after_all(talk, focus, clause):
        return True
    if owning_up.of_something_else(talk, clause, focus):
        return True
    if mode.takes_all and not said.works:
        for fact in focus:
            talk.story.drop(fact)
        talk.state.focus = ()
        return not said.statements
    if _undone(focus, clause, said, talk):
        return True
    work_elsewhere(focus, clause, said)
    work_anew(talk, focus, said)
    places = [place for target in said.subject for place in target.places or ()]
    names = [target for target in said.subject if target.names and not named_again(focus, target, clause)]
    if but_one(talk, focus, said):
        return False
    sizes = [target.size for target in said.subject if target.size]
    if sizes and not (places or names or said.statements or said.works):
        return of_another_size(talk, focus, sizes[-1], said)
    if places == ["all"] and not names and not any(fact.component in AT_BURNER for fact in focus):
        return False  # "the bayonet I nipped up ... no, I don't do washing machines, right, that's the lot"
    if places and not names and not said.statements:
        move_facts(talk, [*_under_the_heading(talk, clause, focus), *focus], places)
        locating.note_places(talk, said)
        if len(places) == 1:  # "rear left tap sticks, no, it's the rear right, greased it and it's free"
            talk.state.topic = tuple(replace(t, places=(places[0],)) if t.places else t for t in talk.state.topic)
        said.subject = []
        return not (said.works or said.cured)
    if not names and _taken_back(talk, focus, said):
        return not said.works
    if same_elsewhere(talk, focus, said):
        return not said.works
    if same_of_another(talk, focus, said):
        return not (said.statements or said.works)
    if _not_that_part(talk, clause, focus, names) and not said.statements:
        for fact in focus:
            talk.story.drop(fact)
        talk.state.focus = ()
        return not said.works
    if said.statements or names:
        replace_facts(talk, focus, said)
        if names and not said.statements and talk.state.topic:
            locating.note_places(talk, said)
            rename(talk, focus, names)
            return not said.works
    return False


def _all_of_it(talk: Talk, clause: Clause) -> bool:
    """Whether all that was told is put right: "everything I said there is front left"."""
    words = talk.draft.tokens[clause.mentions[0].start : clause.mentions[-1].end]
    return clause.mentions[0].kind == "correct" and bool(_ALL_OF_IT & {token.norm for token in words})


def _under_the_heading(talk: Talk, clause: Clause, focus: Sequence[Fact]) -> list[Fact]:
    """ "Back right, cap cracked and tap stiff, no, that's the wrong one, that's the front left": all that was told of the one
    burner."""
    words = [token.norm for token in talk.draft.tokens[clause.mentions[0].start : clause.mentions[-1].end]]
    wrong = any(a == "wrong" and b in _BURNERS for a, b in pairwise(words)) or _all_of_it(talk, clause)
    wrong = wrong or ("looking" in words and bool(_FROM & set(words)))  # "I'm looking at it from behind"
    carried = len(focus) == 1 and "place-carried" in focus[0].cues
    if not (wrong and carried):
        return []
    told = [f for f in talk.story.facts[-LATELY:] if f is not focus[0] and f.position == focus[0].position]
    return [f for f in told if f.clause >= focus[0].clause - _WHILE and f.component in AT_BURNER]


def _of_the_corner_in_talk(talk: Talk, focus: Sequence[Fact], said: Said) -> bool:
    """ "Front left cap, chipped. Rear left, I keep looking at it, no, it's fine": what was told last is of another corner."""
    here = talk.one_place()
    named = any(target.names or target.places for target in said.subject)
    return here is not None and "-" in here and not named and all(f.position not in (here, None) for f in focus)


def _not_that_part(talk: Talk, clause: Clause, focus: Sequence[Fact], names: Sequence[Target]) -> bool:
    """ "The plug's cracked, no, it's not the plug, it's the socket": what it is instead is no part of ours."""
    first = clause.mentions[0]
    words = {token.norm for token in talk.draft.tokens[first.start : first.end]}
    told = [f for f in focus if f.status == "present" and not f.actions and f.clause >= talk.state.clause - 1]
    same = len(names) == 1 and bool(focus) and all(f.component in {n.id for n in names[0].names} for f in focus)
    return first.kind == "correct" and bool(words & {"not", "isnt"}) and same and told == list(focus)


def _agrees(talk: Talk, clause: Clause, focus: Sequence[Fact]) -> bool:
    """ "Grill won't light, that's what she rang about, and no, it won't": the very verb that told it confirms it."""
    row = [m for m in clause.mentions if m.kind not in ("and", "mark")][:3]
    says_no = [m.kind for m in row] == ["correct", "pronoun", "not"] and row[0].first == "no"
    told = focus[-1] if focus else None
    return says_no and told is not None and row[2].last in {t.norm for t in talk.draft.tokens[told.start : told.end]}


def _only_where(clause: Clause, said: Said) -> bool:
    """ "Sorry, the end nearest the tap": a part is named to say where it is, and nothing is said of it."""
    row = [m for m in clause.mentions if m.kind != "det"]
    named = [at for at, m in enumerate(row) if m.kind == "component"]
    led = [at for at in named if at and row[at - 1].kind == "prep" and not row[at].gap]
    near = [at for at in led if _NEAR & {row[at - 1].first, row[at - 1].last}]
    nothing = not (said.statements or said.works) and not any(m.kind == "place" for m in row)
    return nothing and bool(named) and near == named


def _points_on(clause: Clause) -> bool:
    """ "Spindle's straight. Not that one but the one next to it": the talk goes on to another one."""
    row = [m for m in clause.mentions if m.kind != "det"]
    return len(row) > 1 and (row[0].first, row[0].last, row[1].kind) == ("not", "one", "but")


def _not_what_was_said(focus: list[Fact], said: Said) -> None:
    """ "Cap cracked. Correction, chipped, not cracked": what is denied beside what is so is what was just taken back."""
    so = [one for one in said.statements if not one.denied]
    told = {fact.condition for fact in focus if fact.status == "present"}
    if so:
        said.statements = [
            one for one in said.statements if not (one.denied and one.condition_ids & told and one.head > so[0].head)
        ]


def _as_i_called_it(talk: Talk, clause: Clause) -> bool:
    """ "I say cap, I mean the ring": what was named just before is only the word that is taken back."""
    at = clause.mentions[0].start
    before = [token.norm for token in talk.draft.tokens[max(0, at - 4) : at]]
    return any(pair in (("i", "say"), ("i", "said"), ("i", "called")) for pair in pairwise(before))


def _named_first(clause: Clause) -> str:
    """The kind of what stands right behind the correcting word."""
    # "the rear left, no, it's the rear right cap that's chipped"
    behind = [m for m in clause.mentions if m.kind not in ("det", "mark", "and", "pronoun")]
    return behind[1].kind if len(behind) > 1 and behind[0].kind == "correct" else ""


def _is_here(talk: Talk, clause: Clause) -> bool:
    """ "No wait, it's here", "no, found it": what was missed is found in the same breath."""
    for mention in clause.mentions:
        behind = talk.draft.tokens[mention.end : mention.end + 1]
        it_is = mention.kind == "pronoun" and mention.first in ("its", "hes", "shes", "theyre") and bool(behind)
        if it_is and behind[0].norm in ("here", "there"):
            return True
        found = mention.kind == "be" and mention.first == "found" and bool(behind)
        if found and behind[0].norm in ("it", "him", "them") and not talk.draft.tokens[mention.end - 1].pause:
            return True
    return False


def _there_after_all(talk: Talk, focus: Sequence[Fact], clause: Clause) -> bool:
    """ "No alarm. No, tell a lie, there's one in the hall": what was thought to be missing is there."""
    missing = [fact for fact in focus if fact.condition in ("missing", "not-fitted") and not fact.actions]
    pairs = list(pairwise(m for m in clause.mentions if m.kind != "det"))
    there = any(a.first in _THERE_IS and (b.kind == "one" or b.first == "one") and not b.gap for a, b in pairs)
    if missing and _is_here(talk, clause):
        for fact in missing:
            talk.story.drop(fact)
        talk.state.focus = ()
        return not clause.kinds() & {"condition", "work"}  # "no wait, it's here, it had dropped off its hook"
    if not missing or not there or clause.kinds() & {"not", "no", "condition", "need"}:
        return False
    for fact in missing:
        fact.turn("absent", "own-check")
    return True


def _not_that(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "Tight and squeaky, no not squeaky, just tight": the one fault that is named is taken back, the other stands."""
    denies = any(m.kind == "correct" and m.last == "not" for m in clause.mentions)
    if not denies or len(said.statements) != 1 or said.works or any(t.names for t in said.statements[0].targets):
        return False
    ids = said.statements[0].condition_ids
    last = [f for f in talk.story.facts[-4:] if f.clause >= talk.state.clause - 2 and f.condition in ids]
    for fact in last[-1:]:
        beside = [f for f in talk.story.facts[-4:] if (f.component, f.position) == (fact.component, fact.position)]
        if len(beside) == 1 and fact.status == "present" and not fact.actions:
            fact.turn("absent", "own-check")  # "leaking, no, it's not leaking, that was only soap"
            fact.clause = talk.state.clause
            continue
        talk.story.drop(fact)
        talk.state.focus = tuple(one for one in talk.state.focus if one is not fact)
    return bool(last)


def found_at(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Boiler's dripping, had the case off, it was the pump union": what the whole seemed to have was a part's."""
    last = talk.state.focus[-1] if talk.state.focus else None
    part = next((m for at, m in enumerate(clause.mentions) if _it_was(clause.mentions[max(0, at - 3) : at], m)), None)
    if last and part and clause.joint == "but" and last.status == "possible" and last.component != part.id:
        talk.story.drop(last)
        return  # "I thought it was the pump, but it's the diverter"
    told = last is not None and last.component == "appliance" and last.condition in _SOUGHT
    if last is None or part is None or not told or last.clause < talk.state.clause - 2 or last.status != "present":
        return
    if said.statements or clause.kinds() & {"not", "no", "hedge", "hedge-after", "if", "general"}:
        return
    talk.story.drop(last)
    last.component, last.superseded = part.id, last.superseded or "appliance"
    talk.story.add(last)


def _it_was(row: Sequence[Mention], part: Mention) -> bool:
    """Whether "it was the" stands right before a part."""
    if part.kind != "component" or not part.strong or part.gap or part.pause or len(row) < 2 or row[-1].kind != "det":
        return False
    it = row[-2] if row[-2].kind == "pronoun" else row[0] if row[-2].kind == "be" and len(row) > 2 else None
    is_ = it is not None and (it is not row[-2] or it.first in ("its", "thats"))
    return is_ and it is not None and it.kind == "pronoun" and not row[-1].gap and (it is row[-2] or not row[-2].gap)


def _besides(clause: Clause, said: Said) -> bool:
    """ "Electrode cracked, no, the rear left, its tap's sticking too": one more fault, and nothing is taken back."""
    also = any(m.kind == "also" and m.first in ("too", "also", "as") for m in clause.mentions)
    return also and any(t.names for s in said.statements for t in s.targets)


def _to_others(clause: Clause) -> bool:
    """ "No no, sugar, ta, love, window's no bother": what is said to somebody in the room takes nothing back."""
    row = [m for m in clause.mentions if m.kind not in ("mark", "pause")]
    if len(row) < 2 or row[0].kind != "correct" or row[0].first != "no":
        return False
    noun = row[1] if row[1].kind != "det" else row[2] if len(row) > 2 else row[1]
    return row[1].gap > 1 and noun.kind == "component" and noun.strong


def _to_somebody(talk: Talk, clause: Clause) -> bool:
    """ "No no chef you can't use it": somebody is called by what he is, and told what to do."""
    row = [m for m in clause.mentions if m.kind not in ("mark", "pause")]
    if not row or row[0].kind != "correct" or row[0].first != "no":
        return False
    behind = [token.norm for token in talk.draft.tokens[row[0].end : row[0].end + 2]]
    return behind[:1] != [] and behind[0] in _CALLED


def _of_the_others(said: Said) -> bool:
    """Whether what is said is said of the rest, which leaves standing what was said of the one."""
    return any(t.group == "rest" or t.places == ("others",) for s in said.statements for t in s.targets)


def _undone(focus: list[Fact], clause: Clause, said: Said, talk: Talk) -> bool:
    """ "Greased the stiff tap, no, I haven't yet": the work that was just told has not been done; its fault stands."""
    bare = not (said.statements or said.works or clause.named) and "not" in clause.kinds()
    worked = [fact for fact in focus if fact.worked and fact.clause >= talk.state.clause - 2]
    undone = clause.kinds() <= _TAKEN_UP and any(m.first in _HAVE_NOT for m in clause.mentions)
    if had_none(clause) and not (said.works or clause.named):
        worked = [fact for fact in talk.state.focus if fact.worked and fact.clause >= talk.state.clause - _WHILE]
    elif not (bare and undone):
        return False
    for fact in worked:
        fact.actions = [action for action in fact.actions if action.state != "done"]
        fact.turn("present", "corrected")
        if fact.condition is None and not fact.actions:
            talk.story.drop(fact)
    return bool(worked)


def _taken_back(talk: Talk, focus: list[Fact], said: Said) -> bool:
    """ "The knob's come off, no, it hasn't come off": the very fault just told is denied; what it is instead may follow."""
    ids = {fact.condition for fact in focus if fact.status == "present" and not fact.actions}
    if not said.statements or not all(one.denied and one.condition_ids & ids for one in said.statements):
        return False
    denied = {id_ for one in said.statements for id_ in one.condition_ids}
    for fact in focus:
        if fact.condition in denied:
            fact.turn("absent", "own-check")
            fact.clause = talk.state.clause
    said.statements = []
    return True
