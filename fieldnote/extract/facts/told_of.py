"""Of which part a statement tells that names none. In: the talk, a statement. Out: its targets.

The part that was told last, the burner of the place, the row of which it is one. Not allowed to know: what is stated.
"""

from bisect import bisect_left
from dataclasses import replace

from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import likeness, locating, parts, pointing, verdicts
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.trying import nowhere, part_tested, words_of
from fieldnote.extract.words.hob import FOUR, SIDES
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, OPPOSITES, SHOWING

SPARKS = frozenset({"ht-lead", "spark-generator", "ignition-switch"})  # where no spark comes from
_FLAMELESS = frozenset("stability-bracket door lid pan-support bonding closure-plate bayonet hose".split())
_UNDER_A_FLAME = frozenset({"burner", "burner-ring", "burner-cap", "burner-head"})
_HOW_MANY = frozenset("two three four five others".split())
_NUMBERS = {"two": 2, "three": 3, "2": 2, "3": 3}
_LATELY = 6  # facts among which a corner was told of
_OF_SEVERAL = AT_BURNER | {
    "radiant",
    "fuel-bed",
    "pan-support",
    "door",
    "door-seal",
    "joint",
    "window",
    "co-alarm",
    "appliance",
}
_WHY_OUT = frozenset("loose detached misaligned dirty sooted cracked broken distorted worn burnt ok".split())
_DOES = {
    "not-holding": frozenset({"fsd", "burner", "flame", "pilot", "knob"}),
    "not-lighting": frozenset({"burner", "pilot", "flame", "appliance"}),
}

_METERED = frozenset({"thermocouple", "electrode", "fsd"})
_MILLIVOLTS = frozenset("millivolts millivolt mv millies".split())
_METER_READ = 24  # words in which what was measured is named before the verdict on it
_CORNER = frozenset("front back rear left right".split())
_FIGURES_APART = 3  # clauses between what was told of one figure and of the next
_FIGURES = frozenset(
    "metered measured clocked one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen twenty thirty forty fifty".split()
)


def pointed_at(talk: Talk, statement: Statement) -> list[Fact]:
    """ "Replaced the cracked cap": the fault that was told before, and no new one."""
    target = statement.targets[-1] if statement.targets else Target()
    told = [
        fact
        for fact in talk.story.facts[-16:]
        if fact.condition in statement.condition_ids
        and fact.component in {name.id for name in target.names}
        and fact.status in OPEN
        and (not target.places or fact.position in target.places)
    ]
    lead = talk.draft.tokens[max(0, statement.start - 1) : statement.start + 1]
    count = max((_NUMBERS.get(token.norm, 0) for token in lead), default=0)  # "tightened the two loose knobs"
    return told if target.many else told[-max(count, 1) :]


def _on_none_of_them(talk: Talk, statement: Statement) -> list[Target]:
    """ "Electrodes fine but for the front right, it's chipped, no cracks anywhere": denied of all of them."""
    end = statement.head + statement.words
    anywhere = end < len(talk.draft.tokens) and talk.draft.tokens[end].norm == "anywhere"
    named = any(target.names for target in statement.targets)
    if not (anywhere and statement.denied) or named or not talk.state.topic or not talk.state.topic[-1].names:
        return []
    leaks = statement.condition_ids == {"leaking"}
    row = any(name.id in AT_BURNER for name in talk.state.topic[-1].names)
    return [replace(talk.state.topic[-1], places=("all",), group=None, many=True)] if row and not leaks else []


def _of_no_corner(statement: Statement) -> bool:
    """ "Front left went out twice. Chain is on.": what tells its own part, and no burner has it, is said of no corner."""
    own = [sense for sense in statement.senses if sense.note == "alone" and sense.of]
    return bool(own) and len(own) == len(statement.senses) and not any((s.of or frozenset()) & AT_BURNER for s in own)


def _holds_nothing(talk: Talk, statement: Statement) -> bool:
    """ "Chain is too long, it don't hold": what is said of a thing that has no flame is said of no burner."""
    named = {name.id for target in talk.state.topic[-1:] for name in target.names}
    return statement.pronoun and "not-holding" in statement.condition_ids and bool(named) and named <= _FLAMELESS


