"""What was told or thought of a part is not so after all: "looking closer, that's only a hair", "I had expected it to be stiff",
"no, rear right's fine". In: a clause, the facts it made, the talk. Out: facts dropped or turned.

Not allowed to know: words that take back a place or a name, which are in `retracting`.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.tokens import Token

_LATELY = 3  # clauses back to what is told otherwise
_THINKING = 8  # words from "I thought" to what was thought
_TOLD = 24  # facts back to what is told of another part now
_NOT = frozenset({"isnt", "not", "wasnt"})
_THAT_IS = frozenset({"its", "thats"})
_CLEFT = 4  # words back to "it's not the"
_ARTICLES = frozenset("the its that this".split())
_DENYING = 12  # words from a denial to what is meant
_FIT = frozenset({"ok", "passed"})
_IT = frozenset("its thats it that theyre theres this these they".split())
_ONLY = frozenset("only just jist merely simply nobbut".split())
_THOUGHT = frozenset("thought think wondered".split())
_LEADING = _ONLY | frozenset(
    "is was are were being a an some the nothing but more than really actually bit of old little wee thin faint surface "
    "pencil felt tip casting mould burnt dried cat dog sauce tomato".split()
)
_SLIGHT = frozenset("scratch scratches scuff scuffs dent".split())  # a fault, and a lesser one
# what is on a part, or falls on it, and is no fault of it
_HARMLESS = frozenset(
    "mark marks hair hairs line lines shadow shadows reflection glare smear smears smudge "
    "smudges crumb crumbs thread threads fluff lint sticker label pen ink paint stain stains seam light cobweb crease "
    "creases fold".split()
)
# what is seen or heard, and taken for a fault of a part
_TAKEN_FOR = {
    "leaking": frozenset(
        "condensation condensate rain rainwater soap suds splash splashes steam sweat sweating water washing mop wind".split()
    ),
    "noisy": frozenset(
        "wind radio telly fridge freezer extractor traffic kettle neighbours washer pipes pipe road lorry".split()
    ),
}
_SECOND_LOOK = frozenset(
    "reflection closer look looking looked wiped wipe wiping rubbed rub cleaned clean actually thoughts fact torch glasses "
    "specs light no sorry wait hang".split()
)
# what the eye takes a mark for
_SEEN = frozenset("cracked broken chipped damaged burnt corroded worn perished kinked distorted enlarged".split())
_FOULED = frozenset({"dirty", "sooted"})
_EXPECTED = frozenset("expected expecting thought assumed".split())
_WHERE = frozenset("of on in from stuck where".split())
_LOOKED = frozenset("looked look tried try checked check tested sprayed felt went".split())
_ANEW = {
    ("another", "look"),
    ("second", "look"),
    ("closer", "look"),
    ("proper", "look"),
    ("better", "look"),
    ("another", "go"),
}
_BEFORE = 10  # words in which a second look is told
_REACH = 6  # words from "it's" to what it is


def told_otherwise(talk: Talk, clause: Clause, made: Sequence[Fact]) -> None:
    """Facts of the last clauses that those of this one take the place of."""
    if made:
        _only_expected(talk)
    for fact in made:
        before = _same_part(talk, fact)
        if before is not None and (_no_fine(clause, before, fact) or _only_thought(talk, clause, before, fact)):
            fact.superseded = fact.superseded or f"{before.condition}, {before.status}"
            talk.story.drop(before)
    _not_that_one(talk, made)
    for fact in [*made, *talk.state.focus]:
        states = {action.state for action in fact.actions}
        if fact.status == "resolved" and fact.condition and states == {"declined"}:
            fact.turn("present", "declined")  # "he's changing it now. No, he's not, she doesn't want it changing"


def _not_that_one(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Fan's noisy. No, it isn't the fan that's noisy, it's the pump": what was told of the one is not so."""
    for fact in made:
        if fact.condition in (None, *_FIT):
            continue
        _the_other_was_not(talk, fact)
        row = talk.draft.tokens[max(0, fact.start - _DENYING) : fact.end]
        denied = {id_ for at, token in enumerate(row[:-2]) if token.norm in _NOT for id_ in _named(row, at + 1)}
        for before in talk.story.facts[-_THINKING:] if denied - {fact.component} else []:
            same = (
                before.component in denied and before.condition == fact.condition and before.component != fact.component
            )
            if same and before.clause >= talk.state.clause - _LATELY and before.status in OPEN and not before.actions:
                fact.superseded = fact.superseded or f"{before.component}"
                talk.story.drop(before)
                _not_fit(talk, fact)


