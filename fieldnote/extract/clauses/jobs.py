"""Work in a clause. In: its verb, the words before and behind it. Out: a `Job`: kind, state, the parts it names. Not allowed to
know: earlier clauses.
"""

import functools
import itertools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.missing import placed
from fieldnote.extract.clauses.said import MENDING, Job
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words import forms
from fieldnote.extract.words.symptoms import PIECES_OF, SHOWING
from fieldnote.trade.spoken import spoken

# how a part sits when nobody is said to have put it there
_FIXED = frozenset("taped sealed pushed plugged screwed bolted connected coupled".split())
SITS = frozenset("laid seated clipped hooked tucked seat fastened secured".split())
_YIELDS = frozenset("sooted dirty blocked partly-blocked wet".split())
_LEADING_TO_YIELD = frozenset("component det prep and condition place size".split())
_SHOWN_BY_OTHERS = frozenset({"not-holding", "not-lighting"})  # what a part causes and its burner shows
_COMING = frozenset("ill well hell shell theyll im were gonna going".split())
_WANTS = frozenset("needs need wants want requires needing wanting could itll ready crying".split())
_WILL = frozenset("will going".split())  # "will want an igniter"
_NOUNS = frozenset(
    "clean scrub wash wipe rinse grease oil tweak polish dust".split()
)  # verbs of work that are its names
_IS = frozenset("is was s are were".split())
_WHAT_IS = frozenset({"whats"})


def needs_a_part(clause: Clause) -> Job | None:
    """ "Front right needs an electrode", "door drops, needs hinges": a part is wanted, no work is named."""
    for at, need in enumerate(clause.mentions[:-1]):
        row = clause.mentions[at + 1 :]
        if need.kind != "need" or not (need.first in _WANTS or (need.first in _WILL and need.last in _WANTS)):
            continue
        whole = (
            len(row) > 1 and row[0].first == "the" and row[1].first in ("whole", "complete")
        )  # "needs the whole tap"
        article = row[0].kind == "det" and (row[0].first in ("a", "an", "another") or whole)
        named, behind = row[: 1 + article], row[1 + article :]
        ends = not behind or (not behind[0].pause and [m.kind for m in behind] in (["prep"], ["prep", "pronoun"]))
        close = not any(m.gap or m.pause for m in named) and named[-1].kind == "component"
        # "lead burnt, wants a lead", "won't stay shut, needs a catch"
        sure = named[-1].strong or any(sense.id in ("ht-lead", "door") for sense in named[-1].senses)
        if close and ends and (sure if article else named[-1].plural):
            wanted = [_of_its_own(placed(targets(named[-1:])[0], _places_before(clause, need)), clause, need)]
            return Job("replace", "needed", need.start, named[-1].end, wanted)
    return None


def _of_its_own(part: Target, clause: Clause, need: Mention) -> Target:
    """ "Oven door needs hinges": of the parts that have such a piece, the one that was named."""
    named = [m.id for m in clause.mentions[: clause.mentions.index(need)] if m.kind == "component" and m.strong]
    own = [name for name in part.names if name.id in named[-1:]]
    return replace(part, names=(own[0]._replace(note="strong"),)) if own else part


def what_it_needs(clause: Clause) -> Job | None:
    """ "A new igniter is what it needs", "all it wants is a new jet": the part that is wanted stands at the other end."""
    row = clause.mentions
    for at, need in enumerate(row):
        if need.kind != "need" or at == 0 or need.gap or need.pause:
            continue
        before, behind = row[at - 1], row[at + 1 : at + 4]
        subject = before.kind in ("pronoun", "them") or before.first in ("this", "that")
        if subject and behind and behind[0].first in _IS and [m.kind for m in behind] == ["be", "det", "component"]:
            part, close = behind[2], not any(m.gap or m.pause for m in behind[:2])
        else:
            close = need.first in _WHAT_IS or (subject and before.gap == 1 and not before.pause)
            led = at - (need.first not in _WHAT_IS)
            verb = led > 1 and row[led - 1].kind == "be" and row[led - 1].first in _IS and not row[led - 1].gap
            at_part = led - 1 - verb
            part, article = row[max(0, at_part)], row[max(0, at_part - 1)]
            one = article.kind == "det" and article.first in ("a", "an", "another") and not article.gap
            close = close and (part.clitic or verb) and (one or part.plural)  # "new coals are what it wants"
        if close and part.kind == "component" and part.gap <= 1 and need.first in _WANTS | _WHAT_IS:
            wanted = [placed(targets([part])[0], _places_before(clause, min(part, need, key=lambda m: m.start)))]
            return Job("replace", "needed", part.start, part.end, wanted)
    return None


