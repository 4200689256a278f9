"""What a clause says of faults that were told before: cured, gone, confirmed, carried out; what goes on is in `going_on`.

In: a clause and the talk. Out: the facts that changed. Not allowed to know: new findings.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import MENDING, Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import filing, parts, stating
from fieldnote.extract.facts.locating import NO_BURNERS
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, BELIED, SHOWING, SILENT

# what a fault calls for
_IN_PIECES = frozenset("pieces bits half halves apart hand hands snapped".split())
_REMEDY = {
    "out-of-adjustment": "adjust", "dirty": "clean", "blocked": "clean", "stiff": "regrease", "dry": "regrease",
    "loose": "tighten", "detached": "refit", "misaligned": "refit", "sooted": "clean", "partly-blocked": "clean", "wet": "dry",
    **dict.fromkeys("perished cracked broken worn expired missing kinked wrong-part burnt".split(), "replace"),
}  # fmt: skip
_LIGHTS = frozenset("lights light lit lighting ignites catches fires burns burning".split())
_HOLD = frozenset("hold stay holding staying".split())
_EVERY = frozenset({("they", "all"), ("they", "both"), ("all", "four"), ("all", "five")})
_SPARKING = frozenset("sparks sparking spark".split())
_SAID_OF_IT = 8  # words of "so it got one and all"
_BENT = frozenset({"kinked", "distorted", "misaligned"})
_SOUNDS = frozenset("murmur peep squeak sound whisper dicky bird noise rattle knock tick click cheep".split())
# what would not move and goes after all ("it was standing, I gave it a turn and now it runs")
_STILL = frozenset("dead seized sticking stiff".split())
_AT_LAST = frozenset("now away off".split())
_NO_CURE = frozenset({"monitor", "advise", "label", "order"})
_STUCK = frozenset({"seized", "sticking"})
_AFTER = frozenset("after with once since when".split())
_NO_FAULT = frozenset({None, "ok", "passed"})
_DOES = frozenset("spark sparks sparking light lights lighting lit fire fires".split())
_LIGHTING = {"ok", "inadequate"}  # said of a lead, "lighting" is what the lead is made for
_FIRM = frozenset("solid tight firm snug rigid".split())
_MAKES_FIRM = frozenset("replace refit tighten repair".split())


def comes_of_work(talk: Talk, said: Said, made: Sequence[Fact]) -> bool:
    """Whether "it sparks" follows work, or a fault that it contradicts."""
    if any(job.kind not in _NO_CURE for job in said.works):
        return True  # "but it sparks, keep an eye on it" mends no crack
    if _sparks_only(talk, said) or _does_in_spite(talk, said):
        return False
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    goes = SILENT | _STILL if words & _AT_LAST and not said.against else SILENT
    return any(
        (fact.worked and fact.status == "resolved") or (fact.condition in goes and fact.status == "present")
        for fact in [*made, *talk.state.focus]
    )


def stopped(talk: Talk, said: Said, made: Sequence[Fact]) -> None:
    """ "Nipped the gland up and it's stopped weeping": what was wrong is told with its end, behind the work."""
    for statement in said.statements if said.cured else ():
        before = talk.draft.tokens[statement.head - 1].norm if statement.head else ""
        for fact in made if before == "stopped" and not statement.denied else ():
            if fact.condition is not None or not fact.worked or fact.clause != talk.state.clause:
                continue
            part = Target((Sense("component", str(fact.component), None, "strong"),))
            found = parts.fitting(part, statement, talk.state.appliance)
            if found is not None and found[0] == fact.component and found[1] != "ok":
                fact.condition = found[1]


def _sparks_only(talk: Talk, said: Said) -> bool:
    """ "Won't light, but it's sparking fine": what sparks may still not light."""
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    told = [fact.condition for fact in talk.state.focus if fact.status == "present"]
    unlit = bool(told) and set(told) <= {"not-lighting", "not-holding"}
    return unlit and bool(words & _SPARKING) and not any(fact.worked for fact in talk.state.focus)


def _does_in_spite(talk: Talk, said: Said) -> bool:
    """ "Spark's weak but it lights": what it does in spite of its fault, which nobody has worked on."""
    told = [fact for fact in talk.state.focus if fact.status == "present"]
    worked = any(fact.worked for fact in talk.state.focus)
    return said.against and bool(told) and not worked and all(fact.condition == "weak-spark" for fact in told)


def sparks(talk: Talk, said: Said) -> list[Fact]:
    """ "Won't light, but it's sparking fine": so much for its spark."""
    told = talk.state.focus[-1] if talk.state.focus else None
    if told is None or not told.position or not said.against or not _sparks_only(talk, said):
        return []
    if not said.statements or any(statement.condition_ids != {"ok"} for statement in said.statements):
        return []
    part = Target((Sense("component", "electrode", None, "strong"),), (told.position,))
    return [filing.file(talk, "electrode", "ok", told.position, part, "present", said.as_statement(), Mode())]


def opens(talk: Talk, said: Said) -> list[Fact]:
    """ "There's a window in the room, it opens": that it can be opened is all that is asked of it."""
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    target = next(iter(said.subject or talk.state.topic[-1:]), None)
    if (
        target is None
        or target.component != "window"
        or not words & {"opens", "opened"}
        or said.statements
        or said.works
    ):
        return []
    if any(fact.component == "window" for fact in talk.story.facts[-12:]):
        return []
    return [filing.file(talk, "window", "ok", None, target, "present", said.as_statement(), Mode())]


def goes_since(talk: Talk, said: Said) -> list[Fact]:
    """ "Oven burner was swapped in May and it's burning nicely": what was renewed before this visit is fit today."""
    last = talk.state.focus[-1] if talk.state.focus else None
    if last is None or last.status != "historical" or last.condition is not None or said.statements or said.works:
        return []
    if said.subject or last.component is None or last.clause < talk.state.clause - 1:
        return []
    part = Target((Sense("component", last.component, None, "strong"),), (last.position,) if last.position else None)
    part = replace(part, size=last.burner)
    statement = said.as_statement()
    statement.hedged, statement.cues = False, []
    return [filing.file(talk, last.component, "ok", last.position, part, "present", statement, Mode())]


def lit(talk: Talk, said: Said) -> list[Fact]:
    """ "Back right, it lights every time": an outcome where nothing was wrong says that the burner there is fit."""
    target = next(iter(said.subject or talk.state.topic[-1:]), None)
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    if _all_of_them(talk, said):
        return _all_lit(talk, said)
    if target is None or target.names or not words & _LIGHTS or said.statements or said.works:
        return []
    if target.appliance in ("grill", "oven") and not target.places:
        return _burner_lit(talk, said, target)
    if not target.places:
        return []
    if any(fact.position in target.places and fact.status != "historical" for fact in talk.story.facts[-12:]):
        return []
    part = Target((Sense("component", "burner", None, "strong"),), target.places, target.size)
    out = [
        filing.file(talk, "burner", "ok", place, part, "present", said.as_statement(), Mode())
        for place in target.places
    ]
    for fact in out:
        fact.cues = [cue for cue in fact.cues if cue != "hedge"]
    return out


def _all_of_them(talk: Talk, said: Said) -> bool:
    """ "They all hold in", "now they all light": said of the burners, of which nothing else is told here."""
    words = [token.norm for token in talk.draft.tokens[said.start : said.end]]
    every = any(pair in _EVERY for pair in pairwise(words)) and not said.statements and not said.works
    return every and bool(set(words) & (_LIGHTS | _HOLD)) and talk.state.appliance not in NO_BURNERS


def _all_lit(talk: Talk, said: Said) -> list[Fact]:
    """The burners are fit, unless one of them was said to be out: that has come right, and no more is told."""
    if any(fact.condition in SILENT and fact.component == "burner" for fact in talk.story.facts[-12:]):
        return []
    part = Target((Sense("component", "burner", None, "strong"),), ("all",))
    fit = filing.file(talk, "burner", "ok", "all", part, "present", said.as_statement(), Mode())
    fit.cues = [cue for cue in fit.cues if cue != "hedge"]
    return [fit]


def _burner_lit(talk: Talk, said: Said, target: Target) -> list[Fact]:
    """ "Grill lights every time": its burner is fit, where nothing was wrong with how it lights."""
    part = replace(target, names=(Sense("component", "burner", None, "strong"),), size=target.appliance)
    lately = [fact for fact in talk.story.facts[-12:] if fact.burner == target.appliance and fact.condition in SILENT]
    if lately or target not in said.subject:
        return []
    return [filing.file(talk, "burner", "ok", None, part, "present", said.as_statement(), Mode())]


def belied(talk: Talk) -> None:
    """ "She says it goes out but it stays lit": what was only told is not so."""
    for fact in talk.state.focus:
        if fact.status == "reported" and fact.condition in SILENT:
            fact.turn("absent", "own-check")


def heard_nothing(talk: Talk, statement: Statement) -> bool:
    """ "He says it bangs, I've had it running and not a murmur": the noise that was only told of is not to be heard; "reckons it
    goes out, it never dropped out once": nor does it go out."""
    words = [token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words]]
    if "failed" in statement.condition_ids and words[:1] == ["never"] and not any(t.names for t in statement.targets):
        out = [fact for fact in talk.state.focus if (fact.condition, fact.status) == ("not-holding", "reported")]
        for fact in out:
            fact.turn("absent", "own-check")
        return bool(out)
    told = [fact for fact in talk.state.focus if fact.condition == "noisy" and fact.component != "co-alarm"]
    told = [fact for fact in told if fact.status == "reported" or fact.superseded]
    if not told or not _SOUNDS & {*words} or not {"not", "nary", "without", "never"} & {*words}:
        return False
    for fact in told:
        fact.turn("absent", "own-check")
    return True