def _the_other_was_not(talk: Talk, fact: Fact) -> None:
    """ "Tap stiff, greased. ... It was the spindle that was stiff, not the tap": what was told of the other is told of this."""
    behind = talk.draft.tokens[fact.end : fact.end + len(("not", "the", "tap", "proper"))]
    told = len(behind) > len(("not", "the")) and behind[0].norm == "not"
    if not told or talk.draft.tokens[fact.end - 1].pause == ".":
        return
    denied = _named(behind, 1) - {fact.component}
    for before in reversed(talk.story.facts[-_TOLD:]):
        same = (before.position, before.condition) == (fact.position, fact.condition) and before.component in denied
        if same and before is not fact:
            fact.superseded, fact.actions = fact.superseded or f"{before.component}", [*before.actions, *fact.actions]
            if before.status == "resolved":
                fact.turn("resolved", "corrected")
            talk.story.drop(before)
            return


def _not_fit(talk: Talk, fact: Fact) -> None:
    """ "Pump's all right. No, I tell a lie, it's the pump that's noisy": the praise of what it is goes too."""
    for before in talk.story.facts[-_THINKING:]:
        same = (before.component, before.position) == (fact.component, fact.position)
        if same and before.condition in _FIT and before.clause >= talk.state.clause - _LATELY:
            talk.story.drop(before)


def _named(row: Sequence[Token], at: int) -> set[str]:
    """What the part is called that stands behind a denial and its article."""
    hit = lexicon().at(row, at + 1) if row[at].norm in _ARTICLES else None
    return {sense.id for sense in hit.values if sense.kind == "component"} if hit else set()


def _same_part(talk: Talk, fact: Fact) -> Fact | None:
    """What was told last of the same part at the same place, and is open."""
    for before in reversed(talk.story.facts[-_THINKING:]):
        same = (before.component, before.position, before.appliance) == (fact.component, fact.position, fact.appliance)
        if before is not fact and same and before.clause >= talk.state.clause - _LATELY and before.condition:
            return before if before.status in ("present", "possible") and not before.actions else None
    return None


def _no_fine(clause: Clause, before: Fact, fact: Fact) -> bool:
    """ "Rear right's split as well, no, rear right's fine"."""
    first = next((m for m in clause.mentions if m.kind not in ("mark", "det")), clause.mentions[0])
    said_no = first.kind in ("correct", "deny") and first.first == "no"
    return said_no and fact.condition in _FIT and before.condition not in _FIT and fact.status == before.status


def _only_thought(talk: Talk, clause: Clause, before: Fact, fact: Fact) -> bool:
    """ "I thought the cap was dirty, but it's cracked": what was thought first and then seen to be another fault."""
    words = [token.norm for token in talk.draft.tokens[max(0, before.start - _THINKING) : before.end]]
    but = clause.joint == "but" or any(m.kind == "but" for m in clause.mentions)
    return but and "thought" in words and fact.condition not in (None, before.condition) and fact.status == "present"


