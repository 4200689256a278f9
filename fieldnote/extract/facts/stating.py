"""A statement becomes facts: which part is meant, at which place, what "the same" repeats, what a test tried. In: a statement and
the talk. Out: its facts. Not allowed to know: work.
"""

import itertools
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import (
    causes,
    filing,
    getting_at,
    likejobs,
    likeness,
    locating,
    parts,
    places_of_several,
    strangers,
    verdicts,
)
from fieldnote.extract.facts.story import LIKEWISE, Fact
from fieldnote.extract.facts.talk import SMALL, Talk
from fieldnote.extract.facts.told_of import SPARKS, comes_of_topic, targets_of
from fieldnote.extract.facts.trying import clicks_in_vain, never_tried, not_looked_at, out_of_reach, words_of
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, OPPOSITES, SHOWN_BY

UNTOLD = 1  # words of weight between a part and work on it in which no fault is told
_TO_COME = frozenset("week weeks month months time".split())  # "out of date in three months", not "in 2019"
_SHAPES = frozenset("distorted misaligned detached loose broken cracked".split())  # faults that are told in two ways
# what a part that has come off also is, said in the same breath ("out of its clip, nowhere near the flame")
_IS_NOT = frozenset("isnt arent wasnt werent".split())
_WANTS = frozenset("wants want needs need".split())
_GREASE = frozenset("grease adjustment".split())
_SHOWN_BY_IT = {"detached": ("misaligned",), "loose": ("misaligned",), "distorted": ("misaligned",)}
_OPENED = frozenset({"detached", "loose", "cracked", "corroded", "broken"})  # where one can see daylight through
_SLACK = frozenset("loose worn detached broken cracked unstable missing".split())  # what a part that sits fast is not
_HOLDING = frozenset("thermocouple magnet-unit fsd".split())  # parts that keep a burner lit
_ANY_MORE = 4  # words between what is not so and "any more"
SOUGHT = 12  # words between "checked" and "for leaks"
_SEEKING = frozenset(
    "check checked checking looked looking look tested testing test sprayed inspected searched".split()
)
_NONE, _OFF_IT = frozenset("nothing nowt none".split()), frozenset("off it".split())
_BLUE = frozenset("blue crisp sharp flat".split())
_PIECES = frozenset("bit bits piece pieces corner chunk lump edge part section".split())
_CHIPPED = frozenset("burner-cap burner-ring burner-head radiant electrode hotplate pan-support lid knob".split())
# words that name nothing but an appliance's own outside, or where on it something is
_OF_ITS_FACE = frozenset(
    "enamel paint paintwork finish steel metal body shell side front back top edge corner bit flake over round around inside "
    "across along all".split()
)
_PORTIONS = frozenset(
    "half some part partly partial partially third quarter few several couple quarters thirds most slightly odd section".split()
)
# what "some" or "third" before it counts, and no portion of a part
_COUNTED = frozenset(
    "time visit year day clown idiot joker cowboy eejit numpty muppet fool bright kind sort reason".split()
)
_FILLED_WITH = frozenset("with by".split())
_ONE_SIDE = frozenset("side edge end half".split())
_SIDES = (
    *(f"{where} one {side}" for where in ("on", "at", "down", "along", "round", "up") for side in sorted(_ONE_SIDE)),
    "in places", "in parts", "here and there", "a bit", "a wee bit", "a little", "round one",
)  # fmt: skip
_SOUNDS = frozenset("murmur peep squeak whisper sound cheep".split())
# what does what a symptom denies
_BURNERS = frozenset({"burner", "burner-ring", "burner-head"})
_ELSE = 8  # words between "everything else" and what is said of it


def spoken_of_before(talk: Talk, statement: Statement) -> bool:
    """Whether "the cap I said was cracked" was indeed spoken of: then that one is in talk, and nothing new is said."""
    names = {name.id for target in statement.targets for name in target.names}
    facts = [f for f in talk.story.facts[-60:] if f.component in names and f.condition in statement.condition_ids]
    if facts:
        talk.state.focus, talk.state.topic = (facts[-1],), tuple(statement.targets)
        talk.recalled = talk.state.clause, [facts[-1]]
    return bool(facts)