def after_work(talk: Talk, statement: Statement, said: Said) -> bool:
    """Whether "fine" is said of what was just worked on ("brushed it clean", "reseated it and it lights first time")."""
    if statement.denied and (_gone_since(statement, said) or _no_more(talk, statement, said)):
        return True
    if _came_free(talk, statement):
        return True
    verdict = statement.condition_ids in ({"ok"}, {"ok", "passed"}, _LIGHTING)  # "remade, tested ok"
    fit = verdict or _dried(talk, statement, said) or _made_firm(talk, statement, said)
    fit = fit or _at_work_again(talk, statement, said) or _fell_silent(talk, statement)
    if not fit or statement.own or statement.denied or statement.hedged:
        return False
    others = [t for t in statement.targets if t.group == "rest" or t.places == ("others",)]
    if any(talk.draft.tokens[t.start - 1].norm == "with" for t in others if t.start) and not said.works:
        return False  # "replaced it, no problem with the other three"
    if _true_again(talk, statement, said) or _capped(talk, statement, said):
        return True
    mended = next((job for job in said.works if job.state == "done" and job.kind in MENDING), None)
    on_it = mended is not None and any(t.names and t.end <= mended.start for t in statement.targets)
    on_it = on_it and "dry" in statement.condition_ids
    apart = mended is not None and not (statement.pronoun or on_it) and stating.elsewhere(talk, statement)
    if apart and not contradicted(talk, said, []):
        return False
    if mended or said.works:
        return mended is not None and (statement.head > mended.start or _came_of(talk, statement, mended))
    if _all_well(talk, said) or (verdict and _no_longer_out(talk, statement)):
        return True
    # "adjusted that, tested the alarm, it works"
    tested = {talk.state.topic[-1].component} if talk.state.topic else set()
    worked = [fact for fact in talk.state.focus if fact.worked and fact.status == "resolved"]
    head = talk.state.topic[-1] if talk.state.topic else None
    alone = (
        head is not None
        and head.places
        and (
            all(fact.clause < talk.state.clause - 1 for fact in worked)
            if head.names
            else 0 <= statement.head - head.end <= 1
        )
    )
    if alone and head is not None and all(fact.position not in (head.places or ()) for fact in worked):
        return False  # "back right. electrode bent, straightened. front right. fine"
    return not said.subject and bool(worked) and not (talk.tested and tested.isdisjoint(f.component for f in worked))


