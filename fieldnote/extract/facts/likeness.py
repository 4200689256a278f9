"""What "the same" repeats: a condition, all that was told of a place, the work. In: a statement and the talk. Out: the facts that
are meant, and the statements that say them of another part. Not allowed to know: how a fact is filed.
"""

import bisect
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Job, Said, Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import SIDE, Target
from fieldnote.extract.facts.story import LIKEWISE, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, OPPOSITES, SHOWING

_COPIED = 12  # facts among which those are that were copied from another burner
_COPYING = frozenset("same likewise ditto identical as".split())
_SEEN = frozenset({"present", "possible", "resolved"})
_MERELY = frozenset("only just".split())
_THERE = frozenset("on at with for to".split())
_IT_WAS = [["it", "was"], ["that", "was"], ["it", "is"], ["that", "is"]]
_BESIDES = frozenset("also too well both still".split())
_LEADING = frozenset("but and there here though this one time".split())
_LATELY = 12  # clauses in which what is the same was told
_TOLD = frozenset({"present", "resolved", "absent"})
_BY_ITS_MARK = ("injector", "ok")  # of another burner another one is right
_AT_AN_OVEN = frozenset({"door", "door-seal"})
_TROUBLE = frozenset("trouble problem fault issue".split())
_SO = frozenset("so sos neither nor as".split())
_A_FEW = 4  # clauses within which "does" can take up a verb
_DOING = frozenset("does do doing".split())
_BEING = frozenset("is was has isnt wasnt".split())
_OF_ITS_PARTS = frozenset("dirty sooted burnt corroded worn cracked chipped damaged loose misaligned wet".split())
_ITS_PARTS = frozenset("burner-cap burner-ring burner-head injector electrode thermocouple flame knob gas-tap".split())
_ONE = frozenset("one ones".split())
_SAID_PLAINLY = frozenset({"seized", "dead", "loose", "misaligned"})
_REFUSING = frozenset("wont wouldnt doesnt dont didnt cant couldnt not isnt wasnt arent never".split())
_OF_AN_OVEN = frozenset("knob electrode gas-tap thermocouple fsd thermostat door door-seal ht-lead injector".split())
_COOKING = frozenset({"oven", "grill"})


def and_its_like(talk: Talk, clause: Clause, said: Said) -> None:
    """ "The hose is fine and the bayonet": a part that is named behind praise, and nothing more, is as fit."""
    last = talk.story.facts[-1] if talk.story.facts else None
    bare = clause.joint == "and" and clause.kinds() <= {"and", "det", "component"}
    if last is None or not bare or last.clause != talk.state.clause - 1 or said.statements or said.works:
        return
    end = clause.mentions[-1].end
    over = end == len(talk.draft.tokens) or talk.draft.tokens[end - 1].pause == "."
    parts = [target for target in said.subject if target.names]
    if over and parts and last.condition == "ok" and last.status == "present" and not last.actions:
        start = clause.mentions[0].start
        fit = (Sense("condition", "ok"),)
        said.statements.append(Statement(fit, start, end, parts, head=end - 1, own=True, words=1, cues=["same"]))


