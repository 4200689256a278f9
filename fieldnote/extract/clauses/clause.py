"""A clause, and what can be asked of it alone. In: its mentions. Out: yes or no.

Not allowed to know: what stands before or behind it in the talk.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field

from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.symptoms import AT_BURNER

# kinds that say something of a subject, and kinds that open a clause whatever stands before
PREDICATES = frozenset({"condition", "work", "cured", "carried-out", "outcome", "reading", "same", "past"})
_A_DRAUGHT = 2  # words that say when or in what it does so, between a fault and "she says"
_AUXILIARIES = frozenset(
    "not doesnt dont didnt doesnae does isnt arent wont hasnt havent hasnae havenae has have".split()
)
_ONLY = frozenset({"just", "only"})
_THOUGH = frozenset("though but however".split())
_LIKED = frozenset(
    "good nice lovely decent strong proper perfect great healthy steady splendid gorgeous superb excellent champion smashing "
    "belting grand bonny".split()
)
_IT_IS = frozenset("its it that thats".split())
# what may be spoken of at a corner
_AT_A_CORNER = AT_BURNER | frozenset(
    "pan-support ignition-switch spark-generator radiant fuel-bed hotplate joint pipework appliance stability-bracket".split()
)
_HAVING = frozenset("got have had".split())
_IT = frozenset("it he she they that".split())
_FLAT = frozenset("hasnt isnt wasnt didnt hadnt havent arent werent doesnt dont".split())
_SO_IT_IS = frozenset("its hes shes theyre it they".split())
_BARE = frozenset({"no", "condition", "mark", "det", "and", "or"})


@dataclass(slots=True)
class Clause:
    """Mentions that belong together. `joint` is how the clause began: ".", ",", "and", "or", "but", "mark" (right, so, next),
    "pause" (um, then) or "". `cut`: words that nobody knows followed its last verb. `heading`: the place that was told last
    before it stood before what was said of it: who begins with the place goes on to do so. `labels`: so did the part that was
    told last, with a mark behind its name."""

    mentions: list[Mention] = field(default_factory=list)
    joint: str = ""
    cut: bool = False
    heading: bool = False
    labels: bool = False

    @property
    def said(self) -> bool:
        """Whether something is said of a subject already."""
        return any(m.kind in PREDICATES or (m.kind == "now" and self._says_so(i)) for i, m in enumerate(self.mentions))

    def _says_so(self, at: int) -> bool:
        """Whether "now" says something: not where it only leads a name ("and now the rear left caps won't sit")."""
        led = next(
            (i for i, m in enumerate(self.mentions) if m.kind not in ("and", "but", "mark", "now")), len(self.mentions)
        )
        if at > led:
            return True
        after = self.mentions[at + 1 : at + 3]
        return at > 0 and bool(after) and (after[0].gap > 0 or after[-1].kind == "not")

    @property
    def named(self) -> bool:
        """Whether a component, place or the like stands in it."""
        return any(mention.kind in NOMINAL for mention in self.mentions)

    def kinds(self) -> set[str]:
        """The kinds of its mentions."""
        return {mention.kind for mention in self.mentions}


def at_no_burner(clause: Clause) -> bool:
    """Whether parts are named, and none of them stands at a burner, so that no corner is told of them by the way."""
    named = [m for m in clause.mentions if m.kind == "component"]
    return bool(named) and all(m.strong and m.id not in _AT_A_CORNER for m in named)


def trailing_if(clause: Clause) -> bool:
    """ "Wouldn't catch if you begged it": a condition that goes with what was said right before it."""
    return clause.mentions[0].kind == "if" and clause.mentions[0].start > 0 and not clause.joint


def is_aside(clause: Clause) -> bool:
    """ "Where the fella had changed the meter last month": somebody's work of another day, told to say where a fault is."""
    return clause.mentions[0].first == "where" and "past" in clause.kinds()


def bare_denial(clause: Clause) -> bool:
    """Whether a clause denies a condition and names no part."""
    kinds = clause.kinds()
    return {"no", "condition"} <= kinds <= _BARE


def own_work(work: Mention, clause: Clause) -> bool:
    """ "She says the alarm went off, tested it": work right behind what was told is the engineer's own."""
    behind = clause.mentions[-1]
    told = "report" in clause.kinds() and clause.said
    return (
        told and behind.kind not in ("be", "pronoun", "them", "no", "not", "and", "need", "decline") and work.gap == 0
    )