def _came_of(talk: Talk, statement: Statement, job: Job) -> bool:
    """ "That one came free after a drop of grease": what a fault came to is told before the work."""
    between = [token.norm for token in talk.draft.tokens[statement.head : job.start + 1]]
    told = any(fact.status == "present" and fact.condition not in _NO_FAULT for fact in talk.state.focus)
    return told and len(between) <= _SAID_OF_IT and not _AFTER.isdisjoint(between) and not statement.targets


def _fell_silent(talk: Talk, statement: Statement) -> bool:
    """ "Sounds like a kettle. Cap was on wrong; spun it round, silent": the noise that was told before is gone."""
    noises = [fact for fact in talk.story.facts[-5:] if fact.condition == "noisy" and fact.status == "present"]
    return (
        bool(noises) and "ok" in statement.condition_ids and talk.draft.tokens[statement.head].norm in BELIED["noisy"]
    )


def _true_again(talk: Talk, statement: Statement, said: Said) -> bool:
    """ "Hose was kinked, turned it round and it hangs straight": the very fault told of it is gone."""
    words = {token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words]}
    faults = [fact for fact in talk.state.focus if fact.status in ("present", "resolved") and fact.condition in _BENT]
    gone = bool(faults) and all(words & BELIED[fact.condition or ""] for fact in faults)
    return gone and not (statement.targets or said.subject)