def only_seemed(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "The cap's cracked, no, hang on, that's just a mark": the fault that was told last is taken back. True when nothing
    else is said."""
    fault = talk.state.focus[-1] if len(talk.state.focus) == 1 else None
    if fault is None or fault.actions or fault.clause < talk.state.clause - 3 or fault.status == "historical":
        return False
    if (
        fault.status != "reported"
        and fault.condition not in (None, "failed", *_FIT)
        and _fit_at_second_look(talk, said, fault)
    ):
        fault.turn("absent", "own-check")
        return True
    if fault.condition not in _SEEN:
        return False
    if _lesser(talk, said, fault):
        talk.story.drop(fault)
        return False
    end = _a_mark(talk, clause, looked_at="earlier" in fault.cues or fault.status == "possible")
    if not end:
        return False
    words = {token.norm for token in talk.draft.tokens[max(0, fault.start - _THINKING) : fault.start]}
    if fault.status == "possible" and words & _THOUGHT:
        fault.turn("absent", "own-check")  # "I did think the seal was split but it was just a crease"
    else:
        talk.story.drop(fault)
    name = Sense("component", str(fault.component), None, "strong")
    talk.state.focus, talk.state.topic = (), (Target((name,), (fault.position,) if fault.position else None),)
    said.statements = [one for one in said.statements if one.head >= end]
    return not (said.statements or said.works)


def something_else(talk: Talk, clause: Clause) -> None:
    """ "The relief valve I thought was leaking but it's only condensation off the pipe": what it comes from is named, and it is
    no fault of the part."""
    tokens = talk.draft.tokens
    for it in (m for m in clause.mentions if m.kind == "pronoun" and m.first in _IT):
        words = [token.norm for token in tokens[it.start + 1 : it.start + 1 + _REACH]]
        only = next((at for at, word in enumerate(words[:2]) if word in _ONLY), None)
        if only is None or not set(words[:only]) <= {"is", "was", "being"}:
            continue  # "it might just be condensation"
        for fact in talk.state.focus:
            taken_for = _TAKEN_FOR.get(str(fact.condition), frozenset())
            if fact.status in ("possible", "reported") and taken_for & set(words[only : only + 4]):
                fact.turn("absent", "own-check")


def meant_elsewhere(talk: Talk, clause: Clause) -> None:
    """ "It's not the rear right knob that's missing, it's the front left": the fault is that of the other one."""
    row = [m for m in clause.mentions if m.kind not in ("det", "mark", "and", "but", "one")]
    denied = talk.state.focus[-1] if len(talk.state.focus) == 1 else None
    if denied is None or [m.kind for m in row] != ["pronoun", "place"] or row[0].first not in _THAT_IS:
        return
    lead = {token.norm for token in talk.draft.tokens[max(0, denied.start - _CLEFT) : denied.start]}
    last = denied.clause == talk.state.clause - 1 and denied.status == "absent" and denied.condition not in _FIT
    if last and denied.position in FOUR and row[1].id in FOUR and row[1].id != denied.position and lead & _NOT:
        meant = replace(
            denied, position=row[1].id, status="present", clause=talk.state.clause, cues=[*denied.cues, "corrected"]
        )
        talk.story.add(meant)
        talk.state.places, talk.state.focus = (row[1].id,), (meant,)


def _lesser(talk: Talk, said: Said, fault: Fact) -> bool:
    """ "Ring's cracked. No, sorry, looked again, it's only chipped": another fault, and nothing but that."""
    told = said.statements[0] if len(said.statements) == 1 else None
    own = [token.norm for token in talk.draft.tokens[told.head : told.head + 2]] if told is not None else []
    if told is None or told.denied or fault.condition in told.condition_ids:
        return False
    if not (told.pronoun or own[0] in _IT):
        return False
    before = [token.norm for token in talk.draft.tokens[max(0, told.head - _BEFORE) : told.head]]
    lesser = bool(told.condition_ids & (_SEEN | _FOULED))
    return lesser and bool(_ONLY & {*before[-2:], *own}) and bool(_SECOND_LOOK & set(before))


def _fit_at_second_look(talk: Talk, said: Said, fault: Fact) -> bool:
    """ "I would have failed it for a loose joint, but I looked again and it is tight": what seemed wrong is not."""
    told = said.statements[-1] if said.statements else None
    fit = {"ok", "dry"} if fault.condition in ("leaking", "wet") else {"ok"}
    if told is None or told.denied or not fit & told.condition_ids or any(t.names for t in told.targets) or said.works:
        return False
    if any(one.worked and one.clause >= fault.clause for one in talk.story.facts[-_LATELY:]):
        return False
    before = [token.norm for token in talk.draft.tokens[max(0, told.head - _BEFORE) : told.head]]
    before = [word for word in before if word not in _IT]
    return any((one in _LOOKED and then == "again") or (one, then) in _ANEW for one, then in pairwise(before))


def _only_expected(talk: Talk) -> None:
    """ "I was expecting the seal to be gone but it's fine", "all four turn, and I had expected the front right to be stiff":
    what was found fit is no more suspected."""
    lately = [fact for fact in talk.story.facts[-8:] if fact.clause >= talk.state.clause - 1]
    for guess in [fact for fact in lately if fact.status == "possible" and not fact.actions]:
        lead = {token.norm for token in talk.draft.tokens[max(0, guess.start - _REACH) : guess.end]}
        fit = (fact for fact in lately if fact.condition in _FIT and fact.component == guess.component)
        if lead & _EXPECTED and any(fact.position in (guess.position, "all", None) for fact in fit):
            talk.story.drop(guess)
            talk.state.focus = tuple(fact for fact in talk.state.focus if fact is not guess)


def _a_mark(talk: Talk, clause: Clause, *, looked_at: bool) -> int:
    """Where "it's only a hair" ends in a clause; 0 where nothing of the kind is said."""
    tokens = talk.draft.tokens
    for it in (m for m in clause.mentions if m.kind in ("pronoun", "own", "deny")):
        if tokens[it.start].norm not in _IT:
            continue
        before = {token.norm for token in tokens[max(0, it.start - _BEFORE) : it.start]}
        only = False
        for at in range(it.start + 1, min(it.start + _REACH, len(tokens))):
            word = tokens[at].norm
            if word in _SLIGHT and (only or before & _SECOND_LOOK):
                return it.start
            if word in _HARMLESS and (only or looked_at or before & _SECOND_LOOK):
                while at + 1 < len(tokens) and not tokens[at].pause and tokens[at + 1].norm in _HARMLESS:
                    at += 1
                led = at + 1 < len(tokens) and not tokens[at].pause and tokens[at + 1].norm in _WHERE
                return at + 4 if led else at + 1
            if word not in _LEADING or tokens[at].pause:
                break
            only = only or word in _ONLY
    return 0
