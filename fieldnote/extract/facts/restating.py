"""A part of which something was told is spoken of again: more of a fault, another word for it, the opposite, another fault.

In: the facts of the part and what is said now. Out: the fact that is meant, or none. Not allowed to know: which words said it.
"""

from fieldnote.extract.clauses.said import Job, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import verdicts
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.symptoms import HOLDING, SAYS_BETTER, SAYS_MORE, SAYS_MORE_OF

_AT_ONCE, _LED, _MORE = 3, 6, 12  # words between a fault and what only says more of it
_LEADS_TO = frozenset("so because cause cos cuz since".split())
_SEEMED, _SEEMING_SO = frozenset("looked seemed appeared".split()), 4
_SHUT = frozenset("blocked half part partly partially choked solid shut full".split())
_HOW_DAMAGED = frozenset("cracked chipped broken distorted burnt detached".split())
_NO_GOOD = {
    ("no", "good"), ("not", "good"), ("last", "legs"), ("better", "days"), ("its", "best"), ("its", "day"), ("had", "it"),
    ("past", "it"), ("its", "chips"), ("its", "time"), ("it", "was"), ("way", "out"),
}  # fmt: skip
_BEARINGS = frozenset("bearing bearings spring springs hinge hinges bladder cartridge".split())
_GOING = frozenset({"worn", "weak", "failed", "dead", "damaged"})
_DATED = frozenset("date dated expires expiry".split())
_VALVES = frozenset({"gas-valve", "gas-tap", "isolation-valve", "emergency-control", "relief-valve"})
_HOW_BAD = frozenset(
    "corroded worn perished blocked partly-blocked sooted loose leaking seized stiff kinked expired weak noisy "
    "discoloured".split()
)
# a fault of a door that is told again of its catch
_OF_A_PIECE = (frozenset({"worn", "broken", "loose"}), frozenset({"misaligned", "loose", "detached"}))
# what one worn hinge or spring does to a door ("won't stay up, it drops, both springs are tired")
_OF_HINGES = frozenset({"misaligned", "loose", "worn", "broken", "not-holding", "weak", "detached"})
_PLAIN = frozenset({"broken", "missing", "cracked", "distorted", "detached"})
_FOULED = frozenset({"blocked", "partly-blocked", "dirty", "sooted"})
_SUSPECTED = 12  # words from "I thought it was cracked" to "it's only"
_WRITTEN = frozenset("marked noted recorded logged listed entered down written classed".split())
_WANTS = frozenset(
    "wants want needs need requires could".split()
)  # first words of a wording by what a part is in need of
_ONLY = frozenset("only just merely nobbut simply".split())
# faults that come in degrees, of which the next one may be denied ("rusty but no holes in it")
_BY_DEGREES = frozenset(
    "corroded loose worn discoloured burnt cracked chipped stiff dirty sooted perished partly-blocked weak distorted "
    "misaligned noisy".split()
)
_NO_FURTHER = frozenset(
    "but though not no isnt arent wasnt its it is theres there are any mind just only hasnt nothing never yet really so".split()
)


def only_damaged(talk: Talk, same: list[Fact], condition: str) -> Fact | None:
    """The fact that has just said that the part is damaged, where how is said now."""
    if condition not in _HOW_DAMAGED:
        last = [fact for fact in same[:1] if condition in _HOW_BAD and _called_no_good(talk, fact)]
        return last[0] if last else None
    last = [fact for fact in same if fact.condition == "damaged" and fact.status == "present" and not fact.actions]
    return last[0] if last and last[0].clause >= talk.state.clause - 1 else None


def no_further(talk: Talk, fact: Fact, statement: Statement | Job) -> bool:
    """ "Hood's rusty, but there's no holes in it", "a bit slack, not loose enough to matter": how far the fault has not gone."""
    if not isinstance(statement, Statement) or fact.condition not in _BY_DEGREES or fact.worked:
        return False
    end = statement.head + statement.words
    between = talk.draft.tokens[fact.end : statement.head]
    joined = fact.clause >= talk.state.clause - 1 and not any(token.pause == "." for token in between)
    joined = joined and fact.end <= statement.head and talk.draft.tokens[fact.end - 1].pause != "."
    said = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
    told = {token.norm for token in talk.draft.tokens[statement.head : end]}
    enough = [token.norm for token in talk.draft.tokens[end : end + 1]] == ["enough"]
    return joined and {token.norm for token in between} <= _NO_FURTHER and (enough or not told & said)