def _came_free(talk: Talk, statement: Statement) -> bool:
    """ "Cap was welded on, soaked it and it came off": what was stuck has come free."""
    named = any(target.names for target in statement.targets)
    came = "detached" in statement.condition_ids and talk.draft.tokens[statement.head].norm == "came" and not named
    stuck = [f for f in talk.state.focus if f.condition in _STUCK and f.clause >= talk.state.clause - 3]
    behind = {token.norm for token in talk.draft.tokens[statement.head : statement.head + 6]}
    return came and bool(stuck) and not statement.denied and behind.isdisjoint(_IN_PIECES)


def _no_longer_out(talk: Talk, statement: Statement) -> bool:
    """ "Both fronts: no spark ... two new leads on and both spark now": what did not light or spark before the work does."""
    both = any(target.group == "last-two" for target in statement.targets)
    does = (statement.now or both) and talk.draft.tokens[statement.head].norm in _DOES
    lately = [fact for fact in talk.story.facts[-8:] if fact.clause >= talk.state.clause - 4]
    return does and any(fact.condition in SILENT and fact.status == "resolved" for fact in lately)


def _all_well(talk: Talk, said: Said) -> bool:
    """ "Turned the regulator down and all the flames sit": what was wrong with any of them has been put right by the work."""
    worked = any(fact.worked and fact.status == "resolved" for fact in talk.state.focus)
    named = [target.component for target in said.subject if target.component and target.places == ("all",)]
    open_ones = [fact for part in named for fact in talk.story.named(part)[:8] if fact.status in OPEN]
    return worked and any(fact.condition not in (None, "ok", "passed") for fact in open_ones)


def _at_work_again(talk: Talk, statement: Statement, said: Said) -> bool:
    """ "Put a new fuse in and it's clicking away": of what it can mean, that it works, for there was no spark before the work."""
    if not {"constant-spark"} <= statement.condition_ids <= {"ok", "constant-spark", "noisy"}:
        return False
    lately = [fact for fact in talk.story.facts[-4:] if fact.clause >= talk.state.clause - 3]
    silent = any(fact.condition in SILENT | {"dead"} for fact in lately)
    return silent and (bool(said.works) or any(fact.worked for fact in talk.state.focus))


