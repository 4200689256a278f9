"""A thing said with what it is said of. In: a condition, the cues before it, the names around it. Out: a `Statement`.

Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.ahead import LEADING
from fieldnote.extract.clauses.objects import acted_on, done_to
from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target, both, one_of
from fieldnote.extract.clauses.wholes import KIN
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWN_BY

_NOTHING = frozenset("nothing nowt nought no not never".split())
_ABOUT = frozenset("with of by over about".split())  # last words of a doubt that has an object
_TRACED = frozenset("traced tracked narrowed pinned".split())  # what leads to the part that is at fault

_ITS = frozenset("its theyre shes hes it".split())  # "it's just spinning round"
_GOING_ON = frozenset("keeps keep kept".split())
_AUXILIARIES = frozenset("wont wouldnt doesnt dont didnt cant couldnt".split())
_DENYING = frozenset("not isnt wasnt arent werent".split())
_RELATING = frozenset("that thats which who".split())
_CALLING, _CALLED = frozenset({"call", "say"}), 6
_NOT_EVEN = frozenset("no not never nor nary nothing nowt dead".split())
_HAVING_NONE = frozenset("isnt aint hasnt havent hadnt doesnt dont didnt wasnt".split())
_LACKS = frozenset({"no-spark", "not-lighting", "weak", "dead"})
_PRAISING = frozenset("good fine nice lovely ok okay perfect grand".split())


_SEVERAL = frozenset("have are were had".split())
_FOULING = frozenset({"wet", "dirty", "blocked", "partly-blocked", "sooted"})
_KNOB = (Sense("component", "knob", None, "strong"),)
_AT = frozenset("at on in from round around off".split())  # what leads to a part where something was looked for or seen
_BESIDE = frozenset("near nearest beside towards toward opposite".split())
_OF_SEVERAL = frozenset("light spark hold work fire burn turn go".split())  # as one alone never does
_LIGHTING = frozenset("light lights lit lighting fire fires firing catch catches".split())
_OUT_OF_LINE, _AWAY = frozenset({"misaligned", "distorted"}), frozenset("away off back out over in".split())
_AWAY_FROM = frozenset("from off towards toward to".split())
_GONE = frozenset({"missing", "not-fitted", "detached"})
_OOZING = frozenset("at from off round out".split())  # "it's leaking at the union"


def statement_of(
    head: Mention, flags: list[Mention], tail: list[Mention], subject: list[Target], kinds: set[str], hedge_after: bool
) -> Statement:
    """The condition `head` with what it is said of, whether it is denied or guessed, and the words that decide it."""
    out = Statement(
        head.senses,
        head.start,
        head.end,
        head=head.start,
        words=head.end - head.start,
        word=head.first if head.end - head.start == 1 else "",
        now="now" in kinds,
        past_tense="be" in kinds,
    )
    out.denied = _denied(head, flags, subject) or "no-after" in kinds
    out.hedged = any(flag.kind == "hedge" and not _of_a_part(flag, head, subject) for flag in flags) or hedge_after
    out.hedged = out.hedged and not _found_fit(head, flags, subject)
    if out.denied and _unsure_of_it(flags):
        out.denied, out.hedged = False, True
    out.pronoun = any(flag.kind in ("pronoun", "them") or flag.first in _ITS for flag in flags)
    again = any(flag.kind == "them" and flag.first.startswith("they") for flag in flags)
    out.listing = (
        "one" in kinds or ("them" in kinds and not (again and _stands_at_places(subject))) or "listing" in kinds
    )
    out.cues = sorted({flag.kind for flag in flags} & {"no", "not", "hedge", "still"})
    if not out.denied and _lacks(head):
        out.cues = [cue for cue in out.cues if cue not in ("no", "not")]
    bar = next((i for i, mention in enumerate(tail) if mention.kind == "except"), None)
    left_out = targets(tail[bar + 1 :]) if bar is not None else []
    if bar is not None and not any(t.names or t.places for t in left_out) and _but_for_that_one(tail[bar + 1 :]):
        subject = [replace(t, places=("others",)) if t.names and t.places in (None, ("all",)) else t for t in subject]
    tail = tail[:bar] if bar is not None else tail
    tail = tail if head.fit else _without_what_did_it(tail)
    behind = [
        replace(t, many=t.many or any(n.note.endswith("s") for n in t.names))
        for row in _rows(tail, denied=out.denied)
        for t in targets(row)
    ]
    own = [t for t in behind if t.names] if any(flag.kind == "except" for flag in flags) and not head.fit else []
    if own and len(subject) == 1 and not subject[0].names:
        behind = [replace(t, places=t.places or subject[0].places, size=t.size or subject[0].size) for t in own]
        subject = []  # "front right okay bar a bit of rust on its ring"
    if _at_its_burner(head, tail, subject):
        behind = [replace(t, places=subject[0].places, size=t.size or subject[0].size) for t in behind]
        subject = []  # "left ring stiff tap"
    if (subject or out.pronoun) and not out.denied and tail and tail[0].kind == "prep" and tail[0].first in _BESIDE:
        behind = [replace(t, names=()) for t in behind if t.places]  # "it's cracked near the bayonet": where
    if subject and not any(t.names for t in subject) and _on_its_shaft(tail):
        subject, behind = [replace(t, names=_KNOB) for t in subject], []
    if out.pronoun and not subject and head.last in ("on", "round") and _is_shaft(tail):
        behind = []  # "the knob's split, so it spins round on the shaft"
    names_it = bool(tail) and tail[0].kind == "component" and not tail[0].gap and not head.pause
    names_it = names_it and bool(flags) and (flags[-1].kind == "det" or flags[-1].last == "a")  # "that's the wrong cap"
    # "and that came out 183, so there's nothing the matter with that stat"
    led_to = bool(tail) and tail[0].kind == "prep" and tail[0].first == "with" and not tail[0].gap
    names_it = names_it or (led_to and head.fit and head.first in _NOTHING)
    names_it = names_it or done_to([head, *tail[:2]])  # "he's put a telly up and covered the vent"
    if out.pronoun and not subject and "leaking" in out.condition_ids and tail and tail[0].kind == "prep":
        out.where = [t for t in behind if t.names] if tail[0].first in _OOZING and not tail[0].gap else []
    if out.pronoun and not subject and not names_it and (head.fit or head.last not in LEADING):
        # "it was muck on the electrode"
        behind = [replace(t, names=()) for t in behind if t.places or t.group or t.size]
    elif out.pronoun and not subject and tail and tail[0].kind == "and" and not out.denied:
        behind = []  # "it sticks in and the sparks run on"
    elif out.pronoun and not subject and "detached" in out.condition_ids and head.last in ("off", "from", "out"):
        behind = []  # "it's come off two of the hooks"
    elif not out.denied and "ok" not in out.condition_ids and _by_cause(tail) and not _smelt_by(out, tail):
        behind = []  # "blocked with grease": what it is blocked with is no part
    if subject and (head.senses or any(t.names for t in subject)):  # not "front left: same with the jet"
        behind = [t for t in behind if not t.names or _shown_by(out, t)]
    if "not-holding" in out.condition_ids and not out.denied:  # "dies the minute you let go of the knob"
        when = head.last in ("when", "as")  # "blew out when the tap was turned down": at what time
        behind = [replace(t, names=()) if when or t.component == "knob" else t for t in behind]
        behind = [t for t in behind if t.names or t.places or t.group or t.size]
    if "ok" in out.condition_ids:  # "nothing to report on the hob" says it of no part, "nowt wrong with it" does
        whole = head.last == "with" or (bool(tail) and tail[0].first == "with" and not tail[0].gap)
        behind = [t for t in behind if t.names or t.places or t.group or t.size or (whole and t.appliance)]
        if head.first in _LIGHTING and subject:
            behind = [replace(t, names=()) for t in behind if t.places or t.group or t.size]  # "light off the button"
    out.own = any(t.names for t in behind)
    led = acted_on(head, tail[:2]) or head.first in _TRACED  # "test failed, traced it to the elbow"
    fouled = out.pronoun and out.own and out.condition_ids <= _FOULING and head.last in LEADING
    led = led or (fouled and _right_behind(tail))
    inside = bool(tail) and tail[0].kind == "prep" and tail[0].first in ("in", "inside") and not tail[0].gap
    ids = {name.id for t in behind for name in t.names}
    inside = inside and any(sense.of is None or sense.of & ids for sense in head.senses)
    out.targets = _joined([] if led and out.own else subject, behind, inside)
    if head.first == "all":  # "burners all light"
        out.targets = [
            replace(t, places=("all",)) if _all_of(t, head, flags) and not (t.places or t.group or t.size) else t
            for t in out.targets
        ]
    if left_out:
        # "nothing wrong with the cooker apart from the front left knob" tells of no burner
        corners = any(t.places and t.component in (None, "burner") for t in left_out)
        listed = out.targets or ([Target()] if corners else [])
        wide = listed if not any(m.kind == "or" for m in tail) else listed[-1:]  # "nor the caps bar the rear left"
        out.targets = [all_but(t, left_out) if t in wide else t for t in listed]
        out.left_out = left_out
    if out.targets:
        spans = [t for t in out.targets if t.end]
        out.start = min([out.start, *(t.start for t in spans)])
        out.end = max([out.end, *(t.end for t in spans)])
    return out


def _rows(tail: list[Mention], *, denied: bool) -> list[list[Mention]]:
    """ "No leak at the tap or at its injector": each part that has a preposition of its own."""
    starts = [0]
    for at in range(1, len(tail)):
        lead, before = tail[at], tail[at - 1]
        part = next((m for m in tail[at + 1 : at + 4] if m.kind not in ("det", "appliance", "place")), None)
        anew = (
            lead.kind == "prep" and lead.first in _AT and part is not None and part.kind == "component" and part.strong
        )
        joined = before.kind in ("or", "and") or (denied and lead.pause == ",")
        told = any(m.kind == "component" for m in tail[starts[-1] : at]) and tail[starts[-1]].kind in ("prep", "group")
        if anew and joined and told and not lead.gap:
            starts.append(at)
    return [tail[start:end] for start, end in zip(starts, [*starts[1:], len(tail)], strict=True)]


def without_what_it_leans_from(head: Mention, tail: list[Mention]) -> list[Mention]:
    """ "Fine except that the rear right's leaning away from the burner": what it is out of line with has nothing."""
    away = head.last in _AWAY or (bool(tail) and tail[0].first in _AWAY_FROM)
    if not away or not _OUT_OF_LINE & {sense.id for sense in head.senses} or tail[:1] == []:
        return tail
    row = [m for m in tail[:3] if m.kind == "component"]
    led = tail[0].kind == "prep" and tail[0].first in _AWAY_FROM and not tail[0].gap
    return tail[tail.index(row[0]) + 1 :] if led and row else tail


def _at_its_burner(head: Mention, tail: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether a burner named with its place stands before a fault and the part at it that has the fault."""
    if len(tail) != 1 or tail[0].kind != "component" or tail[0].gap or tail[0].pause or head.gap or head.pause:
        return False
    burner = len(subject) == 1 and bool(subject[0].places) and any(name.id == "burner" for name in subject[0].names)
    return burner and tail[0].id in AT_BURNER - {"burner", "flame"} and not head.fit