def targets_of(talk: Talk, statement: Statement) -> list[Target]:
    """The targets of a statement; what was left out is taken from the statement before."""
    verdict = (
        statement.condition_ids & {"passed", "failed"} and "damaged" not in statement.condition_ids
    )  # not "faulty"
    if verdict and (tested := part_tested(talk, statement)):
        return [tested]
    if row := _on_none_of_them(talk, statement):
        return row
    if not any(target.names for target in statement.targets) and comes_of_topic(talk, statement):
        return statement.targets or parts.implied(statement)
    if not statement.targets and (read := _of_a_couple(talk, statement)):
        return [read]
    if not statement.targets:
        if statement.where and not any(target.names for target in talk.state.topic):
            return statement.where  # "it was weeping at the union behind the cooker": nothing else is in talk
        if talk.forgotten(statement) or not talk.state.topic or not parts.goes_with(talk.state.topic, statement):
            return [] if _holds_nothing(talk, statement) else parts.implied(statement)
        if (statement.listing and _passed_on(talk, statement)) or _of_no_corner(statement):
            return parts.implied(statement)
        return list(talk.state.topic)
    if _off_its_burner(talk, statement):
        return [talk.state.topic[-1]]
    if nowhere(talk, statement):
        return [Target((Sense("component", "joint", None, "strong"),))]
    if read := _of_a_couple(talk, statement):
        return [read]
    out: list[Target] = []
    for target in statement.targets:
        if pointing.whole_side(talk, target) and statement.condition_ids == {"ok"} and not statement.denied:
            out.append(replace(target, places=SIDES[(target.places or ("left",))[0]]))
        elif _ignition_there(talk, target, statement):
            out.append(replace(target, names=(Sense("component", "electrode", None, "strong"),)))
        elif _weak_in_millivolts(talk, target, statement):
            out.append(replace(target, names=(Sense("component", "thermocouple", None, "strong"),)))
        elif fellow := likeness.its_fellow(talk, target, statement):
            out.append(fellow)
        elif not target.names and (pair := _pair_told(talk, target, statement)):
            out.append(replace(target, names=(Sense("component", pair, None, "strong"),), many=True))
        elif (
            target.names or parts.only_said_of(target, statement, talk.state.topic) or _goes_out_there(talk, statement)
        ):
            out.append(target)
        elif part := _measured_there(talk, target, statement):
            out.append(replace(target, names=(Sense("component", part, None, "strong"),), many=True))
        elif _not_those(talk, target, statement):
            out.append(replace(target, names=talk.state.topic[-1].names, many=True))
        elif _all_else(talk, target):
            if _counted_corners(talk, target):
                out.append(replace(target, names=(Sense("component", "burner", None, "strong"),), many=True))
        elif _told_by_burners(talk, target, statement):
            out.append(target)
        elif both := likeness.both_there(talk, target):
            out += both  # "front left cap cracked, crown worn, front right has both good"
        elif told := _told_there(talk, target, statement):
            out.append(replace(target, names=(Sense("component", told, None, "strong"),)))
        elif (part := likeness.cleared(talk, target, statement)) and not verdicts.at_large(talk, statement, target):
            out.append(replace(target, names=(Sense("component", part, None, "strong"),)))
        elif statement.same and (part := _told_last(talk, target)):
            out.append(replace(target, names=(Sense("component", part, None, "strong"),), many=True))
        elif "weak" in statement.condition_ids and _beside_a_spark(talk, target):
            out.append(replace(target, names=(Sense("component", "electrode", None, "strong"),)))
        elif _only_fouled(talk, target, statement):
            out.append(replace(target, names=(Sense("component", "burner", None, "strong"),)))
        elif _next_in_its_row(talk, target):
            out.append(replace(target, names=talk.state.topic[-1].names, many=True))
        elif part := _likewise_there(talk, target, statement):
            out.append(replace(target, names=(Sense("component", part, None, "strong"),)))
        elif _of_its_row(talk, target):
            out.append(replace(target, names=talk.state.topic[-1].names))
        elif _left_of_unlike(talk, target, statement):
            out.append(target)  # "front left thermocouple fine, rear left tap free, other two nothing wrong"
        elif _told_all_fit(talk, target, statement):
            out.append(target)  # "knobs all fine, front left fine": the burner there
        elif _of_the_burner(talk, statement) or _only_guessed(talk, statement) or _lit_again(talk, target, statement):
            out.append(target)  # "thermocouple was loose, nipped it, the other two hold in"
        elif verdicts.at_large(talk, statement, target):
            out.append(target)  # "front two there's nowt up with": said of the burners
        elif talk.state.topic and parts.elliptical(target, talk.state.topic, statement, listed(talk)):
            topic = talk.state.topic[-1]
            out.append(replace(target, names=topic.names, many=True))  # a list by places has begun
        else:
            out.append(target)
    return out