def without_its_cure(head: Mention, tail: list[Mention], clause: Clause) -> list[Mention]:
    """ "Left won't stay lit, needs a thermocouple": it is the burner that goes out, the part is what it needs."""
    if not any(sense.id in _SHOWN_BY_OTHERS for sense in head.senses):
        return tail
    needs = [m.start for m in clause.mentions if m.kind == "need" and m.first in _WANTS and m.start >= head.end]
    return [m for m in tail if m.start < needs[0]] if needs else tail


def without_what_comes(head: Mention, tail: list[Mention], clause: Clause) -> list[Mention]:
    """ "Loose but not leaking; I'll come back with a new plate": what is still to be brought has nothing of what was told."""
    coming = (
        m.start
        for m in clause.mentions
        if m.pause and ((m.kind == "need" and m.first in _COMING) or (m.first == "with" and m.gap > 1))
    )
    first = next((start for start in coming if start >= head.end), None)
    return tail if first is None else [m for m in tail if m.start < first]


def had_fitted(clause: Clause) -> Job | None:
    """ "They've had a board on it last winter", "it had a new fan last year": a part that was put in then."""
    row = clause.mentions
    goes_on = clause.joint == "and" and [m.kind for m in row] == ["and", "det", "component", "past"]
    if (
        goes_on
        and row[2].gap == 1
        and row[2].strong
        and row[1].first in ("a", "an")
        and not any(m.pause for m in row[1:])
    ):
        return Job("replace", "done", row[1].start, row[2].end, targets([row[2]]))  # "and a new fan in the spring"
    if new := _got_a_new(row):
        return new
    for had, det, part in zip(clause.mentions, clause.mentions[1:], clause.mentions[2:], strict=False):
        close = not (det.gap or part.gap > 1 or det.pause or part.pause) and part.kind == "component" and part.strong
        if had.kind == "be" and had.first in ("had", "has") and det.first in ("a", "an", "another") and close:
            later = clause.mentions[clause.mentions.index(part) + 1 :]
            only = all(m.kind in ("prep", "pronoun", "past", "det", "and", "mark", "appliance") for m in later)
            dated = any(m.kind == "past" and m.first not in ("since", "from") for m in later)
            return Job("replace", "done", had.start, part.end, targets([part])) if only and dated else None
    return None


def _got_a_new(row: Sequence[Mention]) -> Job | None:
    """ "Front left got a new tap": it was put in today, where no other day is named."""
    at = next((i for i, m in enumerate(row) if m.kind == "be" and m.first == "got"), 0)
    behind = row[at + 1 : at + 3]
    there = at > 0 and row[at - 1].kind in ("place", "group") and not (row[at - 1].clitic or row[at].gap)
    new = [m.kind for m in behind] == ["det", "component"] and behind[1].strong and not any(m.pause for m in behind)
    another_day = any(m.kind in ("past", "if", "report", "need", "hedge") for m in row)
    if not (there and new and behind[0].first in ("a", "an") and behind[1].gap == 1) or another_day:
        return None
    return Job("replace", "done", row[at].start, behind[1].end, targets([row[at - 1], behind[1]]))


def renewed_before(clause: Clause) -> Job | None:
    """ "The pump's been replaced before Christmas": words of the past that say what was done to the part before them."""
    at = next((at for at, m in enumerate(clause.mentions) if m.id == "replaced-before"), 0)
    parts = [target for target in targets(clause.mentions[:at]) if target.names]
    past = clause.mentions[at]
    return Job("replace", "done", past.start, past.end, parts[-1:]) if parts else None


