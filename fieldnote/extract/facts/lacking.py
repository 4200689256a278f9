"""What is wanted because it is not there. In: a clause and the talk. Out: a statement that the part named before it is missing.

"Told her to get a CO alarm because there's none", "she should have a vent and she hasn't": the part stands in advice or in a
question, and only the words behind tell how it is. Not allowed to know: work, other than that it was advised.
"""

from bisect import bisect_left
from collections.abc import Sequence

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.missing import ALWAYS_THERE, NEVER_TAKEN
from fieldnote.extract.clauses.said import Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.lexicon import Sense

_LED = 14  # words between the part that is wanted and that there is none
_OF_ITS_KIND = frozenset("these this".split())
_SHORTEST, _LONGEST = 2, 6  # words of "there's none", and of "he doesn't have one on these"
_HAS_NOT = frozenset("hasnt havent hadnt hasnae havenae".split())
_IS_NOT = frozenset("isnt wasnt isnae wasnae arent werent".split())
_WHO = frozenset("he she they you it theyve hes shes youve its we".split())
_ANY = frozenset("one any none".split())
_FITTED = frozenset("fitted there present installed provided in".split())
_ENDS = frozenset("so and but in on at up i ive ill told its that".split())


def none_of_it(talk: Talk, clause: Clause, said: Said) -> None:
    """Say of a part named right before that it is missing, where the clause says so of nothing that it names itself."""
    start, end = clause.mentions[0].start, clause.mentions[-1].end
    words = [token.norm for token in talk.draft.tokens[start : end + _SHORTEST + _LONGEST]]
    at = next((i for i in range(end - start + _SHORTEST) if _lacks(words, i)), None)
    if at is None or any(m.kind == "component" and m.start > start + at for m in clause.mentions):
        return
    part = _wanted(talk, start + at)
    if part is None or part.id in ALWAYS_THERE:
        return
    told = [fact for fact in talk.story.facts[-3:] if fact.component == part.id and fact.end > part.start - 1]
    if any(fact.condition for fact in told):
        return  # "there's a smell at the meter, there isn't one"
    missing = (Sense("condition", "not-fitted" if part.id in NEVER_TAKEN else "missing"),)
    target = Target((Sense("component", part.id, None, "strong"),))
    kept = [
        s for s in said.statements if not (s.condition_ids & {"missing", "not-fitted"} and s.head >= start + at - 1)
    ]
    end = max(end, min(start + at + _SHORTEST, len(talk.draft.tokens)))
    out = Statement(missing, start + at, end, [target], head=start + at, own=True, cues=["no"])
    out.words = end - start - at
    said.statements = [*kept, out]
    if not told and _advised(talk, part, start + at):
        said.works.append(Job("advise", "done", start + at, end, [target]))


def _lacks(words: Sequence[str], at: int) -> bool:
    """Whether words from `at` on tell that there is none of what was named: "there isn't one", "she hasn't got one"."""
    row = [*words[at : at + _LONGEST], *[""] * _LONGEST][:_LONGEST]
    here, after, third, fourth = row[:4]
    if _OF_ITS_KIND.intersection(row):
        return False  # "they don't have one on these": how it was made
    if here in ("theres", "there"):
        rest = row[2:] if here == "there" and after in ("is", "was", "were") else row[1:]
        if (rest[0] == "none" and rest[1] not in ("of", "o")) or rest[:2] == ["not", "one"]:
            return True
        if rest[0] in _IS_NOT and (rest[1] in _ANY or rest[1] in _ENDS or not rest[1]):
            return True
    if here in _WHO and after in _HAS_NOT:
        return third in _ANY or (third in ("got", "had") and fourth in _ANY) or third in _ENDS or not third
    if here in _WHO and after == "not" and third in ("got", "have"):
        return fourth in _ANY
    if here in _WHO and after in ("doesnt", "dont", "didnt") and third == "have":
        return fourth in _ANY
    return here == "none" and after in _FITTED


def _wanted(talk: Talk, at: int) -> Mention | None:
    """The last part named before a word, near it; None where something is said of it between."""
    mentions = talk.draft.mentions
    last = bisect_left(mentions, at, key=lambda m: m.start) - 1
    while last >= 0 and at - mentions[last].end <= _LED:
        if mentions[last].kind == "component":
            return mentions[last] if mentions[last].strong or len(mentions[last].senses) == 1 else None
        if mentions[last].kind in ("condition", "outcome", "cured", "past") or mentions[last].done:
            return None  # "he told me the hose had been changed, it hasn't"
        last -= 1
    return None


def _advised(talk: Talk, part: Mention, at: int) -> bool:
    """Whether the part stands in advice that was given."""
    mentions = talk.draft.mentions
    last = bisect_left(mentions, at, key=lambda m: m.start)
    return any(
        m.kind == "work" and m.id == "advise" and part.start - m.end <= _LED for m in mentions[max(0, last - 8) : last]
    )