def and_its_neighbour(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Front left knob loose. And the one behind it.": a burner in a sentence of its own has the fault that was told last."""
    last = talk.story.facts[-1] if talk.story.facts else None
    bare = clause.mentions[0].kind == "and" and clause.kinds() <= {"and", "det", "group", "place", "one", "mark"}
    if (
        last is None
        or not bare
        or last.clause != talk.state.clause - 1
        or said.statements
        or said.works
        or last.actions
    ):
        return
    end = clause.mentions[-1].end
    over = end == len(talk.draft.tokens) or talk.draft.tokens[end - 1].pause == "."
    alone = len(said.subject) == 1 and not said.subject[0].names and last.status == "present" and last.condition
    if over and alone and last.position in FOUR and sum(f.clause == last.clause for f in talk.story.facts[-3:]) == 1:
        told, name = (Sense("condition", str(last.condition)),), Sense("component", str(last.component), None, "strong")
        there = [replace(said.subject[0], names=(name,))]
        start = clause.mentions[0].start
        said.statements.append(Statement(told, start, end, there, head=end - 1, own=True, words=1, cues=["same"]))


def repeated(talk: Talk, statement: Statement) -> list[tuple[Fact, Statement]]:
    """The facts that "the same" repeats with what it says, where they are not just the condition said last."""
    if not statement.same or statement.denied or talk.forgotten(statement):
        return []
    named = bool(statement.targets) and all(target.names for target in statement.targets)
    if named and talk.draft.tokens[statement.head].norm in _SO and talk.last:
        return []  # "rear left tap fine, so's its knob": what was said last
    pairs = _of_the_parts(talk, statement) if named else _of_the_place(talk, statement) or _of_the_unit(talk, statement)
    return [(fact, _said_of(statement, fact, target)) for fact, target in pairs]


def _of_the_place(talk: Talk, statement: Statement) -> list[tuple[Fact, Target]]:
    """ "Front left crown cracked, cap chipped, front right the same": all that was told of the last place."""
    target = statement.targets[0] if len(statement.targets) == 1 else None
    last = talk.story.facts[-1] if talk.story.facts else None
    if target is None or last is None or target.names or target.group or not (target.places or target.size):
        return []
    if last.position in (target.places or ()) or (target.size and last.burner == target.size):
        return []
    if target.size and last.component in _AT_AN_OVEN and last.status in _TOLD:
        return [(last, target)]  # "oven door seal's worn, the grill's likewise"
    named = _named_as_model(talk, statement) if target.places else None
    there: set[str | None] = {named} if named else _where_told(talk, last, target)
    run = _told_there(talk, there, target, skipping=bool(named))
    if _of_trouble(talk, statement):
        run = [fact for fact in run if fact.status != "absent" and fact.condition not in ("ok", "passed")]
    shown = [fact for fact in run if fact.condition in SHOWING] if _does_it(talk, statement) else []
    several = len(run) > 1
    run = shown or run
    # "oven electrode cracked, grill the same"
    alone = bool(target.size) and run == [last] and last.component != "burner"
    if named and run and target.places:
        talk.alike = (named, target.places[0])
    mended = _only_work(last) and len(run) == 1  # "wouldn't hold, put a thermocouple in it; front right the same"
    told = run and None not in there and (alone or named or mended or several)
    return _but_for(statement, [(fact, target) for fact in run]) if told else []


def _of_the_unit(talk: Talk, statement: Statement) -> list[tuple[Fact, Target]]:
    """ "First fire: coals fine, pilot fine. Second fire: same": all that was told of the other one of two of a kind."""
    last, here = talk.story.facts[-1] if talk.story.facts else None, talk.story.unit
    placed = any(target.places or target.group or target.size for target in statement.targets)
    if last is None or here is None or placed or here == last.unit or last.appliance != talk.state.appliance:
        return []
    if last.clause < talk.state.clause - 2:
        return []
    run: list[Fact] = []
    for fact in reversed(talk.story.facts[-_LATELY:]):
        if (fact.unit, fact.appliance) != (last.unit, last.appliance):
            break
        run = [fact, *run] if fact.condition is not None and fact.status in _TOLD else run
    return [(fact, Target()) for fact in run]


def _told_there(talk: Talk, there: set[str | None], target: Target, *, skipping: bool) -> list[Fact]:
    """The facts told last of some places, each part's fault once; `skipping` what was told of others since."""
    run: list[Fact] = []
    for fact in reversed(talk.story.facts[-_LATELY:]):
        told = (
            fact.status in _TOLD
            and not (fact.status == "absent" and fact.superseded)  # "I thought it was the jet but it wasn't"
            and fact.condition is not None
            and (fact.component, fact.condition) != _BY_ITS_MARK
            and fact.clause >= talk.state.clause - _LATELY
        )
        at_burner = fact.component in AT_BURNER if target.places else fact.burner in _COOKING
        if (fact.position if target.places else fact.burner) not in there or not (told and at_burner):
            if (skipping or (_only_work(fact) and fact.position in there)) and not run:
                continue
            break
        run = [fact, *(one for one in run if (one.component, one.condition) != (fact.component, fact.condition))]
    return run


def _only_work(fact: Fact) -> bool:
    """Whether a fact is a part that was renewed, and no fault of its own was told."""
    return fact.condition is None and fact.status == "resolved" and fact.worked


def _where_told(talk: Talk, last: Fact, target: Target) -> set[str | None]:
    """Where the facts told last are: at one place, or at the two of a pair where a pair is said to be the same."""
    if not target.places:
        return {last.burner}
    if len(target.places) != 2:
        return {last.position}
    told = {f.position for f in talk.story.facts[-_LATELY:] if (f.clause, f.component) == (last.clause, last.component)}
    return told if len(told) == 2 and not told & set(target.places) else {last.position}


def _named_as_model(talk: Talk, statement: Statement) -> str | None:
    """ "Front right same as the front left", "rear right: as front left": the place that another one is like."""
    end = statement.head + statement.words
    said = [token.norm for token in talk.draft.tokens[statement.head : end]]
    if said[0] == "as" and said[-1] in SIDE:
        return f"{'rear' if said[-2] in ('rear', 'back') else 'front'}-{said[-1]}"
    if said[-1] not in ("as", "the", "like") or _THERE & {*said[-2:-1]}:
        return None  # "same two again on the rear right"
    near = (m for m in talk.draft.mentions[_index(talk, end) :][:2] if m.start - end <= 1)
    return next((m.id for m in near if m.kind == "place" and "-" in m.id), None)


def _index(talk: Talk, start: int) -> int:
    return bisect.bisect_left(talk.draft.mentions, start, key=lambda mention: mention.start)


def _of_trouble(talk: Talk, statement: Statement) -> bool:
    """ "Got the same trouble": what is wrong is meant, not what is right or was ruled out."""
    words = talk.draft.tokens[statement.head : statement.head + statement.words]
    return any(token.norm in _TROUBLE for token in words)


def _does_it(talk: Talk, statement: Statement) -> bool:
    """ "Back right does the same but that's its magnet": what it does is the same, and not what it comes from."""
    return bool(_DOING & {token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words]})