def _called_no_good(talk: Talk, fact: Fact) -> bool:
    """ "Flue is no good, rusted right through": what is not good about it follows."""
    words = [token.norm for token in talk.draft.tokens[fact.start : fact.end]]
    vague = fact.condition in ("dead", "worn", "damaged", "weak") and tuple(words[-2:]) in _NO_GOOD
    return vague and fact.status == "present" and not fact.actions and fact.clause >= talk.state.clause - 1


def goes_but(talk: Talk, same: list[Fact], statement: Statement | Job) -> None:
    """ "The pilot is lit but small", "the fan's spinning but it rattles": that it goes only leads to what is wrong."""
    last = same[0] if same else None
    if last is None or last.condition != "ok" or last.status != "present" or last.actions:
        return
    row = talk.draft.tokens
    goes = {token.norm for token in row[last.start : last.end]} & verdicts.GOES
    between = [token.norm for token in row[last.end : last.end + 3]]
    anew = any(t.names and t.start > last.end for t in statement.targets)
    if goes and "but" in between and not anew and last.clause == talk.state.clause - 1:
        talk.story.drop(last)


def gone_already(talk: Talk, fact: Fact) -> bool:
    """Whether a part has just been told to be missing."""
    return fact.condition == "missing" and fact.status == "present" and fact.clause >= talk.state.clause - 2


def called_dry(talk: Talk, fact: Fact) -> bool:
    """ "Relief is dry, no dripping": the same said twice."""
    last = talk.draft.tokens[fact.end - 1].norm
    return fact.condition == "ok" and fact.clause == talk.state.clause and last == "dry"


def so_called(talk: Talk, same: list[Fact], condition: str | None, statement: Statement | Job) -> Fact | None:
    """ "It was full of slime, so it was dirty": what the speaker himself calls a fault that he has just described."""
    last = same[0] if same else None
    if last is None or not isinstance(statement, Statement) or last.condition in ("ok", "passed"):
        return None
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.head - 3) : statement.head]]
    put_down = lead[-1:] == ["as"] and not _WRITTEN.isdisjoint(lead)  # "lost its pointer, so I've marked it as worn"
    called = "so" in lead and {last.condition, condition} <= _FOULED
    told = last.status == "present" and not last.actions and last.clause >= talk.state.clause - 1
    if not (told and (called or put_down)) or any(t.names and t.start > last.end for t in statement.targets):
        return None
    last.condition = condition
    return last


def unseen(talk: Talk, same: list[Fact], condition: str | None, statement: Statement | Job) -> Fact | None:
    """ "Might be corroded where it goes through the wall, I can't see it": why it is only a guess, and nothing is missing."""
    last = same[0] if same else None
    words = [token.norm for token in talk.draft.tokens[statement.start : statement.end]]
    told = last is not None and last.status == "possible" and last.clause >= talk.state.clause - 1
    return last if told and condition == "missing" and "see" in words and last is talk.story.facts[-1] else None


def wanted_for(talk: Talk, same: list[Fact], condition: str | None, statement: Statement | Job) -> Fact | None:
    """ "The tap's stiff, that wants greasing": what it wants is for what has just been told, and no second fault."""
    last = same[0] if same else None
    if last is None or not isinstance(statement, Statement) or last.condition in (None, "ok", "passed", condition):
        return None
    wants = talk.draft.tokens[statement.head].norm in _WANTS
    told = last.status in OPEN and last.clause >= talk.state.clause - 1 and last is talk.story.facts[-1]
    return last if wants and told else None


