"""What is answered, denied or taken back of a fact that was told. In: a clause and the talk. Out: the facts that changed.

Not allowed to know: how a clause is told.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses import linking
from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause, belies
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.facts import stating
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_GOING = frozenset(
    "turning turns running runs working works lights lighting goes going spins burns burning shuts closes".split()
)
_ANSWERED = 8  # clauses and facts back to a report that is answered
_NOTHING = frozenset("nothing nowt".split())
_FORGETTING = frozenset("forget ignore scrub scratch scrap disregard strike delete cancel".split())
_NEXT_SAID = frozenset({"pronoun", "them", "need", "be"})  # "forget what I said about the cap, it's only dirty"
_TO_FORGET = 24  # facts back that can be forgotten
_IS_NOT = frozenset("not isnt wasnt".split())
_WHICH = frozenset("that thats which who".split())
_HEARD = frozenset({"noisy", "leaking"})  # what may come from another part than was thought
_RULED_OUT = 16  # facts among which the one is that was not it
_THEY = frozenset("it he she they".split())
_IT_IS = frozenset("its thats theyre just only".split())
_JUST = frozenset("just only its".split())
_TRYING = frozenset("prep own reading det now mark and pronoun them".split())
_FLAT = frozenset("isnt arent doesnt dont wasnt werent didnt hasnt havent".split())
_MINE = (["i"], ["ive"], ["we"], ["weve"])
_DID = frozenset("did does do".split())
_SOUNDS = frozenset("murmur peep squeak whisper sound cheep".split())
_IN_FACT = frozenset("fact actually reality truth practice".split())
_ITS_SUBJECT = frozenset({"own", "pronoun", "them"})
_DOES_NOT = frozenset("didnt doesnt wont wouldnt dont isnt wasnt arent".split())
_NEVER = frozenset("never didnt doesnt wouldnt hasnt".split())
_REFUSES = frozenset("wont wouldnt doesnt didnt dont isnt wasnt arent not".split())
_SEEMING = frozenset("looks looked look seems seemed sounds sounded feels felt appears appeared".split())


def answered(talk: Talk, clause: Clause) -> None:
    """ "And it does", "couldn't replicate it": what somebody else said is so, or is not."""
    for fact in talk.story.facts[-1:] if belies(clause.mentions) else ():
        if fact.status == "historical" and fact.condition is None and fact.clause == talk.state.clause - 1:
            talk.story.drop(fact)  # "she said the knob was replaced last year, it wasn't, it's still cracked"
        elif fact.status == "reported" and fact.clause == talk.state.clause - 1:
            fact.turn("absent", "own-check")
    kinds = {m.kind for m in clause.mentions if not (_only_introduces(m, clause) or _of_its_own_part(m, clause, talk))}
    denied = _flat_denial(clause) or _i_looked(talk, clause) or _only_it_is(clause)
    denied = denied or _silent(talk, clause) or _none_found(talk, clause)
    kinds |= {"deny"} if denied else set()
    for fact in talk.state.focus if "normal" in kinds and not _ought_to(talk, clause) else ():
        if fact.status in ("present", "reported") and not fact.actions and fact.condition not in ("ok", "passed"):
            talk.story.drop(fact)  # "the rings rattle when you put a pan on, that's normal"
    for fact in _told_here(talk) if kinds & {"confirm", "deny"} else ():
        if fact.status == "possible" and fact.condition is None and "deny" in kinds:
            talk.story.drop(fact)  # "thought it was the thermocouple, but no"
        elif fact.status in ("reported", "possible"):
            so = "confirm" in kinds or _nor_did_it(talk, clause, fact)
            fact.turn("present" if so else "absent", "own-check")
        elif fact.status == "present" and fact.condition != "ok" and not fact.actions and _found_out(clause):
            fact.turn("absent", "own-check")  # "wouldn't light, it fired first time for me"
        elif fact.status == "present" and "deny" in kinds and not fact.actions and _seemed(talk, fact):
            fact.turn("absent", "own-check")
        elif fact.status == "present" and fact.condition != "ok" and not fact.actions and _after_all_not(clause):
            fact.turn("absent", "own-check")  # "joint's leaking, hang on, no it's not, that was just soap"
        elif fact.status == "present" and "deny" in kinds and not fact.actions and "earlier" in fact.cues:
            talk.story.drop(fact)  # "I had down as a blocked jet, it isn't"
        elif fact.status == "present" and "deny" in kinds and not fact.actions and _misspoken(clause):
            talk.story.drop(fact)  # "front left tap's solid, no it isn't, it's the one behind it"
        elif fact.worked and fact.status == "resolved" and _has_not(clause):
            fact.turn("present", "still")  # "the oven one's stopped, the grill one I tightened and it hasn't"
        elif fact.condition == "ok" and "deny" in kinds and not _of_another(talk, fact, clause):
            talk.story.drop(fact)  # "I said it was fine, well it isn't"


def _ought_to(talk: Talk, clause: Clause) -> bool:
    """ "The lid won't shut the gas off, which it's meant to": what it does not do, and ought to."""
    tokens, start = talk.draft.tokens, clause.mentions[0].start
    told = {token.norm for fact in talk.state.focus for token in tokens[fact.start : fact.end]}
    which = start > 0 and tokens[start - 1].norm in ("which", "like") and clause.mentions[0].last == "to"
    return which and bool(told & (_REFUSES | _FLAT))


def _told_here(talk: Talk) -> tuple[Fact, ...]:
    """ "She says the front right clicks and the rear left goes out. Front right: couldn't get it to": of several reports the
    one of the place in talk."""
    focus, place = talk.state.focus, talk.one_place()
    if not focus or place is None or any(fact.position in (None, place) for fact in focus):
        return focus
    reach = talk.state.clause - _ANSWERED
    told = [f for f in talk.story.facts[-_ANSWERED:] if f.position == place and f.clause >= reach]
    return tuple(fact for fact in told[-1:] if fact.status == "reported") or focus


def _nor_did_it(talk: Talk, clause: Clause, fact: Fact) -> bool:
    """ "Won't light, she said, and it didn't", "doesn't spark, she said, and it doesn't": so it does not."""
    told = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
    denies = any(m.kind in ("not", "deny") and m.last in _DOES_NOT for m in clause.mentions)
    return denies and bool(told & _REFUSES) and clause.mentions[0].first in ("and", "which")


def _of_another(talk: Talk, fact: Fact, clause: Clause) -> bool:
    """ "Meter's fine. Bonding, there isn't any": another part was named since, and none of that is there."""
    named = talk.state.topic[-1].component if talk.state.topic else None
    none = any(m.kind == "deny" and m.last in ("any", "one", "none") for m in clause.mentions)
    return none and named is not None and named != fact.component


def _none_found(talk: Talk, clause: Clause) -> bool:
    """ "The tenant says it goes out. Ran it an hour and it held, no fault found": what was told is not so."""
    told = talk.state.focus[-1] if talk.state.focus else None
    reported = told is not None and told.status == "reported" and told.condition not in (None, "ok", "passed")
    found = any(m.kind == "own" and (m.first, m.last) == ("no", "found") for m in clause.mentions)
    alone = all(fact.status == "reported" and fact.condition not in ("ok", "passed") for fact in talk.state.focus)
    return reported and alone and found and not (clause.named or clause.said)


def _silent(talk: Talk, clause: Clause) -> bool:
    """ "She says it whistles, ran it ten minutes and not a murmur": a noise that the engineer listened for in vain."""
    told = talk.state.focus[-1] if talk.state.focus else None
    noise = told is not None and told.condition == "noisy" and told.status == "reported"
    return noise and any(
        m.first in ("not", "never") and m.last in _SOUNDS for m in clause.mentions if m.kind == "condition"
    )


def _only_introduces(mention: Mention, clause: Clause) -> bool:
    """ "There is no bonding", "there is a vent": no answer to what was told before, which "there is" alone would be."""
    return (
        mention.last in ("is", "theres") and mention.first in ("there", "theres") and mention is not clause.mentions[-1]
    )


def _of_its_own_part(mention: Mention, clause: Clause, talk: Talk) -> bool:
    """ "Hose is fine. Bracket: there isn't one": a denial of the part that is named right before it, and of no other."""
    if mention.kind != "deny" or mention.first != "there":
        return False
    if mention is clause.mentions[0]:
        return talk.bare == (talk.state.clause - 1, "component")
    return clause.mentions[clause.mentions.index(mention) - 1].kind == "component"


def _seemed(talk: Talk, fact: Fact) -> bool:
    """ "The grille looks blocked but it isn't": what only looked so."""
    said = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
    return fact.condition not in (None, "ok", "passed") and bool(said & _SEEMING)


def _found_out(clause: Clause) -> bool:
    """Whether a denial says that others found otherwise: "for me", "I've tested it and it isn't"."""
    denials = [m for m in clause.mentions if m.kind == "deny"]
    own = any(m.last == "me" or m.id == "own-denial" for m in denials)
    return own or any(m.first == "not" and m.last in _FLAT for m in denials)  # "not for me it didn't"


def _has_not(clause: Clause) -> bool:
    """Whether a denial says that what was worked for has not come."""
    return any(m.kind == "deny" and m.last in ("hasnt", "havent", "didnt") for m in clause.mentions)


def _after_all_not(clause: Clause) -> bool:
    """Whether a speaker stops, denies what he said himself, and names nothing that it is instead."""
    first = clause.mentions[0]
    flat = len(clause.mentions) == 1 and first.last == "not" and first.end - first.start > len(("no", "not"))
    stops = first.kind == "correct" and (flat or _flat_denial(clause))  # "no it's not"
    return stops and not (clause.named or clause.said)


def _misspoken(clause: Clause) -> bool:
    """Whether a speaker says no to what he said himself, and what it is instead."""
    if _only_it_is(clause):
        return True
    no = next((at for at, m in enumerate(clause.mentions) if m.kind == "deny"), None)
    if no is None or clause.mentions[no].first != "no":
        return False
    rest = clause.mentions[no + 1 :]
    instead = (
        len(rest) > 1 and rest[0].kind in ("pronoun", "but") and any(m.kind in NOMINAL | {"condition"} for m in rest)
    )
    return instead or not rest  # "the trap's blocked, no it isn't, it's just dirty"


def _watched_in_vain(clause: Clause) -> bool:
    """ "He said it drips, I watched it for ten minutes, it doesn't": behind how it was tried, with a pause between."""
    *tried, it, no = clause.mentions if len(clause.mentions) > 2 else [*clause.mentions, *clause.mentions][:3]
    ends = it.kind == "pronoun" and no.kind == "not" and it.first in _THEY and no.first in _FLAT and not no.gap
    return ends and it.gap > 0 and {m.kind for m in tried} <= _TRYING and not (clause.said or clause.named)


def _only_it_is(clause: Clause) -> bool:
    """ "Cap's cracked, no it's not, it's just a mark": what was taken for more follows, named or not."""
    no, it = clause.mentions[0], clause.mentions[1] if len(clause.mentions) > 1 else clause.mentions[0]
    flat = no.kind == "correct" and no.last == "not" and no.first == "no" and no.end - no.start > len(("no", "not"))
    return flat and it is not no and it.first in _IT_IS and not it.gap


def _never_did(clause: Clause) -> bool:
    """ "I stood and watched it ten minutes and it never": at the end of how it was tried."""
    row = [m for m in clause.mentions if m.kind != "mark"]
    ends = [m.kind for m in row[-3:]] in (["and", "pronoun", "not"], ["but", "pronoun", "not"])
    tried = ends and len(row) > len(("and", "it", "never")) and not (clause.said or clause.named)
    return tried and row[-1].last in _NEVER and not (row[-1].gap or row[-1].pause or row[-2].gap)


def _flat_denial(clause: Clause) -> bool:
    """ "She thinks it's broken, it isn't, it just needed a battery": a denial of nothing that is named."""
    said = [m for m in clause.mentions if m.kind not in ("and", "but", "mark", "correct")]
    truly = len(said) > 2 and said[0].kind == "own" and said[0].last in _IN_FACT and said[1].kind in _ITS_SUBJECT
    said = said[1:] if truly else said  # "in fact it is not"
    if truly and len(said) == 2 and said[0].last == "is" and said[1].kind == "not" and not said[1].gap:
        return True
    own = len(said) > 2 and (said[0].kind, said[0].last, said[1].first) == ("own", "is", "not") and said[2].pause != ""
    if own and said[1].kind == "not" and not said[1].gap:
        return True  # "says the chimney's blocked. It is not: it passed"
    so = [m.kind for m in clause.mentions] == ["mark", "pronoun", "not"] and clause.mentions[0].first == "so"
    if so and not clause.mentions[2].gap and clause.mentions[2].pause != ",":
        return True  # "I thought it was leaking, it's only rain, so it's not"
    if _never_did(clause) or _watched_in_vain(clause):
        return True
    if len(said) < 2 or said[0].kind not in ("pronoun", "them") or said[1].kind != "not" or said[1].gap:
        return False
    rest = said[2:]
    taken_up = bool(rest) and (rest[0].kind in ("pronoun", "them") or rest[0].first in _THEY) and not rest[0].gap
    ends = not rest or bool(rest[0].pause) or taken_up  # "lights lovely, no he don't, he goes out"
    plainly = said[1].last == "not" and said[1].first in _DID and not rest  # "she says it groans, it did not groan"
    if plainly:
        return True
    split = (
        clause.mentions[0].kind == "correct" and said[1].first == "not" and said[0].first in ("its", "thats", "theyre")
    )
    return ends and (split or truly or said[1].first in _FLAT)


def _i_looked(talk: Talk, clause: Clause) -> bool:
    """ "My mate thought it was creeping it isn't I watched the gauge": a denial, and at once how he came to it."""
    said = [m for m in clause.mentions if m.kind not in ("and", "but", "mark")][:2]
    if [m.kind for m in said] not in (["pronoun", "not"], ["them", "not"]) or said[1].gap or said[1].first not in _FLAT:
        return False
    return [token.norm for token in talk.draft.tokens[said[1].end : said[1].end + 1]] in _MINE


def forget_it(talk: Talk, clause: Clause) -> None:
    """ "Forget what I said about the rear right": what was told of that place or part is taken back."""
    at = next((i for i, m in enumerate(clause.mentions) if m.kind == "earlier"), None)
    first = clause.mentions[0]
    if at is None and first.kind == "back-to" and first.first == "about":
        at = 0  # "scrap what I said / about that cap"
    if at is None and first.start and talk.draft.tokens[first.start - 1].norm == "about":
        at = -1  # "the fan's dirty forget what I said about / the pump it's fine"
    if at is None:
        return
    start = clause.mentions[max(at, 0)].start
    lead = talk.draft.tokens[max(0, start - 5) : start]
    named = _spoken_of(clause.mentions[at + 1 :])
    words = {token.norm for token in lead}
    if not (words & _FORGETTING or {"never", "mind"} <= words) or any(m.kind in ("condition", "work") for m in named):
        return
    places = {m.id for m in named if m.kind == "place"}
    parts = {sense.id for m in named if m.kind == "component" for sense in m.senses} - {"burner"}
    if not (places or parts):
        return
    for fact in talk.story.facts[-_TO_FORGET:]:
        if (not places or fact.position in places) and (not parts or fact.component in parts):
            talk.story.drop(fact)
    talk.state.focus = ()


def _spoken_of(row: Sequence[Mention]) -> list[Mention]:
    """What is to be forgotten, up to what is said of it now: "the cap, it's only dirty", "the pump it's fine"."""
    named: list[Mention] = []
    for m in row:
        told = any(one.kind in ("component", "place") for one in named)
        if (m.kind in _NEXT_SAID and (m.pause or told)) or (told and m.fit and m.kind == "condition"):
            break
        named.append(m)
    return named


def not_as_it_would_be(talk: Talk, clause: Clause, unreal: Clause) -> list[Fact]:
    """ "If that hose had been kinked I'd have changed it, but it isn't": what would have been so is not."""
    if not any(m.kind == "deny" for m in clause.mentions) or clause.named or clause.said:
        return []
    told = linking.parse(unreal).statements[:1]
    parts = {name.id for statement in told for target in statement.targets for name in target.names}
    if any(
        fact.condition == "ok" and fact.status == "present" for part in parts for fact in talk.story.named(part)[:1]
    ):
        return []  # "I can hear the fan running quiet. If it had been howling I'd have had it out, but it isn't"
    for statement in told:
        statement.denied = True
    return [fact for one in told if "ok" not in one.condition_ids for fact in stating.facts_of(talk, one, Mode())]


def unlike_its_kind(talk: Talk, clause: Clause, such: Clause) -> list[Fact]:
    """ "Bayonets do weep, this one doesn't": what such do, and the one in hand does not."""
    row = [m for m in clause.mentions if m.kind not in ("but", "and", "mark")]
    if len(row) < 2 or not row[0].this_one or row[1].kind != "not" or row[1].gap or clause.said:
        return []
    told = [one for one in linking.parse(such).statements[:1] if "ok" not in one.condition_ids and not one.denied]
    for statement in told:
        statement.denied = True
        statement.targets = [replace(target, many=False) for target in statement.targets]
    return [fact for one in told for fact in stating.facts_of(talk, one, Mode())]


def ruled_out(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Could be the fan ... it isn't the fan at all, it's the pump", "... so it's not the fan": what was only suspected, or what
    was heard of it."""
    row = [m for m in clause.mentions if m.kind != "det"]
    nothing_else = not (said.statements or said.works or said.guessed)
    told = [m.start for m in row if m.kind == "condition"]
    for it, no, part, after in zip([None, *row], row, row[1:], [*row[2:], None], strict=False):
        if no.kind != "not" or part.kind != "component" or part.gap:
            continue
        is_not = it is not None and it.kind == "pronoun" and no.last in _IS_NOT and not (no.gap or no.pause)
        plainly = is_not and part.strong and (after is None or after.first not in _WHICH)
        if not plainly and not (nothing_else and not part.pause):
            continue
        ids = {sense.id for sense in part.senses}
        for fact in [f for f in talk.story.facts[-_RULED_OUT:] if f.component in ids and not f.actions]:
            guess = fact.status == "possible" and fact.condition is None
            of_another = plainly and any(start > part.start for start in told)
            if guess or (of_another and fact.condition in _HEARD and fact.status == "present"):
                talk.story.drop(fact)


def praise_then_but(talk: Talk, clause: Clause) -> None:
    """ "The fan is turning but makes a noise": that it turns is no more than how the fault is told."""
    faults = [fact for fact in talk.state.focus if fact.clause == talk.state.clause and fact.status in OPEN]
    faults = [fact for fact in faults if fact.condition not in (None, "ok", "passed")]
    if clause.joint != "but" or not faults or any(m.kind in ("component", "place", "group") for m in clause.mentions):
        return
    for fact in talk.story.facts[-4:]:
        same = any((fact.component, fact.position) == (other.component, other.position) for other in faults)
        goes = talk.draft.tokens[fact.end - 1].norm in _GOING or _only_that(talk, clause, fact)
        if same and goes and fact.condition == "ok" and fact.clause == talk.state.clause - 1:
            talk.story.drop(fact)


def _only_that(talk: Talk, clause: Clause, fact: Fact) -> bool:
    """ "Nothing wrong with it, just not on its seat": the praise is no more than how the one fault is told."""
    said = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
    return bool(_NOTHING & said) and "wrong" in said and clause.mentions[0].first in _JUST
