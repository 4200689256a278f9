"""Verdicts that tell no fault by themselves: "it's no good", "nothing serious", "nothing wrong with any of them". In: a statement
and the talk. Out: whether something new is said; facts that were only a verdict are dropped. Not allowed to know: filing.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.said import Job, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.trying import words_of
from fieldnote.extract.words.symptoms import AT_BURNER

# a verdict that tells no fault by itself
_VERDICTS = (
    "no good", "had it", "knackered", "shot", "useless", "finished", "done for", "scrap", "goosed", "had its day", "no use",
    "past it", "banjaxed", "past saving", "past mending", "past repair", "beyond saving", "not right", "buggered", "ruined",
    "beyond", "wrecked", "kaput",
)  # fmt: skip
# what is said of a part before it is told what is wrong with it
_LOOSE_VERDICTS = (
    "seen better days", "past its best", "past their best", "tired", "sulky", "sulking", "temperamental", "playing up",
    "had its day", "moody", "mardy", "rough", "poorly", "in a state", "in a bad way", "looking sorry", "tatty", "ropey",
)  # fmt: skip
_WRECKED = frozenset(
    "knackered jiggered banjaxed goosed buggered wrecked ruined scunnered bust kaput shot poorly fubar stuffed life state "
    "hammer".split()
)
_NEAR = 3  # facts among which a verdict on the burner was told
_NOT_RIGHT = (
    "not right",
    "no right",
    "isnt right",
    "not perfect",
    "not great",
    "not brilliant",
    "no great",
    "not as it should be",
    "not good",
)
_SMALL = (
    "nothing to worry",
    "nothing serious",
    "nothing major",
    "nothing too",
    "nowt to worry",
    "no big deal",
    "nothing drastic",
)
_CLICKING = frozenset("clicking click clicks ticking tick ticks".split())
_GONE = frozenset({"missing", "broken", "detached"})
_PIECES = frozenset("catch latch hinge hinges spring springs magnet clip roller striker keeper stay stays".split())
_WILL_NOT_SHUT = frozenset({"not-holding", "worn", "seized", "misaligned", "unstable", "loose"})
GOES = frozenset(
    "lit lights light spinning spins turning turns running runs going goes firing fires sparking sparks working works "
    "pumping".split()
)
_IN_ONE_BREATH = 3  # words between a fault and that it goes
_NOT_BOTH = 12  # facts among which those that are called not both fit were told
_SUMMING_UP = 12  # clauses over which a summary goes
_AT_LARGE = frozenset(
    "wrong nowt nothing misbehave fault faults problem problems bother trouble dramas drama report matter say return".split()
)


def belittled(talk: Talk, statement: Statement) -> bool:
    """Whether a fault of the same breath is only said to be a small one."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if statement.condition_ids != {"ok"} or last is None or last.clause < talk.state.clause - 1:
        return False
    said = " ".join(words_of(talk, statement))
    fault = last.status == "present" and last.condition not in (None, "ok", "passed")
    return fault and said.startswith(_SMALL) and not any(t.names and t.start > last.end for t in statement.targets)


def praised_again(talk: Talk, statement: Statement) -> bool:
    """ "The other rings are fine, nothing wrong with any of them": those that were just said to be fit."""
    last = talk.story.facts[-1] if talk.story.facts else None
    words = {t.norm for target in statement.targets for t in talk.draft.tokens[target.start : target.end]}
    bare = all((t.group or t.places == ("all",)) and not (t.names or t.size) for t in statement.targets)
    told = last is not None and last.condition == "ok" and last.clause == talk.state.clause - 1
    told = told and last is not None and last.component == "burner" and last.position not in (None, "all")
    return told and bare and at_large(talk, statement, Target(places=("all",))) and "them" in words


def more_than_a_verdict(talk: Talk, statement: Statement) -> None:
    """ "Knob: seen better days, split down one side": behind a mere verdict it is told what is wrong."""
    verdict, fact = talk.story.facts[-2:] if len(talk.story.facts) > 1 else (None, None)
    if verdict is None or fact is None or fact.condition in (None, "ok", "passed") or fact.status != verdict.status:
        return
    same = (verdict.component, verdict.position) == (fact.component, fact.position)
    same = same and verdict.clause == fact.clause == talk.state.clause and not verdict.actions
    said = " ".join(token.norm for token in talk.draft.tokens[verdict.start : verdict.end])
    behind = statement.head == verdict.end and bool(talk.draft.tokens[verdict.end - 1].pause)
    if same and behind and said.endswith(_LOOSE_VERDICTS):
        talk.story.drop(verdict)


def no_more_clicking(talk: Talk, statement: Statement) -> list[Fact]:
    """ "She says it clicks on its own, well it's not clicking now": what was told, and no want of a spark."""
    words = {token.norm for token in talk.draft.tokens[statement.start : statement.end]}
    if "no-spark" not in statement.condition_ids or not words & _CLICKING:
        return []
    told = [f for f in talk.story.facts[-3:] if f.condition == "constant-spark" and f.clause >= talk.state.clause - 2]
    for fact in told[-1:]:
        worked = any(one.worked for one in talk.story.facts[-3:] if one.number >= fact.number)
        fact.turn("resolved" if worked else "absent", "own-check")
    return told[-1:]


