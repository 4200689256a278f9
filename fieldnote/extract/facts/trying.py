"""What a test tried and what came of it, where no part is named. In: a statement and the talk. Out: the part that was tested.

Not allowed to know: work.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.missing import ALWAYS_THERE, NEVER_TAKEN
from fieldnote.extract.clauses.said import Said, Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense

_SUMMED_UP = 12  # words from what was read to what it comes to
TESTED = {"tightness": "pipework", "soundness": "pipework", "spillage": "flue"}  # which part a test speaks of
_TESTS = {("pressure", "test"): "pipework", ("drop", "out"): "fsd"} | {
    (how, what): "flue" for how in ("smoke", "spill", "flow", "flue") for what in ("test", "match", "pellet")
}
TEST_REACH = 70  # words between the name of a test and its verdict, readings among them
_HELD = 25  # words in which a test is told
_MINUTES = frozenset("minute minutes mins".split())
_GAUGE = frozenset("mbar mb gauge manometer twenty 20 millibar mbar water".split())
_STOOD = frozenset("shifted moved move budged budge dropped drop lost fell held stayed shift".split())
_NOTHING = frozenset("nothing nowt none nil nae".split())
# of leaks
_SEEKERS = frozenset(
    "spray sprayed sniffer sniffed detector soapy soaped soap bubbles fluid ldf swabbed brushed".split()
)
_SNIFFED = 12  # words between the search for a leak and what came of it
_GASWAYS = frozenset(
    "gas-tap pipework joint hose bayonet meter regulator isolation-valve emergency-control gas-valve".split()
)
_EVERYWHERE = frozenset("lot everything everywhere whole all".split())
_AGAIN = frozenset("retested retest retesting".split())
_HAVE_NOT = frozenset("didnt havent hasnt hadnt not never didnae havenae couldnt".split())
_CANNOT = frozenset("cant cannot".split())
_I = frozenset("i we ive weve".split())
_LIT = frozenset("light lit lighting fire fired run try tried".split())
_NOT_SEEN = 12  # words between "couldn't see" and why
_UNSEEN = frozenset("see inspect examine check test follow reach look at view get".split())
_COVERED = (
    "boxed in",
    "blocked off",
    "blocked up behind",
    "taken off",
    "taken out",
    "taken away",
    "buried",
    "behind a",
)
_LOOKING = frozenset("check checked checking look looked looking test tested inspect inspected".split())
_GOT = frozenset("got get had been gone".split())
_TO = frozenset("to round near chance time look".split())
_DENYING = frozenset("no not nor without isnt arent wasnt werent doesnt dont wont nothing nowt none any".split())
_OF_ITS_KIND = frozenset("one any none".split())
_TURNED = frozenset("of with".split())
_RETRIED = 8  # words between "tried it again" and what came of it
_ANEW = frozenset("second retest retested again".split())
_CLICKS = frozenset("click clicks clicked clicking tick ticks ticked ticking".split())
_ALL_THE_TIME = frozenset("all own itself herself nonstop non constantly constant keeps always ever".split())
_IN_VAIN = 6  # words from "clicked" to "but", and from there to what did not come


def nothing_found(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Sprayed the bayonet and the hose, nothing", "taps with the detector, nothing found": none of them leaks."""
    if _nothing_out_of_it(talk, said):
        return
    _sprayed_both(talk, said)
    last = clause.mentions[-1]
    if said.statements or last.first not in _NOTHING or last.kind not in ("no", "no-after") or clause.cut:
        return
    start = max(0, clause.mentions[0].start - 6)
    heard = {token.norm for token in talk.draft.tokens[start : last.start]}
    named = [
        target for target in said.every if target.names and target.component != "co-alarm"
    ]  # a detector to look with
    if not named and heard & _EVERYWHERE:  # "been over the lot with the gas detector: nothing"
        named = [Target((Sense("component", "joint", None, "strong"),))]
    if named and heard & _SEEKERS:
        leak = (Sense("condition", "leaking"),)
        out = Statement(leak, last.start, last.end, named, head=last.start, denied=True, own=True, cues=["no"])
        out.words = last.end - last.start
        said.statements.append(out)


def _sprayed_both(talk: Talk, said: Said) -> None:
    """ "Hose renewed, bayonet greased, sprayed both, no bubbles": neither of the two that were told last leaks."""
    for out in said.statements:
        words = [token.norm for token in talk.draft.tokens[max(0, out.head - 4) : out.head]]
        both = any(sought in _SEEKERS and two == "both" for sought, two in pairwise(words))
        if not (both and out.denied and out.condition_ids == {"leaking"}):
            continue
        subject = [name.id for target in said.subject for name in target.names[:1]]
        before = [fact.component for fact in reversed(talk.story.facts[-4:])]
        told = dict.fromkeys(id_ for id_ in [*reversed(subject), *talk.recent, *before] if id_ in _GASWAYS)
        if len(told) > 1:
            out.own = True
            out.targets = [Target((Sense("component", id_, None, "strong"),)) for id_ in list(told)[:2]]