@functools.cache
def _doing() -> dict[str, str]:
    """The -ing forms of the verbs of work, each with its kind, and those that are nouns as well ("could do with a clean")."""
    verbs = {verb: id_ for id_, work in spoken().actions.items() for verb in work.verbs if " " not in verb}
    return {forms.ing(verb): id_ for verb, id_ in verbs.items()} | {
        verb: verbs[verb] for verb in _NOUNS if verb in verbs
    }


def wanted_in(head: Mention) -> Job | None:
    """ "Wants upgrading", "needs adjusting", "needs the right jet": a fault told by the work that it needs."""
    if head.first in _WANTS and all(sense.id == "wrong-part" for sense in head.senses):
        return Job("replace", "needed", head.start, head.end)
    if head.first not in _WANTS or (kind := _doing().get(head.last)) is None:
        return None
    return Job(kind, "needed", head.start, head.end)


def _places_before(clause: Clause, need: Mention) -> list[Target]:
    return targets([m for m in clause.mentions[: clause.mentions.index(need)] if m.kind in NOMINAL or m.kind == "and"])


def recalled(head: Mention, clause: Clause) -> bool:
    """ "That cap I cleaned, it's got a hairline in it": work that only says which part is meant."""
    at = clause.mentions.index(head)
    named = at > 0 and clause.mentions[at - 1].kind == "component" and not head.pause
    rest = clause.mentions[at + 1 :]
    if named and head.owned and head.gap == 1 and head.id == "order" and head.first == head.last == "ordered":
        return not (rest and rest[0].kind in ("pronoun", "them", "one", "work") and not rest[0].gap)
    fault = next((i for i, m in enumerate(rest) if m.kind == "condition" and not m.fit), 0)
    if any(m.kind == "be" and m.first in ("was", "were") for m in rest[:fault]) and head.id in (
        "clean",
        "dry",
        "tighten",
    ):
        return False  # "the trap I emptied, it was full of sludge": why it was done
    return named and head.owned and head.gap == 1 and any(m.kind in ("be", "pronoun") for m in rest[:fault])


_NONE = frozenset("neither none nothing nowt no".split())
_WITH_IT = 3  # words between "with" and "turned off"
_PAST_ONLY = frozenset("gave took ran did went drew blew shook threw tore wove swung".split())  # no participles
_WOULD = frozenset("id wed youd hed shed theyd would itd".split())
_HAVING = frozenset({"be", "prep", "need", "det", "condition", "component", "place", "size", "appliance", "pronoun"})


def its_yield(head: Mention, clause: Clause) -> bool:
    """ "Hoovered the catchment, two handfuls of soot": what came out of what was cleaned."""
    at = next(i for i, m in enumerate(clause.mentions) if m.start == head.start)
    worked = next((i for i in range(at - 1, -1, -1) if clause.mentions[i].kind == "work"), None)
    if worked is None or head.fit or not {sense.id for sense in head.senses} & _YIELDS:
        return False
    cleaned = clause.mentions[worked].done and clause.mentions[worked].id in ("clean", "remove")
    return cleaned and {m.kind for m in clause.mentions[worked + 1 : at]} <= _LEADING_TO_YIELD


def told_behind(fault: Mention, clause: Clause) -> bool:
    """ "Changed the hose, perished": a bare fault right behind the part that was worked on, which it was done for."""
    at = next(i for i, m in enumerate(clause.mentions) if m.start == fault.start)
    row = [m for m in clause.mentions[:at] if m.kind not in ("det", "place", "size")]
    if row and row[-1].kind == "be" and row[-1].first in ("was", "were") and row[-1].pause and not row[-1].gap:
        row = row[:-1]  # "I clean the heat exchanger, was dirty"
    worked = len(row) > 1 and row[-2].kind == "work" and (row[-2].done or row[-2].owned)
    named = worked and row[-1].kind == "component" and row[-2].id in MENDING
    shows = all(sense.id in SHOWING for sense in fault.senses)
    return named and not (fault.fit or fault.gap or shows)