def _on_its_shaft(tail: Sequence[Mention]) -> bool:
    """ "Front right's loose on its spindle": of a burner only the knob sits there."""
    led = bool(tail) and tail[0].kind == "prep" and tail[0].first in ("on", "round", "off") and not tail[0].gap
    return led and _is_shaft(tail[1:])


def _is_shaft(tail: Sequence[Mention]) -> bool:
    part = next((m for m in tail[:2] if m.kind != "det"), None)
    return part is not None and part.kind == "component" and part.last in ("spindle", "shaft", "stem") and not part.gap


def _right_behind(tail: Sequence[Mention]) -> bool:
    """ "It was soup got in behind the push button": the part that a wording leads to, with nothing but its article between."""
    row = [m for m in tail[:2] if m.kind != "det"]
    return bool(row) and row[0].kind == "component" and not any(m.gap or m.pause for m in tail[:2])


def _found_fit(head: Mention, flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """ "Thought it might be the injector, had it out and it's fine": what was guessed at has been looked at."""
    hedge = next((flag for flag in flags if flag.kind == "hedge"), None)
    if hedge is None or not head.fit or not any(t.names and t.end > hedge.end for t in subject):
        return False
    part = max(t.end for t in subject if t.names)
    return any(flag.kind == "pronoun" and flag.start >= part for flag in flags)


def _of_a_part(hedge: Mention, head: Mention, subject: Sequence[Target]) -> bool:
    """ "Not happy with the flue, the joint isn't pushed home": the doubt is about a part, what is wrong is seen. Nor is it
    a guess what is noticed by ear or nose ("sounds like gravel", "smells like gas")."""
    if hedge.last in _ABOUT and any(t.names and hedge.end <= t.end <= head.start for t in subject):
        return True
    wanted = {"sounds": "noisy", "sound": "noisy", "smells": "leaking"}.get(hedge.first)
    return wanted is not None and {sense.id for sense in head.senses} == {wanted}


def all_but(target: Target, left_out: Sequence[Target]) -> Target:
    """ "All the caps are fine bar the rear right": the other places of the usual four; "the front ones bar the right one"."""
    if corner := next((one for t in left_out if (one := one_of(target.places, t.places))), None):
        return replace(target, places=tuple(place for place in target.places or () if place != corner))
    out = {place for t in left_out for place in t.places or ()}
    if not out or not out <= set(FOUR) or target.places not in (None, ("all",)):
        return target
    # "the top's all good bar the front right": its burners
    names = () if target.component == "hotplate" else target.names
    return replace(target, names=names, places=tuple(place for place in FOUR if place not in out))


def _unsure_of_it(flags: Sequence[Mention]) -> bool:
    """ "I can't be certain the joint isn't leaking": a denial that nobody would swear to is a suspicion."""
    unsure = (flag.kind == "not-that" or any(sense.id == "unsure" for sense in flag.senses) for flag in flags)
    doubt = next((i for i, told in enumerate(unsure) if told), len(flags))
    return any(flag.kind == "not" for flag in flags[doubt + 1 :])


def _not_that_one(flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """ "It isn't the thermocouple that's weak": what is said is denied of the part that stands between."""
    row = [flag for flag in flags if flag.kind not in ("be", "det")]
    row = row[1:] if row and row[0].kind == "pronoun" else row
    if len(row) != 2 or row[0].kind not in ("not", "correct") or row[0].last not in _DENYING:
        return False
    told = row[1].kind == "pronoun" and row[1].first in _RELATING and not row[1].pause
    return told and any(t.names and row[0].end <= t.start and t.end <= row[1].start for t in subject)


def _but_for_that_one(tail: Sequence[Mention]) -> bool:
    """ "All the caps are fine bar the one I said": all but the one that was told of before."""
    kinds = [m.kind for m in tail if m.kind != "det"]
    return kinds[:1] in (["one"], ["pronoun"]) and set(kinds[1:]) <= {"one", "earlier"}


def _stands_at_places(subject: Sequence[Target]) -> bool:
    """ "Front right and rear right, they're both fine": "they" is no more than the places just named."""
    return bool(subject) and all(t.places and not t.names for t in subject)


def _told_why(head: Mention, no: Mention, flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether what went of a part is told behind "no cap", by words of its own: why it is not there."""
    named = any(t.names and no.end < t.end <= head.start for t in subject)
    verb = [m for m in flags if m.start >= no.end and m.kind == "be" and (m.gap or m.pause)]
    return named and bool(verb or head.gap or head.pause or head.first in _NOT_EVEN)  # "no chain never been one"


def _denied(head: Mention, flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether a denial reaches the condition: close before it, with no pronoun, moment or other part between."""
    if head.first in _GOING_ON and (head.gap or head.pause):
        return False  # "won't stay in, keeps going out"
    if head.first in ("nothing", "nowt") and "missing" in {sense.id for sense in head.senses}:
        return False  # "no chain, no bracket, nothing to stop it tipping"
    if head.first == "just" and head.last in ("hole", "gap") and subject:
        return False  # "no flue terminal outside, just a hole"
    if not head.fit and _not_that_one(flags, subject):
        return True
    for flag in reversed(flags):
        if flag.kind == "not-that":
            return not head.pause  # "no evidence the hose is perished"
        if flag.kind == "no" and flag.last == "of" and any(m.first == "being" for m in flags):
            return True  # "no sign of the door seal being split"
        if flag.first == "neither" and flag.kind in ("no", "not"):
            return head.start - flag.end <= 8  # "neither burner on the right would light"
        if (
            head.first == "so"
            or flag.kind in ("pronoun", "them", "mark", "but")
            or (flag.first in ("nothing", "nowt") and head.pause)
        ):
            return False
        if flag.first in ("nothing", "nowt") and head.first in _NOT_EVEN:
            return False  # "you press it and nothing, no tick": no more than the same again
        if flag.first in ("nothing", "nowt") and any(t.names and flag.end < t.end <= head.start for t in subject):
            return False  # "you turn it, nothing, the nozzle was choked"
        if flag.kind == "be" and flag.first in _GOING_ON and (flag.gap or flag.pause):
            return False  # "won't do low, keeps popping out"
        if flag.kind == "not" and flag.last in _CALLING:
            return head.start - flag.end <= _CALLED  # "you couldn't call the fan noisy"
        if flag.kind == "not" and any(t.names and flag.end < t.end <= head.start for t in subject):
            return False  # "pocket's not so clever, stat sticks on"
        if flag.kind == "not" and head.pause and head.gap == 0 and head.start - flag.end > 0:
            return False  # "won't wind, seized up"
        if flag.kind == "not" and flag.first == "not" and head.pause and head.start - flag.end > 0:
            return False  # "seal's not so clever, gone hard along the top"
        if flag.kind == "not" and flag.first in _HAVING_NONE and _lacks(head):
            return False  # "that ain't got no spark": denied twice, as many do, and none is there
        if flag.kind == "not" and flag.first in _AUXILIARIES and head.first in _PRAISING:
            return False  # "he's right, it won't, good spark at the electrode"
        if flag.kind == "no" and _GONE & {sense.id for sense in head.senses} and _told_why(head, flag, flags, subject):
            return False  # "no cap on it, the tenant lost it"
        if flag.kind in ("no", "not"):
            return head.start - flag.end <= (2 if flag.first in ("nothing", "nowt") else 3)
    return False


def _lacks(head: Mention) -> bool:
    """ "No puff", "got no spark": a fault that is told as what is not there."""
    return not head.fit and (head.first == "no" or (head.first == "got" and any(s.id in _LACKS for s in head.senses)))


def _shown_by(statement: Statement, target: Target) -> bool:
    """ "Back burner's not lighting from the ignition": what a symptom is not said of is no subject behind it."""
    names = {name.id for name in target.names}
    limits = [
        limit if (limit := SHOWN_BY.get(sense.id)) is not None else (sense.of or names) for sense in statement.senses
    ]
    return any(limit & names for limit in limits)


def _smelt_by(out: Statement, tail: Sequence[Mention]) -> bool:
    """ "A smell by the meter": where it is, not what did it."""
    return "leaking" in out.condition_ids and tail[0].first == "by"


def _by_cause(tail: Sequence[Mention]) -> bool:
    return bool(tail) and tail[0].kind == "prep" and tail[0].cause


def _without_what_did_it(tail: list[Mention]) -> list[Mention]:
    """ "Bodged the pan support with a bit of wire": what stands behind "with" is what it was done with."""
    named = next((i for i, m in enumerate(tail) if m.kind == "component"), len(tail))
    stop = next((i for i, m in enumerate(tail) if i > named and m.kind == "prep" and m.first == "with"), len(tail))
    return tail[:stop]


def _strong(name: Sense) -> bool:
    return not name.note.startswith("weak")


def _joined(subject: list[Target], behind: list[Target], inside: bool) -> list[Target]:
    """The targets of a condition: the subject before it, completed by what stands behind it."""
    named = [t for t in subject if t.names]
    after = [t for t in behind if t.names]
    places = next((t for t in behind if t.places or t.group or t.size), None)
    if named and after and {t.component for t in named} == {"burner"}:
        return [
            t
            if t.places or t.group
            else replace(t, places=named[0].places, group=named[0].group, size=t.size or named[0].size)
            for t in after
        ]
    if named and after and all(_loosely(t) for t in named):
        wanted = {n.id for t in named for n in t.names}  # "lever missing off the emergency control"
        owners = [t for t in after if {n.id for n in t.names} & wanted and t.component]
        if owners:
            return owners
        kin = {id_ for t in after for n in t.names for id_ in KIN.get(n.id, ())}
        if inside and not kin & wanted and not any(n.id != "appliance" and _strong(n) for t in named for n in t.names):
            return after  # "the diaphragm's split in the diverter"
    if named:
        if places and places.places and all(t.group == "last-two" for t in named):
            named = [replace(t, group=None) for t in named]  # "both seals gone on the left"
            places = replace(places, places=both(places.places))
        if places and not any(t.places or t.group for t in named):
            sizes = [t for t in behind if t.size and not t.names and t is not places]  # "on the wok and on the rapid"
            return [
                replace(
                    t,
                    places=both(where.places) if where.places and _a_row(t) else where.places,
                    group=where.group,
                    size=t.size or where.size,
                )
                for where in [places, *sizes]
                for t in named
            ]
        return named
    if after:
        where = next((t for t in subject if t.places or t.group or t.size), None)
        if where:
            return [
                t
                if t.places or t.group
                else replace(t, places=where.places, group=where.group, size=t.size or where.size)
                for t in after
            ]
        return after
    if subject and places and all(t.appliance and not (t.places or t.group or t.size) for t in subject):
        # "hob, spark's weak on the rear two"
        return [replace(t, places=places.places, group=places.group, size=places.size) for t in subject]
    if subject:
        return subject
    return [t for t in behind if t.places or t.group or t.size or t.appliance]


def _a_row(target: Target) -> bool:
    """Whether surely several parts are meant, of which each burner has one ("two caps are missing, the rear ones")."""
    return target.many and any(name.note == "strongs" and name.id in AT_BURNER for name in target.names)


def _all_of(target: Target, head: Mention, flags: Sequence[Mention]) -> bool:
    """ "Burners all light", "the seals under the knobs have all gone", "FSD all hold": each burner's own is meant."""
    several = head.last != "right" and any(flag.first in _SEVERAL for flag in flags)  # not "leads are all right"
    several = several or (head.first == "all" and head.last in _OF_SEVERAL and not flags)  # "rings all light"
    several = several and any(name.note.endswith("s") for name in target.names)
    devices = head.fit and target.component == "fsd"
    return _a_row(target) or ((several or devices) and any(name.id in AT_BURNER for name in target.names))


def _loosely(target: Target) -> bool:
    """Whether a name may mean several parts ("the ceramic"), or says little by itself."""
    return len({n.id for n in target.names}) > 1 or all(n.note.startswith("weak") for n in target.names)