def told_by_its_part(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Front left's knackered, the electrode's snapped": a mere verdict, and then which part is wrong."""
    fact = made[-1] if made else None
    part = fact is not None and fact.component in AT_BURNER - {"burner", "flame"}
    if fact is None or not part or fact.condition in (None, "ok", "passed"):
        return
    for verdict in talk.story.facts[-_NEAR:]:
        here = (verdict.component, verdict.position) == ("burner", fact.position) and fact.position is not None
        here = here or (verdict.component == "appliance" and verdict.appliance == fact.appliance)
        said = {token.norm for token in talk.draft.tokens[verdict.start : verdict.end]}
        open_ = verdict.status == fact.status == "present" and not verdict.actions and fact.clause <= verdict.clause + 1
        if here and open_ and verdict.condition in ("damaged", "dead") and said & _WRECKED:
            talk.story.drop(verdict)


def of_several(talk: Talk, statement: Statement) -> bool:
    """ "They're not both sound", "not all fine": a verdict on several, of which some may still be fit."""
    several = any(target.group == "last-two" or target.places == ("all",) for target in statement.targets)
    several = several or words_of(talk, statement)[:1] == ["all"]
    return several and bool(statement.condition_ids) and statement.condition_ids <= {"ok", "passed"}


def not_all_fit(talk: Talk, statement: Statement) -> None:
    """ "Front two fine ... the front two aren't both fine: the front right's cap is chipped": which one is not is told next."""
    if not of_several(talk, statement):
        return
    places = {place for target in statement.targets for place in target.places or ()} - {"all"}
    told = [fact for fact in talk.story.facts[-_NOT_BOTH:] if fact.condition == "ok" and fact.status == "present"]
    for fact in told:
        if fact.position in places or (not places and fact.clause == told[-1].clause):
            fact.cues.append("earlier")


def not_right_yet(talk: Talk, statement: Statement) -> Fact | None:
    """ "Gave it grease and it's easier but it's not right": the fault that was worked on is not gone."""
    said = " ".join(words_of(talk, statement))
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or not statement.pronoun or statement.denied or any(t.names for t in statement.targets):
        return None
    worked = last.worked and last.status == "resolved" and last.condition not in (None, "ok", "passed")
    if not worked or last.clause < talk.state.clause - 2 or not said.startswith(_NOT_RIGHT):
        return None
    last.turn("present", "still")
    return last


def judged(talk: Talk, statement: Statement, component: str, place: str | None) -> Fact | None:
    """ "The gauze has split, it's no good": a mere verdict on a part whose fault has just been told is no second fault."""
    said = " ".join(words_of(talk, statement))
    summed_up = said.startswith(("so thats failed", "so its failed"))  # "letting by, so that's failed"
    if statement.denied or (any(target.names for target in statement.targets) and not summed_up):
        return None
    if not (summed_up or any(f" {verdict} " in f" {said} " for verdict in _VERDICTS)):
        return None
    last = talk.story.facts[-1] if talk.story.facts else None
    told = last is not None and (last.component, last.position) == (component, place) and last.status == "present"
    return last if told and last and last.condition not in (None, "ok") and not last.worked else None


def for_want_of_a_piece(talk: Talk, same: list[Fact], condition: str) -> Fact | None:
    """ "Grill door: catch missing, door will not stay closed": what the want of a hinge or catch does to its door is no second
    fault of the door."""
    last = same[0] if same else None
    if last is None or last.component not in ("door", "lid") or last.status != "present" or last.worked:
        return None
    words = {token.norm for token in talk.draft.tokens[last.start : last.end]}
    gone = last.condition in _GONE and last.clause >= talk.state.clause - 1 and not words.isdisjoint(_PIECES)
    return last if gone and condition in _WILL_NOT_SHUT else None


def goes_in_spite(talk: Talk, fact: Fact, statement: Statement | Job) -> bool:
    """ "Pump, rather vocal but pumping": that it goes is said in spite of its fault, and is no second finding."""
    row = [token.norm for token in talk.draft.tokens[max(0, statement.end - 3) : statement.end]]
    at_once = fact.status == "present" and not fact.worked and fact.clause >= talk.state.clause - 1
    return at_once and "but" in row[:-1] and row[-1] in GOES and statement.end - fact.end <= _IN_ONE_BREATH


_SAME_FAULT = {
    ("injector", "wrong-part"): ("enlarged",),  # "jet's been drilled, the hole's far too big"
    ("thermostat", "failed"): ("sticking", "seized"),  # "stat's sticking, doesn't shut down when it's up to heat"
}


def _in_other_words(talk: Talk, component: str, condition: str) -> list[Fact]:
    """The fault that was told right before, where this is how it shows."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.component != component or last.clause < talk.state.clause - 1 or last.status != "present":
        return []
    here = last.position in (None, talk.one_place()) or not talk.state.places
    return [last] if here and last.condition in _SAME_FAULT.get((component, condition), ()) else []


def told_once_more(talk: Talk, target: Target, component: str, condition: str) -> list[Fact]:
    """ "To sum up: one cracked cap": what was told before, and nothing new."""
    if not target.places and (before := _in_other_words(talk, component, condition)):
        return before
    if talk.state.clause - talk.recap > _SUMMING_UP or target.places:
        return []
    told = [fact for fact in talk.story.named(component) if fact.condition == condition]
    return told[:1] if not any(fact.position in (None, talk.one_place()) for fact in told) else []


def at_large(talk: Talk, statement: Statement, target: Target) -> bool:
    """Whether a place is said to have nothing wrong with it at all, and nothing of the parts of which a list is made."""
    if "ok" not in statement.condition_ids or statement.denied or not target.places:
        return False
    return bool(_AT_LARGE & set(words_of(talk, statement)))