def _would_have(head: Mention, flags: Sequence[Mention]) -> bool:
    """ "I'd have changed the fan if I'd had one", "he would have left it capped": what was not done."""
    would, have = flags[-2:] if len(flags) > 1 else (None, None)
    led = would is not None and have is not None and would.kind == "need" and would.first in _WOULD
    close = led and have is not None and have.first == "have" and have.end == head.start
    return close and would is not None and have is not None and would.end == have.start


def _not_to_be(head: Mention, flags: Sequence[Mention]) -> bool:
    """ "That one's not to be greased": what is not to be done."""
    row = [flag for flag in flags[-3:] if flag.kind in ("not", "need", "be", "prep")]
    denied = len(row) > 1 and row[0].kind == "not" and row[0].last in ("not", "isnt", "arent")
    return denied and row[1].first == "to" and row[1].start == row[0].end and head.start - row[1].start <= 2


def undone(head: Mention, flags: Sequence[Mention]) -> bool:
    """ "Not tested", "didn't change it", "no need to": no work."""
    if flags and flags[-1].kind in ("mark", "but"):
        return False  # "I can't, so I've ordered one"
    if _would_have(head, flags) or _not_to_be(head, flags) or may_have_been(head, flags):
        return True
    if head.last in ("doing", "done") and any(f.first in _NONE for f in flags) and head.senses[0].note == "needed":
        return True  # "neither of them needs doing"
    reach = 2 if head.first == "spanner" else 1  # "can't get a spanner on it"
    near = [flag for flag in flags if flag.kind in ("no", "not") and head.start - flag.end <= reach]
    if near and near[-1].first in ("nothing", "nowt") and (head.owned or head.mine):
        return False  # "you press and nothing, I've fitted a new one"
    return bool(near) and not head.pause


def may_have_been(head: Mention, flags: Sequence[Mention]) -> bool:
    """ "Could be the phial's been clipped in the wrong place": what somebody may have done to it before."""
    been = flags[-1] if flags else None
    guessed = any(flag.kind == "hedge" for flag in flags[:-1])
    return guessed and been is not None and been.last == "been" and not (head.gap or head.pause or head.owned)


def as_it_stood(head: Mention, clause: Clause) -> bool:
    """ "It ticks even with the grill turned off": how it stood meanwhile, nothing was made safe."""
    before = clause.mentions[: clause.mentions.index(head)]
    led = next((m for m in reversed(before) if m.kind not in ("det", "appliance", "pronoun", "component")), None)
    close = led is not None and led.kind == "prep" and led.first == "with" and head.start - led.end <= _WITH_IT
    return head.id == "isolate" and close and not head.pause


def its_purpose(
    head: Mention, flags: Sequence[Mention], before: Sequence[tuple[Mention, object, Sequence[Mention]]]
) -> bool:
    """ "Had to turn off at the meter to change the hose": what something was made safe or taken off for."""
    last = before[-1][0] if before else None
    led = bool(flags) and flags[-1].kind == "need" and flags[-1].last == "to" and flags[-1].end == head.start
    safe = last is not None and last.kind == "work" and last.id in ("isolate", "disconnect", "remove")
    return safe and led and flags[-1].first == "to" and head.senses[0].note == "base"


def told_to(
    head: Mention, flags: Sequence[Mention], before: Sequence[tuple[Mention, object, Sequence[Mention]]]
) -> bool:
    """ "Told him to cut it back": what somebody else is to do is advice, no work of this visit."""
    last = before[-1][0] if before else None
    if last is None or last.kind != "work" or last.id != "advise":
        return False
    behind = before[-1][2]
    to = next((flag for flag in [*flags, *behind] if flag.kind in ("need", "prep") and flag.first == "to"), None)
    if to is None or to.start - last.end > 2:
        return False
    got = any(flag.kind in ("pronoun", "them") and flag.start >= to.end for flag in flags)  # "to get it renewed"
    return head.start == to.end or (got and head.senses[0].note == "done" and head.start - to.end <= 2)