def _but_for(statement: Statement, pairs: list[tuple[Fact, Target]]) -> list[tuple[Fact, Target]]:
    """ "The back ones the same bar the rear right injector": all parts at all those places but that one there."""
    out: list[tuple[Fact, Target]] = []
    for fact, target in pairs:
        bar = [t for t in statement.left_out if t.component == fact.component]
        left = {place for t in bar for place in t.places or target.places or ()}
        places = tuple(place for place in target.places or () if place not in left)
        if places or not target.places:
            out.append((fact, replace(target, places=places or target.places)))
    return out


def _of_the_parts(talk: Talk, statement: Statement) -> list[tuple[Fact, Target]]:
    """ "Cap chipped, crown cracked, front right the crown's the same": what was told of each part named."""
    found: list[tuple[Fact, Target]] = []
    for target in statement.targets:
        names = {name.id for name in target.names}
        told = [f for f in reversed(talk.story.facts[-_LATELY:]) if f.component in names][:1]
        told = [f for f in told if f.status in _TOLD and f.condition is not None]
        told = [f for f in told if f.position not in (target.places or ()) and f.clause >= talk.state.clause - _LATELY]
        found += [(fact, target) for fact in told]
    said = {sense.id for sense in talk.last}
    plain = len(found) == 1 and found[0][0].condition in said
    return found if len(found) == len(statement.targets) and not plain else []