def elsewhere(talk: Talk, statement: Statement) -> bool:
    """Whether "fine" is a wording of other parts than those in hand ("brushed it out ... meter's fine")."""
    limits = [sense.of for sense in statement.senses]
    known = {fact.component for fact in talk.state.focus}
    return bool(known) and all(of is not None and not of & known for of in limits)


def facts_of(talk: Talk, statement: Statement, mode: Mode) -> list[Fact]:
    """The facts that a statement tells, new ones and those it speaks of again."""
    facts: list[Fact] = []
    if _asked(talk, statement) and not _answer(talk, statement):
        return []  # a question
    if (statement.denied or statement.again) and not_looked_at(talk, statement):
        return []  # "haven't checked the seal for cracks"
    if out_of_reach(talk, statement) or never_tried(talk, statement) or clicks_in_vain(talk, statement):
        return []
    if strangers.of_something_else(talk, statement) or strangers.of_an_unknown(talk, statement):
        return []  # "the extractor's broken", "a crack in her grill pan", "Filter clogged."
    if (
        strangers.of_a_housing(talk, statement)
        or _still_to_come(talk, statement)
        or _all_but_what_was_told(talk, statement)
    ):
        return []
    if statement.denied and "ok" in statement.condition_ids <= {"ok", "passed"}:
        verdicts.not_all_fit(talk, statement)
        for target in statement.targets:
            places_of_several.unpraised(talk, target)
        wrong = likeness.opposite(frozenset(words_of(talk, statement)))
        if wrong is None:
            talk.state.topic = tuple(t for t in statement.targets if t.names) or talk.state.topic
            talk.recent = [*(name.id for t in statement.targets for name in t.names), *talk.recent][:4]
            return []  # "not right": a fault, but nobody said which
        statement.senses, statement.denied = (Sense("condition", wrong, SHOWN_BY.get(wrong)),), False
    if yet := verdicts.not_right_yet(talk, statement):
        return [yet]
    if verdicts.belittled(talk, statement) or verdicts.praised_again(talk, statement):
        return []  # "front two have a yellow tip, nothing to worry about"
    if "dead" in statement.condition_ids and talk.last_words & OPPOSITES["no-spark"] and _at_places(statement):
        statement.senses = (Sense("condition", "no-spark"),)  # "front left sparking, rear right dead as a dodo"
    dry = statement.condition_ids & {"dry"} or (statement.word == "tight" and "ok" in statement.condition_ids)
    if (dry or _gives_nothing(talk, statement)) and _leaked_before(talk, statement):
        statement.senses, statement.denied = (Sense("condition", "leaking"),), True
    if _firm_otherwise(talk, statement):
        statement.senses = tuple(sense for sense in statement.senses if sense.id == "ok")
    if silent := _silent_for_him(talk, statement) or verdicts.no_more_clicking(talk, statement):
        return silent
    if (goes_on := _goes_on_in_spite(talk, statement)) is not None:
        return goes_on
    for model, one in likeness.repeated(talk, statement):
        told = facts_of(talk, one, mode)
        likeness.likewise(model, told, statement)
        facts += told
    if facts:
        return facts
    like = (list(talk.state.focus) or likeness.just_told(talk, statement))[-1:] if statement.again else []
    if statement.again:
        if statement.treated and like and not statement.targets and LIKEWISE in like[0].cues:
            return []  # "front right, same thing, same job"
        done = statement.treated or statement.same
        if done and like and (again := likejobs.done_there_too(talk, like[0], statement)):
            return again
        if not talk.last or talk.forgotten(statement) or (statement.verb == "is" and not talk.last_denied):
            return []
        statement.senses, statement.denied = likeness.meant_again(talk, statement)
        did = any(token.norm == "did" for token in talk.draft.tokens[max(0, statement.start - 3) : statement.start])
        if did and like and like[0].worked and like[0].condition:
            likeness.work_again(like[0], statement)
    for target in targets_of(talk, statement):
        kin = [name.id for t in reversed(talk.state.topic) for name in t.names if not name.note.startswith("weak")]
        if talk.state.size == "oven":
            kin = [*kin, "door"]
        if _told_of_one(talk, target):
            target = replace(target, names=tuple(name for name in target.names if name.id == talk.recent[0]))
        target = _of_its_test(talk, target, statement)
        tip = talk.draft.tokens[target.start].norm in ("tip", "tips")
        kin = [*_whose_tip(talk), *kin] if tip else [*kin, *_whose_tip(talk)]
        found = parts.fitting(target, statement, talk.state.appliance, [*kin, *talk.recent])
        if found is None and statement.pronoun and _shows_in_flame(statement, target):
            target = replace(target, names=())  # "left the natural gas jets in so it's burning yellow"
            found = parts.fitting(target, statement, talk.state.appliance)
        if found is None and statement.condition_ids == {"enlarged"} and {n.id for n in target.names} <= _BURNERS:
            target = replace(target, names=())  # "left ring, the hole is too big": that of its jet
            found = parts.fitting(target, statement, talk.state.appliance)
        if found is None or _too_far(talk, target, statement, found):
            continue
        if getting_at.taken_down(talk, statement, found[0]):
            continue
        if found[1] == "not-holding" and _comes_of_its_fault(talk, statement, found[0]):
            found = ("burner", "not-holding")
        if found[1] == "not-holding" and any(
            (fact.component, fact.condition, fact.status) == (found[0], None, "possible") for fact in talk.state.focus
        ):
            found = ("burner", "not-holding")  # "might be the rear left magnet but it won't hold in"
        if found == ("burner-ring", "not-lighting") and not any(t.names for t in statement.targets):
            found = ("burner", "not-lighting")  # "rear left ring's got a bit out of it, rear right won't light"
        if found == ("pilot", "weak-spark") and "weak" in statement.condition_ids:
            found = ("pilot", "weak")  # "the pilot's feeble"
        component, condition = _its_flame(talk, statement, _told_already(talk, target, statement, found))
        if (component, condition) == ("stability-bracket", "unstable") and _not_there(talk, component, None):
            component = "appliance"  # "it's got no chain, it tips"
        if condition == "blocked" and not statement.denied and _in_part(talk, target, statement):
            condition = "partly-blocked"
        if condition == "missing" and not statement.denied and (broken := _a_bit_of(talk, target, statement)):
            condition = broken
        said = tuple(sense for sense in statement.senses if sense.id == found[1])
        talk.last = said or (Sense("condition", found[1]),)  # "the spark's weak, the other is no better"
        talk.last_denied = statement.denied
        if found[1] in OPPOSITES and not statement.denied:
            talk.shown = talk.state.clause, found[1]
        if not statement.again:
            talk.last_words = frozenset(words_of(talk, statement))
        talk.recent = [component, *talk.recent[:3]]
        status = mode.status_of(statement)
        if status == "present" and condition != "ok" and _was_before(talk, statement):
            status = "resolved"
        if status == "present" and "changed-since" in statement.cues:
            status = "resolved"
        if status == "absent" and ("no-longer" in statement.cues or _not_any_more(talk, statement)):
            status = "resolved"  # "isn't loose any more"
        if (status, condition) == ("absent", "ok") and talk.draft.tokens[statement.end - 1].norm in _IS_NOT:
            places_of_several.unpraised(talk, target)
        if (status, condition) == ("reported", "passed") and target.names:
            talk.state.topic = (target,)  # "she says the alarm went off, I've tested it and it's sounding"
        if (status == "absent" and condition in ("ok", "passed")) or (status, condition) == ("reported", "passed"):
            continue  # a fault, but nobody said which; "she says the alarm went off" is no test
        if told := verdicts.told_once_more(talk, target, component, condition):
            facts += told
            continue
        cause = _cause_of(talk, statement)
        for place in locating.places_of(talk, target, component):
            named = any(one.names for one in statement.targets)
            if condition == "ok" and not (target.places or named) and _not_there(talk, component, place):
                continue  # "no flame failure on these, nothing wrong with it": the appliance
            if before := verdicts.judged(talk, statement, component, place):
                facts.append(before)
                continue
            facts.append(filing.file(talk, component, condition, place, target, status, statement, mode))
            facts[-1].cause = facts[-1].cause or (cause if cause is not facts[-1] else None)
            verdicts.more_than_a_verdict(talk, statement)
            causes.explains(talk, statement, facts[-1])
            causes.found_at(talk, facts[-1])
        if component == "thermostat" and not target.names:
            # "not hot enough, it's bang on"
            target = replace(target, names=(Sense("component", component, None, "strong"),))
        talk.state.topic = (*talk.state.topic[-3:], target) if facts and len(facts) > 1 else (target,)
    if statement.left_out and statement.left_out[0].names:
        talk.state.topic = (statement.left_out[0],)  # "fine apart from the clips, which are broken"
    elif statement.left_out and talk.state.topic:
        out = statement.left_out[0]
        talk.state.topic = (replace(talk.state.topic[-1], places=out.places, group=out.group, size=out.size),)
        talk.state.places = out.places
    for before in like:  # "did the medium one as well": the work, too
        likeness.likewise(before, [fact for fact in facts if fact is not before], statement)
    return [fact for fact in facts if fact is not None]