def so_fine(talk: Talk, denied: Fact, statement: Statement | Job) -> bool:
    """ "It doesn't drop water so that's fine": the same said again of what has just been looked for and not found."""
    if not isinstance(statement, Statement) or not statement.pronoun or denied.clause < talk.state.clause - 1:
        return False
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.head - 2) : statement.head]]
    if lead[-1:] == ["thats"] or lead == ["which", "is"]:
        return True  # "not letting by, that's how it should be"
    return talk.draft.tokens[max(0, statement.head - 2)].norm == "so"


def said_otherwise(talk: Talk, fact: Fact, statement: Statement | Job, condition: str | None) -> bool:
    """ "A nest in it, half blocked", "tested ok, sounded when pressed": two words for one thing that is seen."""
    left = fact.status == "resolved" and "still" in statement.cues  # "pricked it out but it's still half blocked"
    if left and {fact.condition, condition} == {"blocked", "partly-blocked"}:
        fact.condition = condition
        fact.turn("present", "still")
        return True
    if fact.status != "present" or fact.clause < talk.state.clause - 1:
        return False
    between = talk.draft.tokens[fact.end : statement.head if isinstance(statement, Statement) else statement.start]
    if (fact.condition, condition) == ("dirty", "blocked") and not (fact.actions or len(between) > _AT_ONCE):
        fact.condition = condition  # "filthy, blocked solid": how dirty
        return True
    if {fact.condition, condition} == {"blocked", "partly-blocked"} and not fact.actions:
        start, end = statement.start, statement.end
        if isinstance(statement, Statement):
            start, end = statement.head, statement.head + statement.words
        words = {token.norm for token in talk.draft.tokens[start:end]}
        fact.condition = condition if words & _SHUT else fact.condition
        return True
    if (
        fact.component in _VALVES
        and (fact.condition, condition) == ("ok", "passed")
        and fact.clause == talk.state.clause
    ):
        return True  # "gas valve okay, no passing"
    if fact.component == "flue" and (fact.condition, condition) == ("ok", "passed"):
        fact.condition = "passed"  # "the flue's pulling, smoke test passed"
        return True
    words = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
    if condition == "passed" and words & _DATED:
        return False  # "the alarm's in date and it passed its button test"
    return fact.component == "co-alarm" and {fact.condition, condition} == {"ok", "passed"}


def told_elsewhere(
    talk: Talk, component: str, condition: str | None, place: str | None, statement: Statement | Job
) -> Fact | None:
    """ "Wrong injector all four ... burning the wrong jets full stop": the same again, its place not said."""
    if condition in (None, "ok", "passed") or not isinstance(statement, Statement):
        return None
    last = talk.story.facts[-1] if talk.story.facts else None
    if place is not None and last is not None and (last.component, last.condition) == (component, condition):
        anew = any(t.names and t.start > last.end for t in statement.targets)
        again = statement.again and place == "all"  # "wrong injector, all four the same"
        near = last.clause >= talk.state.clause - again
        if last.position is None and near and last.status == "present" and not anew:
            last.position = place  # "couldn't see the burners for baked on beans"
            return last
    if place is not None:
        return None
    named = [f for f in talk.story.named(component)[:4] if f.condition == condition]
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.start - 2) : statement.head]]
    worked = not {"those", "these", "them"}.isdisjoint(lead)  # "gave those greasy jets a good clean"
    told = [f for f in named if f.status in OPEN or (worked and f.status == "resolved" and f.worked)]
    return next((f for f in told if f.position and f.clause >= talk.state.clause - 8), None)


