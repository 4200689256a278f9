"""What looked like a fault and is none: "looking closer, that's only a hair", "I had expected it to be stiff". In: a clause and
the talk. Out: the fault that is taken back. Not allowed to know: what a fault is called.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense

_IT = frozenset("its thats it that theyre theres this these they".split())
_ONLY = frozenset("only just merely simply".split())
_LEADING = _ONLY | frozenset(
    "is was are were being a an some the nothing but more than really actually bit of old little wee thin faint surface "
    "pencil felt tip casting mould burnt dried cat dog sauce tomato".split()
)
_SLIGHT = frozenset("scratch scratches scuff scuffs dent".split())  # a fault, and a lesser one
# what is on a part, or falls on it, and is no fault of it
_HARMLESS = frozenset(
    "mark marks hair hairs line lines shadow shadows reflection glare smear smears smudge "
    "smudges crumb crumbs thread threads fluff lint sticker label pen ink paint stain stains seam light cobweb".split()
)
_SECOND_LOOK = frozenset(
    "reflection closer look looking looked wiped wipe wiping rubbed rub cleaned clean actually thoughts fact torch glasses "
    "specs light no sorry wait hang".split()
)
# what the eye takes a mark for
_SEEN = frozenset("cracked broken chipped damaged burnt corroded worn perished kinked distorted enlarged".split())
_EXPECTED = frozenset("expected expecting thought assumed".split())
_SOUND = frozenset({"ok", "passed"})
_WHERE = frozenset("of on in from stuck where".split())
_BEFORE = 10  # words in which a second look is told
_REACH = 6  # words from "it's" to what it is
_SPARKLESS = frozenset({"no-spark", "weak-spark", "not-lighting", "constant-spark"})
_LATELY = 4  # facts before a guess at what causes them


def only_seemed(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "The cap's cracked, no, hang on, that's just a mark": the fault that was told last is taken back. True when nothing
    else is said."""
    fault = talk.state.focus[-1] if len(talk.state.focus) == 1 else None
    if fault is None or fault.condition not in _SEEN or fault.actions or fault.clause < talk.state.clause - 3:
        return False
    if fault.status == "historical":
        return False
    if _lesser(talk, said, fault):
        talk.story.drop(fault)
        return False
    end = _a_mark(talk, clause, looked_at="earlier" in fault.cues or fault.status == "possible")
    if not end:
        return False
    talk.story.drop(fault)
    name = Sense("component", str(fault.component), None, "strong")
    talk.state.focus, talk.state.topic = (), (Target((name,), (fault.position,) if fault.position else None),)
    said.statements = [one for one in said.statements if one.head >= end]
    return not (said.statements or said.works)


def _lesser(talk: Talk, said: Said, fault: Fact) -> bool:
    """ "Ring's cracked. No, sorry, looked again, it's only chipped": another fault, and nothing but that."""
    told = said.statements[0] if len(said.statements) == 1 else None
    if told is None or told.denied or not told.pronoun or fault.condition in told.condition_ids:
        return False
    before = [token.norm for token in talk.draft.tokens[max(0, told.head - _BEFORE) : told.head]]
    return bool(_ONLY & set(before[-2:])) and bool(_SECOND_LOOK & set(before)) and bool(told.condition_ids & _SEEN)


def only_expected(talk: Talk, made: Sequence[Fact]) -> None:
    """ "I was expecting the seal to be gone but it's fine", "all four turn, and I had expected the front right to be stiff":
    what was found fit is no more suspected."""
    lately = [fact for fact in talk.story.facts[-8:] if fact.clause >= talk.state.clause - 1]
    if not any(fact.clause == talk.state.clause for fact in made):
        return
    for guess in [fact for fact in lately if fact.status == "possible" and not fact.actions]:
        lead = {token.norm for token in talk.draft.tokens[max(0, guess.start - _REACH) : guess.end]}
        fit = (fact for fact in lately if fact.condition in _SOUND and fact.component == guess.component)
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


def suspected(talk: Talk, target: Target) -> str | None:
    """ "No spark, I suspect the lead": behind a spark that fails, the lead that is guessed at is the one of the spark."""
    names = {sense.id for sense in target.names}
    before = [token.norm for token in talk.draft.tokens[max(0, target.start - 3) : target.start + 1]]
    if "the" not in before or "thought" in before:
        return None
    sparkless = any(fact.condition in _SPARKLESS for fact in talk.story.facts[-_LATELY:])
    return "ht-lead" if "ht-lead" in names and sparkless else None