def _firm_otherwise(talk: Talk, statement: Statement) -> bool:
    """ "Front left knob spins on its shaft, the other three are solid": fast, where another was loose, is as it should be."""
    ids = statement.condition_ids
    if not ({"ok"} < ids and ids & {"seized", "stiff"}) or statement.denied:
        return False
    last = talk.story.facts[-1] if talk.story.facts else None
    slack = last is not None and last.condition in _SLACK and last.status != "absent"
    return slack and any(t.group == "rest" or t.places == ("others",) for t in statement.targets)


def _comes_of_its_fault(talk: Talk, statement: Statement, component: str) -> bool:
    """ "Thermocouple was bent over, so it won't hold": what comes of the fault just told shows at the burner."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.component != component or component not in _HOLDING or last.clause < talk.state.clause - 1:
        return False
    led = {token.norm for token in talk.draft.tokens[max(0, statement.head - 3) : statement.head]}
    why = last.condition not in (None, "ok", "passed", "not-holding", "weak", "dead") and last.status == "present"
    return why and "so" in led and not any(t.start >= last.end and t.names for t in statement.targets)


def _silent_for_him(talk: Talk, statement: Statement) -> list[Fact]:
    """ "The pump I was told was noisy, not a murmur from it": a noise that was reported, and not heard."""
    last = talk.story.facts[-1] if talk.story.facts else None
    told = last is not None and (last.condition, last.status) == ("noisy", "reported")
    if last is None or not told or last.clause < talk.state.clause or any(t.names for t in statement.targets):
        return []
    if not _SOUNDS & set(words_of(talk, statement)) or "dead" not in statement.condition_ids:
        return []
    last.turn("absent", "own-check")
    return [last]


def _whose_tip(talk: Talk) -> list[str]:
    """ "Won't hold, the tip was filthy", "no spark, the tip was wet": the part that the symptom just told comes from."""
    last = talk.story.facts[-1] if talk.story.facts else None
    late = (
        last is not None
        and last.clause >= talk.state.clause - 2
        and last.condition in ("not-holding", "no-spark", "weak-spark", "not-lighting")
        and last.appliance in (None, talk.state.appliance)
    )
    return [] if last is None or not late else ["thermocouple" if last.condition == "not-holding" else "electrode"]


def _goes_on_in_spite(talk: Talk, statement: Statement) -> list[Fact] | None:
    """ "Trap was weeping, swapped the seal on it, it's still weeping": the fault that work on another part was done for."""
    if "still" not in statement.cues or statement.denied or any(t.names or t.places for t in statement.targets):
        return None
    near = [f for f in talk.story.facts[-6:] if f.clause >= talk.state.clause - 5 and f.condition is not None]
    told = [f for f in near if f.condition in statement.condition_ids - {"ok", "passed"}]
    worked = [f for f in talk.state.focus if f.worked]
    unfiled = any(clause >= talk.state.clause - 1 for clause, _, _ in talk.ahead)  # work of which no fact was made
    other = bool(told) and all(f.component != told[-1].component for f in worked if f.condition is None)
    other = other and (unfiled or (bool(worked) and not all(f in told for f in talk.state.focus)))
    if not other or told[-1].status not in ("present", "resolved") or not _at_one_place(told[-1], worked):
        return None
    for fact in told[-1:]:
        fact.turn("present", "still")
    return told[-1:]


def _at_one_place(fact: Fact, worked: list[Fact]) -> bool:
    """Whether what was worked on can be why a fault was told."""
    return all(fact.position in (one.position, None) or one.position is None for one in worked)


def _not_any_more(talk: Talk, statement: Statement) -> bool:
    """ "The flame's not lazy and orange any more": what is no longer so, told behind a second word for it."""
    at = statement.head + statement.words
    for i in range(at, min(at + _ANY_MORE, len(talk.draft.tokens))):
        if talk.draft.tokens[i - 1].pause:
            return False
        words = [token.norm for token in talk.draft.tokens[i : i + 3]]
        if words[:1] == ["anymore"] or words[:2] in (["any", "more"], ["any", "longer"], ["no", "more"]):
            return words[2:] != ["than"]  # "the door isn't dropped any more than it was"
    return False


def _at_places(statement: Statement) -> bool:
    """Whether a statement names places and no part."""
    return bool(statement.targets) and all((t.places or t.group) and not t.names for t in statement.targets)


def _shows_in_flame(statement: Statement, target: Target) -> bool:
    """Whether what is said of a part at a burner is seen of the flame alone."""
    return statement.condition_ids <= {"yellow-tipping", "lifting"} and all(n.id in AT_BURNER for n in target.names)


def _leaked_before(talk: Talk, statement: Statement) -> bool:
    """ "It leaked last time, it's dry today", "was it weeping, no, dry as dust": it does not leak."""
    named = {name.id for target in statement.targets for name in target.names}
    near = [*talk.state.focus, *talk.story.facts[-2:]]
    leaks = [fact for fact in near if fact.condition == "leaking"]
    told = any(fact.status in ("historical", "reported", "absent") for fact in leaks)
    return told and not statement.denied and (not named or any(fact.component in named for fact in leaks))


def _gives_nothing(talk: Talk, statement: Statement) -> bool:
    """ "She smelt it at the tap, there's nothing coming off it": where gas was looked for, and none is there."""
    words = words_of(talk, statement)
    return "dead" in statement.condition_ids and not _NONE.isdisjoint(words) and not _OFF_IT.isdisjoint(words)


def _was_before(talk: Talk, statement: Statement) -> bool:
    """ "Flames are blue now, they were yellow before": what was wrong before it came right."""
    told = bool(talk.fit_now) and talk.fit_now >= talk.state.clause - 1
    around = talk.draft.tokens[max(0, statement.start - 4) : statement.head + statement.words + 3]
    said = {token.norm for token in around}
    return told and "before" in said and bool(said & {"was", "were", "had", "been"})


def _told_already(talk: Talk, target: Target, statement: Statement, found: tuple[str, str]) -> tuple[str, str]:
    """ "Crown's warped, it'll not sit flat": words that can mean the fault just told of the part mean no second one."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.component != found[0] or last.status != "present":
        return found
    named = any(t.names for t in statement.targets)
    wanted = _wants_work(talk, statement) and last.condition not in ("ok", "passed") and not statement.denied
    if wanted and last.condition and last.clause >= talk.state.clause - (1 if named else 2):
        here = last.position in target.places if target.places else not target.group
        return (found[0], last.condition) if here else found
    if last.clause < talk.state.clause - 1:
        return found
    same = last.condition in statement.condition_ids and last.condition in _SHAPES
    in_a_breath = last.clause == talk.state.clause or not any(t.names for t in statement.targets)
    bent = last.condition != "distorted" or found[0] in AT_BURNER  # "bent over, not in the flame", not of a door
    same = same or (in_a_breath and bent and found[1] in _SHOWN_BY_IT.get(last.condition or "", ()))
    same = same or (last.condition in _OPENED and "daylight" in words_of(talk, statement))
    here = not target.places or last.position in target.places
    return (found[0], str(last.condition)) if same and here and not statement.denied and found[1] != "ok" else found