def _of_a_couple(talk: Talk, statement: Statement) -> Target | None:
    """ "Millivolts front left eighteen, back right three so that's weak": of the thermocouple whose figure was read last."""
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.head - 2) : statement.head]]
    vague = statement.condition_ids & {"weak", "dead"} and lead[-1:] in (["thats"], ["its"]) and "so" in lead
    if not vague or any(t.names for t in statement.targets) or not talk.draft.measures:
        return None
    figures, bounds = talk.draft.measures[0]
    at = bisect_left(bounds, statement.head, key=lambda bound: figures.origins[bound.end - 1])
    last = bounds[at - 1] if at else None
    said = [place for target in statement.targets for place in target.places or ()]
    place = said[-1] if said else talk.one_place()
    if last is None or last.quantity != "thermocouple-output" or place is None:
        return None
    near = statement.head - figures.origins[last.end - 1] <= len(("so", "thats", "it"))
    part = (Sense("component", "thermocouple", None, "strong"),)
    return Target(part, (place,)) if near else None


def _passed_on(talk: Talk, statement: Statement) -> bool:
    """ "The back two are fine, the front two aren't: one's got no spark": the talk is at other places than what was told last."""
    here, told = set(talk.state.places or ()), set(talk.state.topic[-1].places or ())
    lead = {token.norm for token in talk.draft.tokens[max(0, statement.head - 3) : statement.head]}
    return bool(here and told) and not told & here and not lead.isdisjoint(("one", "ones"))