def wanted_too(talk: Talk, said: Said) -> None:
    """ "The bayonet's seized, that wants renewing and so does the hose": the same is to do on another part."""
    at, job = talk.wanted
    if job is None or at < talk.state.clause - 1 or said.works:
        return
    for statement in [one for one in said.statements if one.again and not one.denied]:
        words = [token.norm for token in talk.draft.tokens[statement.head : statement.head + 2]]
        targets = [target for target in statement.targets if target.names]
        if words and words[0] == "so" and words[-1] in ("does", "do") and targets:
            said.statements.remove(statement)
            said.works.append(replace(job, start=statement.start, end=statement.end, targets=targets))


def done_too(talk: Talk, said: Said, mode: Mode) -> None:
    """ "The hose was changed in 2019 and the thermostat in 2021": the same was done to another part, at its own time."""
    last = talk.story.facts[-1] if talk.story.facts else None
    named = [target for target in said.subject if target.names]
    done = last is not None and last.status == "historical" and last.condition is None and last.actions
    if not (mode.past and named and done) or said.statements or said.works or said.guessed:
        return
    if last is not None and last.clause == talk.state.clause - 1 and last.component != named[-1].component:
        kind = last.actions[-1].kind
        said.works.append(Job(kind, "done", said.start, said.end, named[-1:], kinds=frozenset({kind})))


def both_there(talk: Talk, target: Target) -> list[Target]:
    """ "Front left cap cracked, crown worn, front right has both good": the two parts told of at the place before."""
    last = talk.story.facts[-2:]
    here = target.places or ()
    alone = target.group == "last-two" and len(here) == 1 and not target.names and len(last) == 2
    if not alone or last[0].position != last[1].position or last[0].position in (None, *here):
        return []
    ids = [fact.component for fact in last if fact.component in AT_BURNER]
    named = [Sense("component", id_ or "", None, "strong") for id_ in ids]
    return [replace(target, names=(name,), group=None) for name in named] if len(set(ids)) == 2 else []


def its_fellow(talk: Talk, target: Target, statement: Statement) -> Target | None:
    """ "The oven's electrode is fine but the grill's is cracked": the part of the one that the other stands for."""
    last, tokens = talk.story.facts[-1] if talk.story.facts else None, talk.draft.tokens
    if last is None or target.appliance not in _COOKING or target.names or not 0 < target.end < len(tokens):
        return None
    said_of_it = any(sense.of is None or last.component in sense.of for sense in statement.senses)
    # "the oven one's lost its marks"
    one = tokens[target.end].norm in _ONE and last.component in _OF_AN_OVEN and said_of_it
    owns = one or (tokens[target.end - 1].clitic and tokens[target.end].norm in _BEING)
    told = one and last.clause >= talk.state.clause - 1
    told = told or (last.burner in _COOKING and last.burner != target.size and last.clause >= talk.state.clause - 1)
    name = Sense("component", last.component or "", None, "strong")
    return replace(target, names=(name,), appliance=None) if owns and told else None


def cleared(talk: Talk, target: Target, statement: Statement) -> str | None:
    """ "Front right knob's cracked, no sorry, front left, front right's fine": the part of which that was taken back there."""
    clause, part, places = talk.cleared
    here = bool(target.places) and set(target.places or ()) <= places and not target.group
    fits = statement.condition_ids <= {"ok", "passed"} and not statement.denied
    return part if here and fits and clause >= talk.state.clause - 3 else None


def _said_of(statement: Statement, fact: Fact, target: Target) -> Statement:
    """What a fact says, said of another part."""
    name = (Sense("component", fact.component or "", None, "strong"),)
    senses = (Sense("condition", fact.condition or ""),)
    out = replace(statement, senses=senses, targets=[replace(target, names=name)], again=False, same=False)
    out.denied = fact.status == "absent"
    return out


