"""A talk cut into clauses: at most one subject with what is said of it. In: mentions. Out: `Clause`s in order.

Speech has no full stops: a clause ends where a new subject opens after something was said of the one before. Not allowed to
know: what the words are names of.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause, bare_denial, likened
from fieldnote.extract.clauses.headings import heads, labels
from fieldnote.extract.clauses.opening import opens
from fieldnote.extract.clauses.placing import corner_of_what_there_is
from fieldnote.extract.phrases.mention import NOMINAL, Mention

LONGEST = 60  # mentions in a clause: nobody says more in one, and the time for a text stays linear
_JOINTS = frozenset({"and", "or", "but"})
_TAKING_BACK = frozenset({"correct", "take-back", "mark"})
_IT_WAS_WRONG = frozenset("that back wrong mistake correction".split())  # last words
_IT_IS = frozenset({"its", "thats"})
_IT_IS_SO = frozenset("its thats hes shes theyre".split())
_WILL_NOT = frozenset("wont wouldnt doesnt dont didnt cant couldnt".split())
_SO_IT = frozenset("is does did was".split())
_ARTICLES = frozenset("the that this them those".split())
_SOMEBODY = frozenset("he she they we".split())
_IS = frozenset("is its are theyre".split())
_PAUSE_WORDS = frozenset({"um", "er", "erm", "uh", "hmm"})


def split(mentions: Sequence[Mention]) -> list[Clause]:
    """The clauses of a talk. Linear in the number of mentions."""
    done: list[Clause] = []
    clause = Clause()
    for at, mention in enumerate(mentions):
        if len(clause.mentions) >= LONGEST or (clause.mentions and opens(mention, at, mentions, clause)):
            ended = likened(mention, clause) or _ends_there(mention, clause)
            moved = [] if ended else corner_of_what_there_is(clause, mention)
            trailing = [] if ended else [*_trailing_joints(clause, [*moved, mention][0]), *moved]
            trailing = [*_asked_of(mention, clause), *_either(clause, trailing), *trailing]
            done.append(clause)
            clause = Clause(trailing, _joint(mention, trailing), heading=heads(clause), labels=labels(clause))
        clause.mentions.append(mention)
    if clause.mentions:
        done.append(clause)
    whole = _borne_out(_named_behind([clause for clause in done if clause.mentions]))
    return _with_what_is_so(_denials_together(whole))


def _borne_out(clauses: list[Clause]) -> list[Clause]:
    """ "She says it squeals. It does.", "she says it won't light, it won't": what was told is so."""
    for before, clause in pairwise(clauses):
        row = [m for m in clause.mentions if m.kind != "and"]
        if not row or row[0].first != "it" or not any(m.kind == "report" for m in before.mentions):
            continue
        told = {m.first for m in before.mentions if m.kind == "condition"}
        bare = [m.kind for m in row] in (["own"], ["pronoun", "does"]) and row[-1].last in _SO_IT
        if bare or ([m.kind for m in row] == ["pronoun", "not"] and row[1].first in told):
            clause.mentions = [replace(row[-1], kind="confirm")]
    return clauses


def _named_behind(clauses: Sequence[Clause]) -> list[Clause]:
    """ "It's cracked, that cap", "he's stuck fast, the tap": the part is named behind what is said of it."""
    done: list[Clause] = []
    for clause in clauses:
        article, part, *rest = clause.mentions if len(clause.mentions) > 1 else [*clause.mentions, clause.mentions[0]]
        named = article.pause == "," and article.first in _ARTICLES and part.kind == "component" and part is not article
        apart = not (article.gap or part.gap or part.pause) and (not rest or bool(rest[0].pause))
        headed = bool(rest) and rest[0].kind == "condition" and rest[0].first not in _WILL_NOT  # "the knob, cracked"
        if done and named and apart and not headed and _of_it_alone(done[-1]):
            done[-1].mentions += [replace(article, pause=""), part]
            clause.mentions = rest
        if clause.mentions:
            done.append(clause)
    return done


def _of_it_alone(clause: Clause) -> bool:
    """Whether a clause ends with a fault of what "it" stands for."""
    it = any(m.kind in ("pronoun", "them") and m.first in _IT_IS_SO for m in clause.mentions)
    fault = clause.mentions[-1]
    return it and fault.kind == "condition" and not any(m.kind == "component" for m in clause.mentions)


def _denials_together(clauses: Sequence[Clause]) -> list[Clause]:
    """ "No cracks, no chips, nothing missing on the caps": the part is named once, behind the last denial."""
    done: list[Clause] = []
    for clause in clauses:
        before = done[-1] if done else None
        if before and clause.joint != "." and bare_denial(before) and clause.mentions[0].kind == "no" and clause.said:
            before.mentions.extend(clause.mentions)
        else:
            done.append(clause)
    return done


def _with_what_is_so(clauses: Sequence[Clause]) -> list[Clause]:
    """ "No, scratch that. It's the front right": what is so instead goes with the words that take back, whatever the mark."""
    done: list[Clause] = []
    for clause in clauses:
        first = clause.mentions[0]
        instead = (
            clause.joint == "." and first.kind == "pronoun" and first.first in _IT_IS and clause.named != clause.said
        )
        if instead and done and _takes_back(done[-1]):
            done[-1].mentions += [replace(first, pause=","), *clause.mentions[1:]]
        else:
            done.append(clause)
    return done


def _takes_back(clause: Clause) -> bool:
    """Whether a clause says that what was told is wrong, and nothing else."""
    return clause.kinds() <= _TAKING_BACK and clause.mentions[-1].last in _IT_WAS_WRONG


def _trailing_joints(clause: Clause, opener: Mention) -> list[Mention]:
    """Joints and articles at the end of a clause belong to the one that `opener` begins; a guess does not where its
    sentence has ended ("used twice, I should think. Front left lovely")."""
    moved: list[Mention] = []
    while clause.mentions and (
        clause.mentions[-1].kind in _JOINTS | {"det", "mark"}
        or (clause.mentions[-1].kind == "hedge" and not any(m.pause == "." for m in [opener, *moved]))
        or (_counts_one(clause.mentions, opener) and not any(m.gap for m in moved[:1]))
        or _and_now(clause.mentions)
        or _from_today(clause.mentions)
        or _back_then(clause.mentions, opener)
        or (clause.mentions[-1].id == "as-left" and clause.mentions[-1].pause)
    ):
        moved.insert(0, clause.mentions.pop())
    return moved


def _ends_there(mention: Mention, clause: Clause) -> bool:
    """ "Wants to be fifteen or better. New one on": the full stop stands behind the last words of what was said before."""
    return mention.pause == "." and clause.mentions[-1].kind == "or" and mention.gap > 0


def _asked_of(ask: Mention, clause: Clause) -> list[Mention]:
    """ "Just dirty, and the electrode, is that loose": the part that a question is about is named before its verb."""
    if ask.kind != "ask" or not clause.said:
        return []
    at = len(clause.mentions)
    while at and clause.mentions[at - 1].kind in NOMINAL | {"det", "prep", "pronoun"}:
        at -= 1
    named = at and clause.mentions[at - 1].kind == "and" and any(m.kind == "component" for m in clause.mentions[at:])
    moved = clause.mentions[at - 1 :] if named else []
    del clause.mentions[len(clause.mentions) - len(moved) :]
    return moved


def _either(clause: Clause, trailing: Sequence[Mention]) -> list[Mention]:
    """ "Either the injector's blocked or the burner's dirty": what follows is as much of a guess."""
    if not any(m.kind == "or" and m.first == "or" for m in trailing):
        return []
    guess = next((m for m in clause.mentions if m.kind == "hedge" and "either" in (m.first, m.last)), None)
    return [replace(guess, pause="")] if guess else []


def _and_now(mentions: Sequence[Mention]) -> bool:
    """ "I blow it and now | the pilot is strong": the word belongs to what follows."""
    last = mentions[-1]
    joined = len(mentions) > 2 and mentions[-2].kind in ("and", "mark", "but")
    return joined and last.kind == "now" and last.first == "now" and not (last.gap or last.pause)


def _from_today(mentions: Sequence[Mention]) -> bool:
    """ "They put it at risk for a broken plate; today | the plate is whole": the day opens what follows."""
    last = mentions[-1]
    return len(mentions) > 1 and last.kind == "now" and last.first == "today" and last.pause != "" and not last.gap


def _back_then(mentions: Sequence[Mention], opener: Mention) -> bool:
    """ "It's as quiet as anything last year | they had the exchanger cleaned": when somebody did something opens what is told."""
    last = mentions[-1]
    somebody = opener.kind in ("them", "pronoun") and opener.first in _SOMEBODY and not (opener.gap or opener.pause)
    today = any(m.first in _IS or m.fit for m in mentions[:-1]) and not any(m.done for m in mentions)
    return last.kind == "past" and last.first == "last" and last.last == "year" and somebody and today


def _counts_one(mentions: Sequence[Mention], opener: Mention) -> bool:
    """Whether "one" at the end of a clause counts what follows ("one cap was cracked")."""
    last = mentions[-1]
    where = [m.kind for m in mentions[-3:-1]] == ["det", "place"] and not (last.gap or opener.kind == "component")
    if where and mentions[-3].first == "the":
        return False  # "so is the rear right one, wok burner's fine"
    kind_of = [m.kind for m in mentions[-3:-1]] == ["det", "condition"] and mentions[-3].first == "the" and not last.gap
    if kind_of:
        return False  # "front right's the stiff one, and rear right's the seized one"
    return last.kind == "one" and last.start == last.end - 1 and last.first == "one" and len(mentions) > 1


def _joint(mention: Mention, trailing: Sequence[Mention]) -> str:
    pause = max((m.pause for m in [*trailing, mention]), key=" ,.".find)
    if pause == ".":
        return "."
    for joint in trailing:
        if joint.kind in _JOINTS:
            return joint.kind
    if mention.kind == "mark":
        return mention.id
    return "but" if mention.kind == "but" else pause