def past_told(clause: Clause) -> bool:
    """Whether a clause has told something of the past and ends with its time."""
    told = clause.mentions
    while len(told) > 1 and told[-1].kind in ("and", "now"):
        told = told[:-1]  # "changed last year by another firm, and now it's loose"
    by = next((i for i, m in enumerate(told) if m.kind == "prep" and m.first == "by"), 0)
    if by and all(m.kind == "det" for m in told[by + 1 :]):
        told = told[:by]  # "changed last year by us and it's running fine", "by our own lads"
    if len(told) > 1 and told[-1].done and told[-2].kind == "past" and told[-2].last == "been" and not told[-1].gap:
        return True  # "the hose has since been changed and is fine"
    since = bool(told) and told[-1].kind == "past" and told[-1].last == "been" and any(m.kind in NOMINAL for m in told)
    return bool(told) and told[-1].kind == "past" and (since or any(m.kind in ("condition", "work") for m in told))


def is_over(clause: Clause) -> bool:
    """Whether a clause ends with its answer, or with the words that say who told it."""
    last = clause.mentions[-1]
    return last.closing and (clause.said or last.kind != "report")


def tells(clause: Clause, report: Mention) -> bool:
    """Whether a fault is told, so that "she says" behind it is said of it, not of "been there years"."""
    told = [m for m in clause.mentions if m.kind in PREDICATES]
    if not told or told[-1].kind not in ("condition", "past"):
        return False
    between = [*clause.mentions[clause.mentions.index(told[-1]) + 1 :], report]
    return not any(m.pause for m in between) or sum(m.gap for m in between) <= _A_DRAUGHT


def right_behind(mention: Mention, clause: Clause) -> bool:
    """Whether a part of which nothing was said yet stands right before."""
    part = clause.mentions[-1] if clause.mentions else None
    return part is not None and part.kind == "component" and not (clause.said or mention.pause or mention.gap)


def condition_told(clause: Clause) -> bool:
    """Whether a part was named behind "unless"."""
    first = clause.mentions[0]
    told = any(m.kind == "component" for m in clause.mentions) or clause.mentions[-1].kind == "pronoun"
    return first.kind == "if" and first.first == "unless" and told


def stands_for_verb(clause: Clause) -> bool:
    """Whether all that a clause says of a place is "does" or "doesn't": what was said before, or its opposite."""
    names = [m for m in clause.mentions if m.kind in NOMINAL]
    row = clause.mentions[:-1] if clause.mentions[-1].first in _THOUGH and names else clause.mentions
    last = next((m for m in reversed(row) if m.kind != "det"), clause.mentions[-1])
    auxiliary = last.kind == "does" or (last.kind == "not" and last.first in _AUXILIARIES)
    auxiliary = auxiliary or (
        last.kind == "be"
        and last.first in ("is", "are", "was", "were")
        and (clause.joint == "but" or len(row) < len(clause.mentions))
    )
    at = clause.mentions.index(last)
    own = at > 0 and clause.mentions[at - 1].kind in ("pronoun", "them")  # "she thinks it's both, it isn't"
    own = own or any(m.first == "thats" for m in clause.mentions)  # "that's the pair of them, not just the one"
    # "it's the front left not the right", "that was the rear left knob not the front"
    told = row[0].kind == "correct" or any(m.kind == "pronoun" and m.first in _IT_IS for m in row)
    own = own or (last.first == last.last == "not" and told)
    own = own and not (at > 1 and clause.mentions[at - 2].kind == "prep")  # "but the crown under it isn't"
    own = own and not _singled_out(clause.mentions[:at])
    return auxiliary and not (own or clause.said) and bool(names) and not last.pause and last.gap == 0


def _singled_out(row: Sequence[Mention]) -> bool:
    """ "It's just the rear right that (won't)", "only the wok which (doesn't)": one place of several, and its verb."""
    only = next((m for m in row if m.kind == "but" and {m.first, m.last} & _ONLY), None)
    led = len(row) > 1 and row[-1].first in ("that", "which") and row[-2].kind in ("place", "size", "group")
    return only is not None and led and not (row[-1].gap or row[-1].pause)


def but_not(clause: Clause) -> bool:
    """ "Cap is chipped, but not the crown", "but not on the back one": what was said before is denied of another."""
    row = [m for m in clause.mentions if m.kind not in ("det", "mark", "and")]
    denies = len(row) > 2 and row[0].kind == "but" and row[1].kind == "not" and row[1].first == row[1].last == "not"
    return denies and all(m.kind in NOMINAL | {"prep"} and not m.gap for m in row[2:])


def figure_of_rule(clause: Clause) -> bool:
    """Whether a rule has been told up to its figure ("the book says seventy eight, changed it")."""
    kinds = [m.kind for m in clause.mentions]
    last = next((m for m in reversed(clause.mentions) if m.kind not in ("det", "mark")), clause.mentions[-1])
    said = last.kind == "general" and last.last in ("says", "say", "said", "wants", "want", "for")
    return "general" in kinds and (kinds[-1] == "reading" or said)


def nobodys(mention: Mention, clause: Clause) -> bool:
    """Whether a denial before a part was said of something nobody knows ("that's not my department, fan's noisy")."""
    return bool(mention.gap) and not clause.named and any(m.kind == "not" for m in clause.mentions)