def had_done(head: Mention, clause: Clause) -> bool:
    """ "She declined to have the cracked electrode changed", "doesn't want the hose replaced": work that somebody would not
    have done."""
    at = clause.mentions.index(head)
    no = next((i for i in range(at - 1, -1, -1) if clause.mentions[i].kind == "decline"), at)
    row = clause.mentions[no + 1 : at]
    named = (
        bool(row) and row[-1].kind in ("component", "pronoun", "place") and not (head.gap or head.pause or head.owned)
    )
    return named and {m.kind for m in row} <= _HAVING and not any(m.pause for m in row)


def job_of(head: Mention, flags: list[Mention], tail: list[Mention], kinds: set[str]) -> Job:
    """The work that a verb tells, with its state and its objects."""
    note = head.senses[0].note
    wanted = _wanted(head, flags) or note == "needed"
    state = "needed" if wanted or (note == "base" and not head.owned) else "done"
    refused = note not in ("done", "cure") or wanted or any(flag.kind == "decline" for flag in flags)
    if "decline" in kinds and refused and head.senses[0].id not in ("advise", "label", "test", "isolate", "disconnect"):
        state = "declined"
    if head.senses[0].id == "monitor" and state == "done":
        state = "needed"
    state = "theirs" if head.theirs and state == "done" else state
    job = Job(head.senses[0].id, state, head.start, head.end)
    objects = _without_what_it_is_in(_without_where_it_was(head, _near(tail)))
    if objects and (objects[0].pause or not head.takes_object) and objects[0].kind != "prep":
        objects = []
    if _direct(head, objects) or _part_of(head, objects):
        job.targets = [t for t in targets(objects) if t.names or t.places or t.group or t.which]
    elif job.kind == "order" and [m.kind for m in tail[:3]] == ["prep", "det", "place"] and tail[0].first == "for":
        job.targets = targets(tail[2:3]) if not any(m.gap or m.pause for m in tail[:3]) else []
    return job


def _without_where_it_was(head: Mention, objects: list[Mention]) -> list[Mention]:
    """ "Pulled the lead off the rear left electrode": what it was taken off says where it was, and is no object."""
    inside = any(m.kind == "component" and m.start < head.around for m in objects)
    if head.id != "remove" or not inside:
        return objects
    return [m for m in objects if m.start < head.around or m.kind not in ("component", "and")]


def _without_what_it_is_in(objects: list[Mention]) -> list[Mention]:
    """ "New magnet in the front right tap": the tap says where it is, nothing was done to it."""
    parts = [m for m in objects if m.kind == "component"]
    if len(parts) != 2:
        return objects
    piece, whole = parts
    between = objects[objects.index(piece) + 1 : objects.index(whole)]
    led = bool(between) and (between[0].kind == "prep") != (between[0].gap == 1)  # "in" is sometimes no word of its own
    close = (
        led
        and {m.kind for m in between[1:]} <= {"det", "place", "size"}
        and not any(m.pause for m in [*between, whole])
    )
    its = piece.id in PIECES_OF.get(whole.id, ()) or (piece.id, whole.id) == ("low-rate-screw", "gas-tap")
    return [m for m in objects if m is not whole] if close and its else objects


def _near(tail: Sequence[Mention]) -> list[Mention]:
    """What stands behind work up to words that nobody knows: "changed the thermocouple and I've to come back with a cap"."""
    named = next((i for i, m in enumerate(tail) if m.kind in NOMINAL), len(tail))
    away = (
        i
        for i, m in enumerate(tail)
        if i > named and ((m.kind == "prep" and m.gap >= 2) or (m.kind == "one" and tail[i - 1].kind == "and"))
    )
    near = list(tail[: next(away, len(tail))])
    return [m for m, after in itertools.zip_longest(near, near[1:]) if not _particle(m, after)]


def _particle(mention: Mention, after: Mention | None) -> bool:
    """ "Put a new hose on and a new bayonet": a preposition that leads nowhere."""
    return mention.kind == "prep" and after is not None and after.kind == "and" and mention.first in ("on", "in")