def _made_firm(talk: Talk, statement: Statement, said: Said) -> bool:
    """ "Glass rattles, nipped the screws and it's solid": said of what was loose and has been tightened."""
    solid = talk.draft.tokens[statement.head].norm in _FIRM and statement.pronoun
    jobs = {job.kind for job in said.works if job.state == "done" and job.end <= statement.head}
    lately = [fact for fact in talk.state.focus if fact.status == "resolved" and fact.clause >= talk.state.clause - 2]
    jobs |= {a.kind for fact in lately for a in fact.actions if a.state == "done" and not said.works}
    if solid and jobs & _MAKES_FIRM:
        return True  # "stuck a new one in and it's solid"
    if "ok" not in statement.condition_ids or statement.words > 3:
        return False
    slack = [fact for fact in talk.state.focus if fact.condition in ("loose", "unstable", "detached", "leaking")]
    return any(fact.worked for fact in slack)


def _dried(talk: Talk, statement: Statement, said: Said) -> bool:
    """Whether "dry" is said of what leaked or was wet and has been worked on, or "tight"."""
    tight = "ok" in statement.condition_ids and talk.draft.tokens[statement.head].norm in ("tight", "sound")
    if not ({"ok", "dry"} <= statement.condition_ids or tight):
        return False
    leaked = [fact for fact in talk.story.facts[-6:] if fact.condition in ("leaking", "wet")]
    if any(job.kind == "tighten" and job.state == "done" and job.end <= statement.head for job in said.works):
        return True  # "outlet union: nipped, dry"
    return any(fact.worked or (said.works and fact.status == "present") for fact in leaked)


def _capped(talk: Talk, statement: Statement, said: Said) -> bool:
    """ "An old run that's weeping, capped it off, sprayed it, dry": pipe that nothing hangs on is mended by its cap."""
    if "dry" not in {token.norm for token in talk.draft.tokens[statement.head : statement.head + 2]}:
        return False
    leak = next((one for one in said.statements if "leaking" in one.condition_ids and one.head < statement.head), None)
    if leak is not None and any(t.component in ("pipework", "joint") for t in leak.targets):
        return any(job.kind == "disconnect" and leak.head < job.start < statement.head for job in said.works)
    last = talk.state.focus[-1] if talk.state.focus else None
    led = last is not None and last.component in ("pipework", "joint") and last.condition == "leaking"
    return led and last is not None and any(a.kind == "disconnect" and a.state == "done" for a in last.actions)


def _no_more(talk: Talk, statement: Statement, said: Said) -> bool:
    """ "Nipped the bolts, no more drips": the fault told before is gone since the work."""
    worked = any(job.state == "done" and job.kind in MENDING and job.start < statement.head for job in said.works)
    if statement.own or not (worked or (statement.now and any(fact.worked for fact in talk.state.focus))):
        return False
    told = [fact for fact in talk.story.facts[-8:] if fact in talk.state.focus or fact.component == "appliance"]
    return any(fact.condition in statement.condition_ids and fact.status in OPEN for fact in told)


def _gone_since(statement: Statement, said: Said) -> bool:
    """Whether a fault of the same clause is denied behind the work on it ("was passing, changed it, tested, no leaks")."""
    return any(
        not other.denied and other.condition_ids & statement.condition_ids and other.head < job.start < statement.head
        for other in said.statements
        for job in said.works
        if job.state == "done" and job.kind in MENDING
    )


def contradicted(talk: Talk, said: Said, made: list[Fact]) -> list[Fact]:
    """ "Rear left wouldn't hold ... new spindle in, holds first time": the symptom there that the outcome gives the lie to."""
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    places = {fact.position for fact in made or talk.state.focus}
    places |= {place for target in said.subject for place in target.places or ()}
    shown = [fact for fact in talk.story.facts[-8:] if fact.status == "present" and fact.position in places]
    shown = [fact for fact in shown if all(_of_its_burner(target, fact) for target in said.subject)]
    return [fact for fact in shown if BELIED.get(fact.condition or "", frozenset()) & words]