def said_more(talk: Talk, same: list[Fact], condition: str, statement: Statement | Job) -> Fact | None:
    """ "It's packed up, won't hold in at all": no second fault but what the first comes to; "been dropped, there's a piece out
    of the rim": what the damage is."""
    last = same[0] if same else None
    if last is None or not isinstance(statement, Statement) or last.status != "present" or last.worked:
        return None
    pieces = last.component in ("door", "lid") and any({last.condition, condition} <= kin for kin in _OF_A_PIECE)
    anew = [t for t in statement.targets if t.names and t.start > last.end]
    if not _told_last(talk, last) or not all(pieces and t.end - t.start <= 2 and _a_piece(t) for t in anew):
        return None
    apart = statement.head - last.end
    vague = last.condition == "damaged" or (last.component == "flame" and last.condition == "weak")
    if vague and condition not in ("damaged", "weak", "noisy") and apart <= _MORE:
        last.condition = condition
        return last
    of_it = SAYS_MORE_OF.get(last.component or "", {}).get(last.condition or "", frozenset())
    better = (last.condition, condition) in SAYS_BETTER
    told = better or condition in of_it or condition in SAYS_MORE.get(last.condition or "", ())
    held = last.component in HOLDING and condition == "not-holding"
    hinged = last.component in ("door", "lid") and {last.condition, condition} <= _OF_HINGES
    tested = (last.condition, condition) == ("dead", "failed")  # "not working, I have tested, it failed"
    told, held = told or hinged or tested, held or hinged or tested
    between = {token.norm for token in talk.draft.tokens[last.end : statement.head]}
    led = condition in of_it and bool(between & _LEADS_TO)
    if not told or apart > (_MORE if held else _LED if led else _AT_ONCE):
        return None
    plain = condition == "worn" and last.condition in _PLAIN  # "the catch is broken, so the door swings open"
    anew = [] if plain else anew
    last.condition = condition if better or anew or (hinged and condition == "broken") else last.condition
    last.end = max(last.end, statement.head + statement.words)
    return last


def going_as_said(talk: Talk, same: list[Fact], condition: str | None, statement: Statement | Job) -> Fact | None:
    """ "The diverter's lazy, I reckon it's on its way out": a guess that says no more than what was just told."""
    last = same[0] if same else None
    if last is None or condition not in _GOING or not isinstance(statement, Statement) or not _told_last(talk, last):
        return None
    row = [token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words]]
    told = last.condition not in (None, "ok", "passed") and last.status in OPEN and not last.actions
    anew = any(t.names and t.start > last.end for t in statement.targets)
    between = {token.norm for token in talk.draft.tokens[last.end : statement.head + statement.words]}
    anew = anew or bool(between & _BEARINGS)  # "the pump's noisy, could be the bearings going"
    vague = row[-1:] in (["failing"], ["going"], ["dying"]) or tuple(row[-2:]) in _NO_GOOD
    return last if told and vague and not anew and last.clause >= talk.state.clause - 1 else None


def _told_last(talk: Talk, fact: Fact) -> bool:
    """Whether a fact was told last, be it at several places at once ("both caps have gone brown and flaky")."""
    last = talk.story.facts[-1]
    alike = (fact.component, fact.condition, fact.clause) == (last.component, last.condition, last.clause)
    return fact is last or (alike and (fact.start, fact.end) == (last.start, last.end))


def _a_piece(target: Target) -> bool:
    """ "The door falls open, the catch is snapped": a loose name tells which piece of the part it is."""
    return all(name.note.startswith("weak") for name in target.names)


def only_that(talk: Talk, same: list[Fact], condition: str, statement: Statement | Job) -> bool:
    """ "I thought it was cracked, it's only a scratch": what was suspected is not so. True when something was."""
    lead = talk.draft.tokens[max(0, statement.start - _SUSPECTED) : statement.end]
    belied = not {"thought", "suspected"}.isdisjoint(token.norm for token in lead)
    said = {token.norm for token in talk.draft.tokens[max(0, statement.start - 3) : statement.end]}
    for fact in same if said & _ONLY else ():
        looked = talk.draft.tokens[max(0, fact.end - _SEEMING_SO) : fact.end - 1]
        seemed = fact.status == "present" and not fact.actions and any(token.norm in _SEEMED for token in looked)
        if (
            (seemed or fact.status == "possible")  # "looked perished but it's only dirt"
            and fact.condition not in (None, condition)
            and fact.clause >= talk.state.clause - 2
        ):
            fact.turn("absent", "own-check")
            belied = True
    return belied and bool(said & _ONLY)