def just_told(talk: Talk, statement: Statement) -> list[Fact]:
    """ "Grill tap is stiff, regreased it. Oven tap likewise": the fact just told of a part of the same name elsewhere."""
    last = talk.story.facts[-1] if talk.story.facts else None
    names = {name.id for target in statement.targets for name in target.names}
    return [last] if last is not None and last.component in names and last.clause >= talk.state.clause - 2 else []


def work_again(before: Fact, statement: Statement) -> None:
    """ "Turned up the bypass, did the medium one as well": the same part, what was wrong with it, and the work."""
    part = (Sense("component", before.component or "", None, "strong"),)
    statement.senses, statement.treated = (Sense("condition", before.condition or ""),), True
    statement.targets = [replace(t, names=t.names or part) for t in statement.targets]


def only_in_part(talk: Talk, said: Said, made: Sequence[Fact]) -> None:
    """ "Cracked and loose, front right same only that one's just loose": of what was likened, the rest is not so."""
    if not made or any(fact.condition == "ok" for fact in made):
        return
    if said.against or _names_it(talk, said):
        of_another_cause(talk, said, made)
    if not said.against:
        return
    copied = [fact for fact in talk.state.focus if LIKEWISE in fact.cues and fact.clause >= talk.state.clause - 2]
    kept = {id(fact) for fact in made}
    if len({fact.condition for fact in copied}) < 2 or not any(id(fact) in kept for fact in copied):
        return
    for fact in copied:
        if id(fact) not in kept:
            talk.story.drop(fact)
    talk.state.focus = tuple(fact for fact in copied if id(fact) in kept)


def of_another_cause(talk: Talk, said: Said, made: Sequence[Fact]) -> None:
    """ "Back left had the same problem but there it was the lead off": what is seen is the same, and not what it came from."""
    new = [fact for fact in made if fact.clause == talk.state.clause and LIKEWISE not in fact.cues]
    cause = next((fact for fact in new if fact.condition not in SHOWING and fact.status in _SEEN), None)
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    if cause is None or words & _BESIDES or not (words & _MERELY or _names_it(talk, said)):
        return
    for fact in talk.story.facts[-_LATELY:]:
        copied = LIKEWISE in fact.cues and fact.clause >= talk.state.clause - 3 and fact.condition not in SHOWING
        here = cause.position in (fact.position, None) or cause.component not in AT_BURNER
        copied = copied and (fact.component != cause.component or bool(words & _MERELY))  # "but it is more worn"
        if copied and here and fact is not cause:
            talk.story.drop(fact)


def _names_it(talk: Talk, said: Said) -> bool:
    """Whether what is said begins with "it was", "that's" or "but there it's"."""
    words = [token.norm for token in talk.draft.tokens[said.start : said.end]]
    while words and words[0] in _LEADING:
        words = words[1:]
    if words[:1] in (["its"], ["thats"]):
        return words[1:2] in (["the"], ["a"], ["an"])  # not "its thermocouple was loose"
    return words[:2] in _IT_WAS


def likewise(before: Fact, facts: Sequence[Fact], statement: Statement) -> None:
    """ "The one across from it the same": the same is needed there, or was done as well."""
    treated = statement.treated or (statement.same and before.status == "resolved" and before.worked)
    for fact in facts if before.status != "historical" else ():
        fact.cues += [LIKEWISE] if statement.same else []
        for action in before.actions:
            if (action.state == "needed" or treated) and fact.condition == before.condition:
                fact.act(action.kind, action.state)
        if treated and before.status == "resolved" and fact.status == "present" and fact.actions:
            fact.turn("resolved", "work-done")