def _of_its_burner(target: Target, symptom: Fact) -> bool:
    """ "Grill thermocouple was out of the flame, bent it over, stays on": what the burner did that the part belongs to."""
    part = target.component in AT_BURNER - {"burner", "flame"} and symptom.component == "burner"
    here = symptom.position in target.places if target.places else symptom.burner == target.size
    return part and here


def ended(talk: Talk, said: Said) -> list[Fact]:
    """ "The clicking has stopped": the fault itself is the subject."""
    ids = {
        id_
        for statement in said.statements
        if not (statement.denied or _mended_next(statement, said))
        for id_ in statement.condition_ids - {"ok"}
    }
    told = [fact for fact in talk.story.facts[-12:] if fact.condition in ids and fact.status in OPEN]
    return [_cure(fact) for fact in told if fact.component == told[-1].component]


def _mended_next(statement: Statement, said: Said) -> bool:
    """ "Board's dead; fuse on it had blown, replaced it and it's all alive": a fault of a part of its own, with its work."""
    named = any(target.names or target.places for target in statement.targets)
    return named and any(job.state == "done" and job.start > statement.head for job in said.works)


def _cure(fact: Fact) -> Fact:
    fact.turn("resolved", "cured")
    return fact


def carried_out(talk: Talk, made: Sequence[Fact], said: Said) -> None:
    """ "Needs a tweak, did that": what was wanted is done, or what such a fault calls for."""
    if _got_one(talk, made or talk.state.focus):
        return
    for fact in _done_both(talk) or made or _its_own(talk, said) or talk.state.focus:
        wanted = [action.kind for action in fact.actions if action.state == "needed"]
        bare = talk.draft.tokens[talk.read_to - 1].norm == "have"  # "turn it off she says, so I have"
        for kind in wanted or [_REMEDY.get(fact.condition or "", "") if not bare else ""]:
            if kind and fact.status in OPEN:
                fact.act(kind, "done")
        if fact.worked and fact.status in OPEN:
            fact.turn("resolved", "work-done")


def _got_one(talk: Talk, faults: Sequence[Fact]) -> bool:
    """ "Front left wouldn't hold, put a thermocouple in it; front right the same, so it got one": the same part there."""
    said = {token.norm for token in talk.draft.tokens[max(0, talk.read_to - _SAID_OF_IT) : talk.read_to]}
    fault = faults[-1] if faults and faults[-1].condition in SHOWING and faults[-1].position else None
    if fault is None or not said >= {"got", "one"}:
        return False
    done = [f for f in talk.story.facts[-6:] if f.condition is None and f.status == "resolved" and f.worked]
    model = next((f for f in reversed(done) if f.position not in (None, fault.position)), None)
    if model is None:
        return False
    target = Target((Sense("component", str(model.component), None, "strong"),), (str(fault.position),))
    said_so = Said(start=fault.end, end=talk.read_to).as_statement()
    new = filing.file(talk, str(model.component), None, fault.position, target, "resolved", said_so, Mode())
    new.act(model.actions[-1].kind, "done")
    fault.turn("resolved", "cured")
    return True


def _its_own(talk: Talk, said: Said) -> list[Fact]:
    """ "Electrode's cracked, knob's melted, the sparker I had with me so that's done": the fault of the part that is named."""
    named = {name.id for target in said.subject for name in target.names}
    told = [fact for fact in talk.story.facts[-8:] if fact.component in named and fact.status in OPEN]
    return told[-1:]


def _done_both(talk: Talk) -> list[Fact]:
    """ "Left one's stiff, right one's jet is blocked, I've done both": the two faults told last."""
    end = talk.read_to
    if not {"both", "pair"} & {token.norm for token in talk.draft.tokens[max(0, end - 5) : end]}:
        return []
    told = [
        fact
        for fact in talk.story.facts[-4:]
        if fact.status == "present" and fact.condition not in (None, "ok", "passed")
    ]
    return told[-2:] if len(told) > 1 else []