def _nothing_out_of_it(talk: Talk, said: Said) -> bool:
    """ "I've sniffed all along it and there's nothing coming out of it": no gas does, and nothing is blocked."""
    out = next((s for s in said.statements if talk.draft.tokens[s.head].norm in _NOTHING and not s.denied), None)
    lead = talk.draft.tokens[max(0, out.head - _SNIFFED) : out.head] if out is not None else []
    if (
        out is None
        or not {"coming", "comes", "came"} & set(words_of(talk, out))
        or not _SEEKERS & {t.norm for t in lead}
    ):
        return False
    named = [target for target in out.targets if target.names] or [t for t in talk.state.topic[-1:] if t.names]
    gasways = [t for t in named if any(name.id in _GASWAYS for name in t.names)]
    out.senses, out.denied, out.own = (Sense("condition", "leaking"),), True, True
    out.targets = gasways or [Target((Sense("component", "joint", None, "strong"),))]
    return True


def not_looked_at(talk: Talk, statement: Statement) -> bool:
    """ "Haven't checked the seal for cracks", "door hinges didn't check, seal ditto": nobody looked, so nothing was found."""
    told = [token.norm for token in talk.draft.tokens[max(0, statement.head - _HELD) : statement.head]]
    first = statement.start - max(0, statement.head - _HELD)
    verbs = [at + 1 for at, word in enumerate(told) if word in _HAVE_NOT and told[at + 1 : at + 2]]
    looked = [at + 1 for at in verbs if told[at] in _LOOKING or (told[at] in _GOT and _TO & set(told[at + 1 : at + 3]))]
    at = next((at for at in reversed(looked) if at > first - 3), None)
    return at is not None and not any(word in _DENYING for word in told[at:])


def clicks_in_vain(talk: Talk, statement: Statement) -> bool:
    """ "Piezo clicked but there was no spark at the pilot": it was tried; that it clicks is no fault, nor one that it goes on."""
    if not statement.condition_ids & {"constant-spark"} or statement.denied:
        return False
    row = talk.draft.tokens[statement.head : statement.head + statement.words + _IN_VAIN]
    words = [token.norm for token in row]
    but = next((at for at, word in enumerate(words) if word in ("but", "yet", "though")), None)
    if but is None or any(token.pause == "." for token in row[:but]) or not _CLICKS & set(words[:but]):
        return False
    if _ALL_THE_TIME & set(words[:but]):
        return False  # "igniter's clicking all the time but the front left won't light"
    later = (m for m in talk.draft.mentions if m.kind == "condition" and m.start >= statement.head + but)
    then = next(later, None)
    near = then is not None and then.start <= statement.head + but + _IN_VAIN
    return near and then is not None and any(s.id in ("no-spark", "not-lighting", "dead") for s in then.senses)


def never_tried(talk: Talk, statement: Statement) -> bool:
    """ "The rest of them I never lit", "the rear two I didn't light": nobody knows whether they would have."""
    words = [token.norm for token in talk.draft.tokens[max(0, statement.head - 2) : statement.head + statement.words]]
    return any(
        who in _I and then in _HAVE_NOT - {"couldnt"} and verb in _LIT
        for who, then, verb in zip(words, words[1:], words[2:], strict=False)
    )


def out_of_reach(talk: Talk, statement: Statement) -> bool:
    """ "The lid I didn't examine, it had been taken off", "the flue run I couldn't follow, boxed in it is": why nobody looked."""
    end = statement.head + statement.words
    wording = " ".join(token.norm for token in talk.draft.tokens[statement.head : end + 1])
    if not statement.condition_ids & {"detached", "blocked"} or not any(how in wording for how in _COVERED):
        return False
    told = talk.draft.tokens[max(0, statement.head - _NOT_SEEN) : statement.head]
    for at in range(len(told) - 1, -1, -1):
        if told[at].pause == ".":
            return False
        if told[at].norm in _UNSEEN and any(one.norm in _HAVE_NOT | _CANNOT for one in told[max(0, at - 3) : at]):
            return not any(t.names and t.start > statement.head - len(told) + at for t in statement.targets)
    return False