def _wants_work(talk: Talk, statement: Statement) -> bool:
    """ "It wants adjusting", "needs greasing": work that a part needs, which tells no fault of its own where one was told."""
    words = words_of(talk, statement)
    return len(words) > 1 and words[0] in _WANTS and (words[-1].endswith("ing") or words[-1] in _GREASE)


def _its_flame(talk: Talk, statement: Statement, found: tuple[str, str]) -> tuple[str, str]:
    """ "The burner was yellow ... it's blue": what is said of a flame is said of the flame that was wrong."""
    if found == ("flame", "not-holding"):  # "the oven won't stay on, the flame goes off": the same fault
        told = [f for f in talk.story.facts[-2:] if f.condition == "not-holding" and f.clause >= talk.state.clause - 3]
        return (str(told[-1].component), "not-holding") if told else found
    wrong = any(fact.component == "flame" and fact.condition != "ok" for fact in talk.story.facts[-6:])
    flame = bool(_BLUE & set(words_of(talk, statement)))
    return ("flame", "ok") if wrong and flame and found == ("burner", "ok") else found


def _in_part(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Half the ports are bunged up", "clogged on one side": some of it is open."""
    tokens = talk.draft.tokens
    start = max(0, min(target.start if target.end else statement.head, statement.head) - 5)
    while any(token.pause for token in tokens[start : min(statement.head, start + 5)]) and start < statement.head:
        start += 1
    before = [token.norm for token in tokens[start : statement.head]]
    before = [word for word, after in itertools.pairwise([*before, ""]) if after.removesuffix("s") not in _COUNTED]
    before = [
        word for led, word in itertools.pairwise(["", *before]) if led not in _FILLED_WITH
    ]  # "with some black paste"
    after = statement.head + statement.words
    behind = " ".join(token.norm for token in tokens[after : after + 3])
    side = any(f"one {what} of" in " ".join(before) for what in _ONE_SIDE)
    return bool(_PORTIONS & set(before)) or "bit" in before[-1:] or side or behind.startswith(_SIDES)


def _a_bit_of(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "A bit of the cap is missing": what a part is that has lost a piece."""
    words = [token.norm for token in talk.draft.tokens[max(0, target.start - 4) : statement.head]]
    lost = any(one in _PIECES and then == "of" for one, then in itertools.pairwise(words))
    return ("chipped" if target.component in _CHIPPED else "broken") if lost and target.end else None


def _too_far(talk: Talk, target: Target, statement: Statement, found: tuple[str, str]) -> bool:
    """Whether words of weight part an appliance from what is said, so that some part of it is meant that nobody knows."""
    if found[0] != "appliance" or found[1] == "leaking" or any(f.condition == found[1] for f in talk.state.focus):
        return False
    carried = target not in statement.targets and statement.condition_ids != {"ok"}  # "runs well but it squeals"
    if not target.names and found[1] not in parts.LOOSELY:
        return _of_something_in_it(talk, target, statement)
    return talk.untold(max(target.end, talk.spoken_at) if carried else target.end, statement.head) > UNTOLD + 2


def _of_something_in_it(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Hob worktop all chipped", "paint's blistered on the fire": words of weight name what no appliance is."""
    tokens, end = talk.draft.tokens, statement.head + statement.words
    between = tokens[target.end : statement.head] if target.end <= statement.head else tokens[end : target.start]
    lead = [] if target.end <= statement.head else tokens[max(0, statement.head - 3) : statement.head]
    while any(token.pause for token in lead):
        lead = lead[1:]
    lead = [token for token in lead if token.norm not in ("there", "theres")]
    return any(not {token.norm, token.norm.removesuffix("s")} & (SMALL | _OF_ITS_FACE) for token in (*between, *lead))


def _told_of_one(talk: Talk, target: Target) -> bool:
    """Whether it was just settled which part these very words mean ("handle of the oven came off, screws gone")."""
    same = bool(target.names) and any(t.start == target.start and t.end == target.end for t in talk.state.topic)
    weak = all(name.note.startswith("weak") for name in target.names)
    return same and weak and target.end > 0 and bool(talk.recent) and talk.recent[0] in {n.id for n in target.names}


def _still_to_come(talk: Talk, statement: Statement) -> bool:
    """ "The alarm's out of date next March": it is not yet."""
    end = statement.head + statement.words
    behind = [token.norm for token in talk.draft.tokens[end : end + 5]]
    soon = behind[:1] in (["next"], ["soon"], ["shortly"], ["come"])
    later = behind[:1] == ["in"] and bool(_TO_COME & set(behind))
    return statement.condition_ids == {"expired"} and not talk.draft.tokens[end - 1].pause and (soon or later)


def _all_but_what_was_told(talk: Talk, statement: Statement) -> bool:
    """ "Cap cracked, everything else was in good order", "co 29, all fine bar the trap": said of no part."""
    left = statement.left_out[0].component if statement.left_out else None
    topic = talk.state.topic[-1].component if talk.state.topic else None
    whole = words_of(talk, statement)[:1] in (["all"], ["everything"], ["everythings"])
    if left and whole and not statement.targets and statement.condition_ids == {"ok"} and left != topic:
        talk.state.topic = (statement.left_out[0],)
        return True
    said = [token.norm for token in talk.draft.tokens[max(0, statement.head - _ELSE) : statement.head]]
    for token in reversed(talk.draft.tokens[max(0, statement.head - _ELSE) : statement.head]):
        if token.pause:
            break
        if token.norm in ("else", "elses"):
            all_else = any(first == "everything" for first, then in itertools.pairwise(said) if then == token.norm)
            return all_else and statement.condition_ids == {"ok"} and not any(t.names for t in statement.targets)
    return False


def _not_there(talk: Talk, component: str, place: str | None) -> bool:
    """Whether it has just been told that the part is missing or was never fitted."""
    last = talk.story.facts[-1] if talk.story.facts else None
    gone = last is not None and last.condition in ("missing", "not-fitted") and last.status == "present"
    return gone and last is not None and (last.component, last.position) == (component, place)


def _asked(talk: Talk, statement: Statement) -> bool:
    """ "Any leaks?", "checked all of it for leaks"."""
    before = [token.norm for token in talk.draft.tokens[max(0, statement.head - SOUGHT) : statement.head]]
    if statement.denied or not before:
        return False
    sought = before[-1] == "for" and not statement.condition_ids & {"ok", "passed", "failed"}
    why = talk.draft.tokens[statement.head].norm.endswith("ing")  # "she took it down for chirping"
    return before[-1] == "any" or (sought and (why or bool(_SEEKING & set(before))))


def _answer(talk: Talk, statement: Statement) -> bool:
    """Whether a question is answered right behind: "any leaks no"; the statement is denied where it is answered by no."""
    end = max([statement.head + statement.words, *(target.end for target in statement.targets)])
    word = talk.draft.tokens[end].norm if end < len(talk.draft.tokens) else ""
    statement.denied = word in ("no", "none", "nope", "nil", "negative", "nothing")
    return statement.denied or word in ("yes", "yeah", "aye", "yep")


def _of_its_test(talk: Talk, target: Target, statement: Statement) -> Target:
    """ "Flue checked, terminal not blocked, no spillage": what is said of the terminal has been said, spilling is the flue's."""
    own = next((part for sense in statement.senses if sense.note == "alone" for part in sense.of or ()), None)
    last = talk.story.facts[-1] if talk.story.facts else None
    told = last is not None and last.component == target.component == "terminal" and last.clause == talk.state.clause
    return replace(target, names=(Sense("component", own, None, "strong"),)) if own == "flue" and told else target


def _cause_of(talk: Talk, statement: Statement) -> Fact | None:
    """The fault from which a symptom was just said to come."""
    if any(target.names for target in statement.targets) or not comes_of_topic(talk, statement):
        return None
    return next(fact for fact in reversed(talk.state.focus) if fact.component in SPARKS)