def _ignition_there(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Front left ignition: no spark": that of the one burner, and no generator, which all of them share."""
    corner = len(target.places or ()) == 1 and "-" in (target.places or ("",))[0]
    words = {token.norm.removesuffix("s") for token in talk.draft.tokens[target.start : target.end]}
    dead = statement.condition_ids & {"no-spark", "weak-spark"} or (corner and statement.condition_ids == {"dead"})
    return corner and bool(dead) and "ignition" in words and all(n.note.startswith("weak") for n in target.names)


def _only_guessed(talk: Talk, statement: Statement) -> bool:
    """ "Could be the magnet, could be the thermocouple: rear right won't hold": the symptom of the parts that were guessed at."""
    focus = talk.state.focus
    guesses = bool(focus) and all(fact.status == "possible" and fact.condition is None for fact in focus)
    return guesses and bool(statement.condition_ids & SHOWING) and focus[-1].clause == talk.state.clause - 1


def _pair_told(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "Neither rear electrode is cracked, but both are dirty": the part of which there was just told at two places."""
    last = talk.state.focus
    if target.group != "last-two" or target.places or target.size or len(last) != 2 or last[0].component == "burner":
        return None
    alike = last[0].component == last[1].component and last[0].position != last[1].position
    part = last[0].component if alike and last[0].clause == last[1].clause >= talk.state.clause - 1 else None
    return part if any(sense.of is None or part in sense.of for sense in statement.senses) else None


def _next_in_its_row(talk: Talk, target: Target) -> bool:
    """ "Electrode front left broken, front right good": a part that stands before its corner heads a list of them."""
    topic, tokens = talk.state.topic[-1] if talk.state.topic else None, talk.draft.tokens
    if topic is None or target.names or target.size or len(target.places or ()) != 1 or not topic.names:
        return False
    last = talk.story.facts[-1] if talk.story.facts else None
    row = [token.norm for token in tokens[topic.start : topic.end]]
    listed = topic.many and topic.places is not None and all(name.id in AT_BURNER for name in topic.names)
    corner = row[-2:] if all(word in _CORNER for word in row[-2:]) else []
    first = len(row) > len(corner) and bool(corner) and not set(row[:-2]) & (_CORNER | {"on", "at", "in", "of", "the"})
    near = last is not None and last.clause == talk.state.clause - 1 and last.position in FOUR and last.explicit
    near = near and last is not None and last.condition is not None
    over = any(token.pause == "." for token in tokens[topic.start : target.start])
    bare = not any(token.clitic for token in tokens[topic.start : target.end])
    is_ = tokens[target.end].norm in ("is", "are") if target.end < len(tokens) else False
    return near and (first or listed) and bare and not over and not is_ and "-" in (target.places or ("",))[0]


def _likewise_there(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "Front right knob's good, rear right's good too": the part of which the same was just told."""
    last, end = talk.story.facts[-1] if talk.story.facts else None, statement.head + statement.words
    behind = [token.norm for token in talk.draft.tokens[end : end + 2]]
    also = (
        talk.draft.tokens[statement.head - 1].norm == "also"
        or behind[:1] in (["too"], ["also"])
        or behind == ["as", "well"]
    )
    if last is None or not also:
        return None
    alike = {last.condition} == set(statement.condition_ids) and last.clause >= talk.state.clause - 1
    there = last.position in FOUR and last.component in AT_BURNER and last.position not in (target.places or ())
    return last.component if alike and there and len(target.places or ()) == 1 and last.status == "present" else None


def _off_its_burner(talk: Talk, statement: Statement) -> bool:
    """ "The flame's jumping about, half off the burner": where it is off, not what is."""
    topic = talk.state.topic[-1].component if talk.state.topic else None
    end = statement.head + statement.words
    led = all(target.component in _UNDER_A_FLAME and target.start >= end for target in statement.targets)
    return topic == "flame" and led and words_of(talk, statement)[-1:] == ["off"]


def _goes_out_there(talk: Talk, statement: Statement) -> bool:
    """ "Rear left thermocouple was loose, nipped it, front left's not holding either": said of the burner, whatever is why."""
    topic = {name.id for target in talk.state.topic[-1:] for name in target.names}
    last = next((fact for fact in reversed(talk.story.facts[-6:]) if fact.component in topic), None)
    why = last is not None and last.condition in _WHY_OUT and last.component in ("thermocouple", "magnet-unit")
    return why and "not-holding" in statement.condition_ids and not statement.denied


def _all_else(talk: Talk, target: Target) -> bool:
    """ "Fan's on its way out, all the rest good": said of other parts than the one in talk."""
    topic = {name.id for t in talk.state.topic[-1:] for name in t.names}
    return target.group == "rest" and not target.places and bool(topic) and not topic & _OF_SEVERAL


def _not_those(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Rear left electrode's cracked. Not the front two, they're fine": of those parts, which the fault is denied of."""
    tokens, at = talk.draft.tokens, target.start
    lead = tokens[at - 1].norm in ("the", "them", "those") if at else False
    no = at - 1 - lead
    denied = no >= 0 and tokens[no].norm == "not" and (no == 0 or tokens[no - 1].pause != "")
    told = bool(talk.state.topic) and any(name.id in AT_BURNER - {"burner"} for name in talk.state.topic[-1].names)
    return denied and told and statement.condition_ids == {"ok"} and bool(target.places or target.group)


def _measured_there(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "Rear left thermocouple three, that's weak, rear right twelve good": the part whose figures are told place by place."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.component not in _METERED or last.clause < talk.state.clause - _FIGURES_APART:
        return None
    corner = len(target.places or ()) == 1 and "-" in (target.places or ("",))[0] and not target.names
    words = {token.norm for token in talk.draft.tokens[target.end : statement.head]}
    figure = bool(words & _FIGURES) or any(word[:1].isdigit() for word in words)
    return last.component if corner and figure and last.position != (target.places or ("",))[0] else None


def _weak_in_millivolts(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Millivolts: rear left 13, rear right 6, so that rear right's weak": the thermocouple there, no burner."""
    said = statement.condition_ids
    if (
        target.names
        or "weak" not in said
        or "not-holding" in said
        or not any("-" in place for place in target.places or ())
    ):
        return False
    around = talk.draft.tokens[max(0, target.start - _METER_READ) : statement.head + _METER_READ // 4]
    return any(token.norm in _MILLIVOLTS for token in around)


def _counted_corners(talk: Talk, target: Target) -> bool:
    """ "Front left clicks all the time, the switch was wet, the other three are fine": what is counted are burners, one of which
    was told of at its corner, and not the part in talk, of which there is one."""
    words = {token.norm for token in talk.draft.tokens[target.start : target.end]}
    told = any("-" in (fact.position or "") for fact in talk.story.facts[-_LATELY:])
    return bool(words & _HOW_MANY) and told and talk.state.appliance not in locating.NO_BURNERS


def _told_last(talk: Talk, target: Target) -> str | None:
    """ "Knob slips on its shaft, rear left the same": of the part of which that was told, not of what it slips on."""
    last = talk.story.facts[-1] if talk.story.facts else None
    told = {sense.id for sense in talk.last}
    here = last is not None and last.condition in told and last.position not in (None, *(target.places or ()))
    return last.component if here and last is not None and target.places and not target.group else None


def _beside_a_spark(talk: Talk, target: Target) -> bool:
    """ "Spark's good on the left one, weak on the right": of the spark, too."""
    last = talk.story.facts[-1] if talk.story.facts else None
    here = last is not None and last.component == "electrode" and last.clause == talk.state.clause
    return here and last is not None and bool(target.places) and last.position not in (target.places or ())


def _of_its_row(talk: Talk, target: Target) -> bool:
    """ "Left radiant cracked, middle fine": a place of a fire, which has no burners that stand in a row."""
    part = talk.state.topic[-1].component if talk.state.topic else None
    return talk.state.appliance in locating.NO_BURNERS and part == "radiant" and bool(target.places)


def _told_there(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "Far right the flame's noisy ... and the far right, it was noisy because": the part of which that was told there."""
    if statement.denied or "ok" in statement.condition_ids or not target.places or target.group:
        return None
    if len(target.places) > 1 and _listed_since(talk):
        return None  # "knobs: rear left's split ... electrodes: front pair fine, back pair cracked"
    told = [
        fact.component
        for fact in talk.story.facts[-16:]
        if fact.position in target.places and fact.condition in statement.condition_ids and fact.status in OPEN
    ]
    return told[-1] if told else None


def _listed_since(talk: Talk) -> bool:
    """Whether the part in talk is one of which several have just been told together."""
    last = talk.story.facts[-2:]
    topic = {name.id for target in talk.state.topic[-1:] for name in target.names}
    alike = len(last) == 2 and {fact.component for fact in last} <= topic and last[0].clause == last[1].clause
    return alike and last[0].position != last[1].position


def _only_fouled(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "The head's scratched and the cap's warped, back left's just greasy": several parts were told of, so the burner there."""
    before = talk.story.facts[-2:]
    if len({fact.component for fact in before}) < len(("head", "cap")):
        return False
    last = talk.story.facts[-1] if talk.story.facts else None
    corner = len(target.places or ()) == 1 and "-" in (target.places or ("",))[0]
    lead = {token.norm for token in talk.draft.tokens[max(0, statement.head - 2) : statement.head]}
    told = last is not None and last.condition not in (None, "ok", "dirty", "sooted", "blocked", "partly-blocked")
    return (
        corner and told and statement.condition_ids == {"dirty"} and bool(lead & {"just", "only"}) and not listed(talk)
    )


def _of_the_burner(talk: Talk, statement: Statement) -> bool:
    """Whether "hold in", "light", "spark" is said, which no part that was worked on does."""
    if statement.condition_ids != {"ok"} or statement.denied or not talk.state.topic:
        return False
    words = set(words_of(talk, statement))
    told = {name.id for name in talk.state.topic[-1].names}
    return any(words & OPPOSITES[shown] and not told & _DOES[shown] for shown in _DOES)


def _left_of_unlike(talk: Talk, target: Target, statement: Statement) -> bool:
    """Whether the corners that are left are praised, behind corners of which each had another part told: said of the burners."""
    if statement.condition_ids != {"ok"} or target.group != "rest" or target.names:
        return False
    parts_at: dict[str, set[str]] = {}
    for fact in talk.story.facts[-2 * _LATELY :]:
        if "-" in (fact.position or "") and fact.component in AT_BURNER:
            parts_at.setdefault(str(fact.position), set()).add(str(fact.component))
    words = [token.norm for token in talk.draft.tokens[target.start : target.end]]
    counted = next((_NUMBERS[word] for word in words if word in _NUMBERS), len(FOUR) - len(parts_at))
    unlike = len(parts_at) > 1 and not set.intersection(*parts_at.values())
    return unlike and counted + len(parts_at) == len(FOUR)


def _told_all_fit(talk: Talk, target: Target, statement: Statement) -> bool:
    """Whether the part in talk has just been called fit wherever it is, so that "front left fine" tells no more of it."""
    last = talk.story.facts[-1] if talk.story.facts else None
    corner = len(target.places or ()) == 1 and "-" in (target.places or ("",))[0]
    if last is None or not corner or target.names or statement.condition_ids != {"ok"} or statement.listing:
        return False
    return (last.position, last.condition, last.status) == ("all", "ok", "present") and last.component in AT_BURNER


def _lit_again(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Rear left's dead, jet blocked, cleared it, lit, other three are fine": of the burners, whose fault came right with it."""
    if statement.condition_ids != {"ok"} or not (target.group == "rest" or target.places == ("others",)):
        return False
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.status != "resolved" or last.component == "burner":
        return False
    told = [
        fact for fact in talk.story.facts[-4:-1] if fact.clause >= last.clause - 3 and fact.position == last.position
    ]
    return any(fact.component == "burner" and fact.condition in SHOWING and fact.status == "resolved" for fact in told)


def _told_by_burners(talk: Talk, target: Target, statement: Statement) -> bool:
    """ "Rear right: crown's chipped, injector's clear. The other three are fine": where several parts of one burner were told,
    the others are burners too."""
    several = target.group == "rest" or target.places == ("others",) or len(target.places or ()) > 1
    if not several or target.names or statement.condition_ids - {"passed"} != {"ok"}:
        return False
    if not any(sense.of is None or "burner" in sense.of for sense in statement.senses if sense.id == "ok"):
        return False  # "the other three turn easily": the taps
    here: set[str | None] = set()
    for fact in reversed(talk.story.facts[-_LATELY:]):
        if fact.position != talk.story.facts[-1].position or "-" not in (fact.position or ""):
            return False
        here |= {fact.component} & AT_BURNER
        if fact.explicit:  # its place was said with it: here the talk of this burner began
            break
    return len(here) > 1


def listed(talk: Talk) -> bool:
    """Whether the last two facts are of one part at two places, each said with its place."""
    last = talk.story.facts[-2:]
    apart = len(last) == 2 and last[0].position != last[1].position
    return apart and last[0].component == last[1].component and all(fact.explicit for fact in last)


def comes_of_topic(talk: Talk, statement: Statement) -> bool:
    """ "The lead was off so it wouldn't spark": the symptom shows at another part than the one that has been told of."""
    if not statement.condition_ids & {"no-spark", "weak-spark"} or statement.denied:
        return False
    return any(
        fact.component in SPARKS and fact.status == "present" and fact.condition not in (None, "ok")
        for fact in talk.state.focus
    )