def _part_of(head: Mention, tail: Sequence[Mention]) -> bool:
    """ "Nipped up the grub screw on that knob": a piece without a name of its own is of the part that is named."""
    bare = [m for m in tail if m.kind != "det"]
    if len(bare) < 2 or bare[0].kind != "prep" or bare[1].kind != "component" or bare[0].cause or bare[1].gap:
        return False
    articles = sum(m.end - m.start for m in tail[: tail.index(bare[0])])
    piece = bare[0].start - head.end - articles
    return 1 <= piece <= 2 and piece == bare[0].gap and not (bare[0].pause or bare[1].pause)


def following(head: Mention, clause: Clause) -> list[Mention]:
    """What stands right behind a mention."""
    at = clause.mentions.index(head) + 1
    return clause.mentions[at : at + 2]


def describes(head: Mention, clause: Clause) -> bool:
    """ "Caps all seated", "phial clipped properly": how a part sits, no work on it."""
    at = clause.mentions.index(head)
    before = [m for m in clause.mentions[:at] if m.kind not in ("det", "group", "place", "be")]
    named = bool(before) and before[-1].kind == "component" and not head.owned
    is_so = any(m.kind == "be" and m.first in ("is", "are") for m in clause.mentions[:at])
    sits = head.first in SITS or (is_so and head.first in _FIXED)  # "the plate is taped all round"
    return named and sits and not any(m.kind in ("pronoun", "them") for m in following(head, clause))


def several(head: Mention, clause: Clause) -> bool:
    """ "Greased them both", "cleaned the three of them": work on all that was told, whatever parts they are."""
    if head.crowd:
        return True  # "new pair ordered"
    after = next((m for m in following(head, clause) if m.kind != "det"), None)
    if after is None or after.pause or after.gap > 1:
        return False
    return after.kind in ("them", "group") or (after.id, after.last) == ("all", "them")  # "washed all of them"


def _wanted(head: Mention, flags: Sequence[Mention]) -> bool:
    """Whether "needs" reaches the work: not over a figure ("should be eighty, put the right one in") or a turn of the talk."""
    if head.first in _PAST_ONLY:
        return False  # "that wants looking at, gave the burner a brush"
    for flag in reversed(flags):
        if flag.kind == "be" and flag.last in ("getting", "being") and flag.end == head.start:
            return True  # "that's getting replaced"
        if flag.kind in ("reading", "but", "mark", "no"):
            return False  # "wants no more doing to it, I've hoovered out the muck"
        if flag.kind == "hedge" and flag.first == "must" and flag.end == head.start:
            return True  # "must be reconnected"
        if flag.kind == "need" and head.senses[0].id == "advise" and head.start - flag.end > 1:
            return False  # "needs a burner, told the office"
        if flag.kind == "need" and head.pause and head.gap and head.senses[0].note == "done":
            return False  # "wants a 72, changed"
        if flag.kind == "need" and flag.first == flag.last == "to" and head.owned and flag.end == head.start:
            return False  # "I've only had chance to clean the back one"
        if flag.kind == "need":
            return flag.first != "should" or head.start == flag.end  # "should be three amp, changed it"
    return False


def put_down_for(head: Mention, clause: Clause, tail: Sequence[Mention]) -> bool:
    """ "That pump's for changing", "one for renewing": what a part is kept for, and no object behind it."""
    at = clause.mentions.index(head)
    led = at > 0 and clause.mentions[at - 1].first == "for" and clause.mentions[at - 1].end == head.start
    object_ = bool(tail) and tail[0].kind in NOMINAL | {"det"} and not tail[0].pause  # "a brush for cleaning the jet"
    return led and head.senses[0].note == "ing" and not object_


def _direct(head: Mention, tail: Sequence[Mention]) -> bool:
    first = next((m for m in tail if m.kind != "det"), None)
    articles = sum(m.end - m.start for m in tail if m.kind == "det" and first is not None and m.start < first.start)
    if first is None or first.kind not in NOMINAL:
        return False
    whole = first.kind == "component" and head.end < head.around <= first.start and not first.gap
    ends = head.around if whole else head.end  # "offered him a new | hose"
    between = first.start - ends - articles
    return between <= min(1, sum(m.gap for m in tail[: list(tail).index(first) + 1]))  # a pronoun between is the object