def there_is_none(talk: Talk, clause: Clause, said: Said) -> None:
    """ "As for the closure plate, there isn't one", "he swears a vent was knocked through, well, there isn't one"."""
    none = next((m for m in clause.mentions if m.kind == "deny" and m.last in _OF_ITS_KIND), None)
    if none is None or said.statements or talk.draft.tokens[none.end - 2].norm in _TURNED:
        return
    at = clause.mentions.index(none)
    before = [target for target in targets(clause.mentions[:at]) if target.names]
    named = before or [target for target in talk.state.topic if target.names and not talk.forgotten_at(none.start)]
    part = named[-1].component if named else None
    told = [fact for fact in talk.story.facts[-3:] if fact.component == part and fact.clause >= talk.state.clause - 2]
    if part is None or part in ALWAYS_THERE or told:
        return  # "she says there's a smell, there isn't one": something that was told is denied
    target = replace(named[-1], places=None, group=None)
    missing = (Sense("condition", "not-fitted" if part in NEVER_TAKEN else "missing"),)
    out = Statement(missing, none.start, none.end, [target], head=none.start, own=True, cues=["no"])
    out.words = none.end - none.start
    said.statements.append(out)


def words_of(talk: Talk, statement: Statement) -> list[str]:
    """The words of a wording."""
    return [token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words]]


def _held(told: Sequence[str]) -> bool:
    """ "Two minutes on the gauge and it's not shifted": a tightness test told by what the gauge did."""
    said = set(told)
    if {"fail", "failed"} & said and said & _GAUGE and {"test", "tested", "retest"} & said:
        return True  # "test fail three millibar ... retest pass"
    if ("no", "drop") in pairwise(told) or ("no", "movement") in pairwise(told):
        return True  # "no drop over two minutes after all that, so passed"
    return bool(said & _MINUTES) and bool(said & _GAUGE) and bool(said & _STOOD)


def _read_just_now(talk: Talk, statement: Statement) -> bool:
    """ "A last go, two minutes, no movement, so that's passed": the drop of a test was read right before."""
    if not talk.draft.measures:
        return False
    figures, bounds = talk.draft.measures[0]
    at = bisect_left(bounds, statement.head, key=lambda bound: figures.origins[bound.end - 1])
    last = bounds[at - 1] if at else None
    return (
        last is not None
        and last.quantity == "tightness-drop"
        and statement.head - figures.origins[last.end - 1] <= _SUMMED_UP
    )


def nowhere(talk: Talk, statement: Statement) -> bool:
    """ "No leaks anywhere", "no leaks found": said of the joints, not of the part that was in talk."""
    end = statement.head + statement.words
    word = talk.draft.tokens[end].norm if end < len(talk.draft.tokens) else ""
    named = any(target.names and target.end > statement.head for target in statement.targets)
    if statement.denied and "smell" in words_of(talk, statement) and not statement.targets:
        return True  # "no gas smell": of no part in hand
    return statement.denied and statement.condition_ids == {"leaking"} and word in ("anywhere", "found") and not named


def _failed_before(talk: Talk, statement: Statement) -> Target | None:
    """ "Flame failure failed, new thermocouple in, retest 29 seconds, pass": what had failed is what has passed now."""
    lead = talk.draft.tokens[max(0, statement.head - _RETRIED) : statement.head]
    named = {name.id for target in statement.targets for name in target.names}
    failed = [f for f in talk.story.facts[-6:] if f.condition == "failed" and f.appliance == talk.state.appliance]
    if not failed or not {token.norm for token in lead} & (_AGAIN | _ANEW) or failed[-1].component in named:
        return None
    last = failed[-1]
    return Target(
        (Sense("component", str(last.component), None, "strong"),), (last.position,) if last.position else None
    )


def part_tested(talk: Talk, statement: Statement) -> Target | None:
    """What a test that was spoken of tries, unless the part was named before the verdict."""
    before = talk.draft.tokens[statement.head - 1].norm if statement.head else ""
    behind = talk.draft.tokens[statement.head : statement.head + statement.words + 3]
    again = before in _AGAIN or bool(_ANEW & {token.norm for token in behind})  # "passed the second time"
    if "passed" in statement.condition_ids and (failed := _failed_before(talk, statement)):
        return failed
    named = [t for t in statement.targets if t.names and t.end <= statement.head]
    if not again and any(name.id != "joint" for target in named for name in target.names):
        return None  # a union is remade, what it is in is tested
    for token in behind:  # "passed spillage", "spillage passed"
        if token.norm in TESTED:
            return Target((Sense("component", TESTED[token.norm], None, "strong"),))
    told = [token.norm for token in talk.draft.tokens[max(0, statement.head - TEST_REACH) : statement.head]]
    if behind[0].norm in ("so", "and", "thats", "passed", "pass", "failed") and _held(told[-_HELD:]):
        return Target((Sense("component", "pipework", None, "strong"),))
    if statement.condition_ids & {"passed", "failed"} and _read_just_now(talk, statement):
        return Target((Sense("component", "pipework", None, "strong"),))
    for word, after in reversed(list(zip(told, [*told[1:], ""], strict=False))):
        part = _TESTS.get((word, after)) or TESTED.get(word)
        if part:
            return Target((Sense("component", part, None, "strong"),))
    return None