def meant_again(talk: Talk, statement: Statement) -> tuple[tuple[Sense, ...], bool]:
    """The condition said last and whether it is denied: "same", "doesn't", "does"."""
    if not statement.verb and (own := _told_of_its_kind(talk, statement)):
        return own, statement.denied
    if not statement.verb:
        return talk.last, statement.denied or talk.last_denied
    if statement.verb == "has-not":
        return talk.last, True  # "front left has a bit of play, the others haven't"
    ids, does = {sense.id for sense in talk.last}, statement.verb in ("does", "is")
    clause, shown_last = talk.shown
    if statement.verb.startswith("does") and not ids & OPPOSITES.keys() and clause >= talk.state.clause - _A_FEW:
        ids = {shown_last}  # "rear right doesn't light, it's got no cap. front ones both do."
    plainly = ids & _SAID_PLAINLY and not talk.last_words & _REFUSING  # "left tap's seized, the right one isn't"
    if ids & OPPOSITES.keys() and not plainly:  # "won't light": what does, lights
        shown = frozenset({"electrode", "burner"}) if "no-spark" in ids else None  # "the other two do": spark
        refused = talk.last if ids & {sense.id for sense in talk.last} else (Sense("condition", shown_last),)
        return (refused, False) if not does else ((Sense("condition", "ok", shown),), False)
    if ids == {"ok"} and not does:
        wrong = opposite(talk.last_words)
        return ((Sense("condition", wrong),) if wrong else talk.last), not wrong
    return talk.last, not does


def same_but(talk: Talk, clause: Clause) -> None:
    """ "Front right the same, but the electrode's cracked": what is told of the one part stands for what was copied for it."""
    now = [f for f in talk.state.focus if f.clause == talk.state.clause and f.condition is not None]
    if clause.joint != "but" or not now:
        return
    for fact in talk.story.facts[-_COPIED:]:
        words = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
        copied = bool(words & _COPYING) and fact.clause == talk.state.clause - 1 and fact not in now
        anew = [f for f in now if (f.component, f.position) == (fact.component, fact.position)]
        if copied and any((f.condition == "ok") != (fact.condition == "ok") for f in anew):
            talk.story.drop(fact)


def _told_of_its_kind(talk: Talk, statement: Statement) -> tuple[Sense, ...]:
    """ "Jet blocked, tap stiff; front left: same with the jet": what was told of the other jet."""
    ids = {name.id for target in statement.targets for name in target.names}
    last = talk.story.facts[-1] if talk.story.facts else None
    same = "same" in {token.norm for token in talk.draft.tokens[statement.start : statement.end]}
    if not ids or last is None or last.component in ids or not same:
        return ()
    told = [f for f in talk.story.facts[-8:] if f.component in ids and f.condition not in (None, "ok", "passed")]
    return (Sense("condition", str(told[-1].condition)),) if told else ()


def opposite(words: frozenset[str]) -> str | None:
    """What is wrong where these words are denied: "isn't holding" is "does not hold in"."""
    return next((id_ for id_, said in OPPOSITES.items() if said & words), None)


def spelled_out(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Front left's proper dirty, cap and ring both, gave them a scrub": the parts of a burner of which a fault was told."""
    last = talk.state.focus[-1] if len(talk.state.focus) == 1 else None
    whole = last is not None and last.component == "burner" and last.condition in _OF_ITS_PARTS and not last.actions
    if last is None or not whole or last.status != "present" or last.clause != talk.state.clause - 1:
        return
    row = [m for m in clause.mentions if m.kind != "det"]
    named = next((at for at, m in enumerate(row) if m.kind not in ("component", "and")), len(row))
    parts = [m for m in row[:named] if m.kind == "component"]
    words = [token.norm for token in talk.draft.tokens[parts[-1].end : parts[-1].end + 2]] if parts else []
    if len(parts) < 2 or not words or (words[0] != "both" and words != ["the", "pair"]):
        return
    found = targets(row[:named])
    names = [replace(t, names=(n,), places=None, group=None) for t in found for n in t.names if n.id in _ITS_PARTS]
    if len(names) != len(parts):
        return
    talk.story.drop(last)
    fault = Statement((Sense("condition", str(last.condition)),), parts[0].start, parts[-1].end, names)
    fault.head, fault.words = parts[0].start, parts[-1].end - parts[0].start
    said.statements = [fault, *[one for one in said.statements if one.condition_ids == {"ok"}]]