def belies(row: Sequence[Mention]) -> bool:
    """ "It hasn't, it's split", "it wasn't, the tap's seized": what somebody told is not so, and what is so follows."""
    flat = 1 if row and row[0].kind in ("correct", "deny") and row[0].first in _IT and row[0].last in _FLAT else 0
    if not flat and len(row) > 1 and row[0].kind in ("pronoun", "them") and not (row[1].gap or row[1].pause):
        flat = 2 if row[0].first in _IT and row[1].kind == "not" and row[1].first in _FLAT else 0
    if flat and row[flat : flat + 1] and row[flat].first == "been":
        flat += 1
    so = row[flat : flat + 2] if flat else []
    if so and so[0].kind == "det":
        so = so[1:]
    return bool(so) and (so[0].first in _SO_IT_IS or so[0].kind == "component") and so[0].gap == 0


def likened(mention: Mention, clause: Clause) -> bool:
    """ "Looks like a museum piece, frets are eaten away": what it looks like has been said in words that nobody knows."""
    row = clause.mentions[-2:]
    like = [m.kind for m in row] == ["hedge", "det"] and row[0].last == "like" and row[1].first in ("a", "an")
    return like and mention.gap > 1 and mention.strong and not row[1].gap


def is_placed(clause: Clause) -> bool:
    """Whether the clause has begun with its place: then another place is that of the next one."""
    for mention in clause.mentions:
        if mention.kind in PREDICATES:
            return False
        if mention.kind in ("place", "group"):
            return True
    return False


def nothing_there(clause: Clause) -> bool:
    """Whether the clause says that a part is not there ("no stability bracket on it", "it's not got radiants")."""
    row = [m for m in clause.mentions if m.kind != "det"]
    gone = any(first.kind == "no" and second.kind == "component" for first, second in itertools.pairwise(row))
    gone = gone or any(
        not_.kind == "not" and have.first in _HAVING and part.kind == "component" and not (have.gap or part.gap)
        for not_, have, part in zip(row, row[1:], row[2:], strict=False)
    )
    return gone and not clause.said


def is_fronted(clause: Clause) -> bool:
    """Whether a condition opened the clause and its part is still to come ("Cracked: front left cap")."""
    said = [m for m in clause.mentions if m.kind in PREDICATES]
    rest = [m for m in clause.mentions if m.kind in NOMINAL | {"pronoun", "them"}]
    return (
        len(said) == 1
        and said[0].kind == "condition"
        and not said[0].fit
        and all(m.start > said[0].start for m in rest)
        and (not any(m.kind == "component" for m in rest))
    )


def pending_before(condition: Mention, clause: Clause) -> bool:
    """Whether the clause has a subject before this condition, so that the condition belongs to that one."""
    before = [m for m in clause.mentions if m.kind in NOMINAL and m.start < condition.start]
    where = [m for m in clause.mentions if m.start < condition.start][-2:]
    if condition.gap and [m.kind for m in where] == ["prep", "det"] and where[0].id == "prep" and not where[1].gap:
        before = [m for m in before if m.kind != "appliance"]  # "hob in the rented flat loose knob"
    return any(m.kind != "appliance" for m in before) or (bool(before) and condition.gap > 0)


def placed_fault(condition: Mention, part: Mention, clause: Clause) -> bool:
    """ "Rear left blocked injector, rear right cracked electrode": a corner right before a fault that stands before its part."""
    row = [
        m
        for m in clause.mentions[: clause.mentions.index(condition)]
        if m.kind not in ("and", "mark", "det", "appliance")
    ]
    liked = not condition.fit or condition.first in _LIKED  # "rear left good flame", not "rear left fine, hose"
    near = liked and not (condition.gap or part.pause or (part.last.endswith("s") and part.id != "flame"))
    # "front left, rapid: splendid flame", "back two good flames"
    corner = [m.kind for m in row] in (["place"], ["place", "size"], ["group"])
    ring = [m.kind for m in row] == ["place", "component"] and row[1].id == "burner" and not row[1].gap
    if near and ring and not row[1].clitic:
        return True  # "left ring stiff tap, right ring fine"
    return near and corner and "-" in row[0].id and not row[-1].clitic


def had_none(clause: Clause) -> bool:
    """ "No wait, I had none", "hang on, I hadn't one with me": what was said to be fitted was not at hand."""
    return any(m.id == "had-none" for m in clause.mentions)


def since_done(clause: Clause) -> bool:
    """ "It was cracked last year, since replaced": work between the visit that is told of and this one."""
    row = [m for m in clause.mentions[:3] if m.kind != "be"]
    return len(row) > 1 and row[0].kind == "mark" and row[0].first == "since" and row[1].done and not row[1].gap
