"""What is said of any part of a kind, not of this one: "a blocked injector gives you a small flame", "taps get stiff". Nor
what ought to be: "the caps should sit flat". In: mentions of a talk. Out: the same, with a mention of kind `general` where such a
remark begins.

Not allowed to know: what was said before it.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token

_GENERAL = (Sense("general", "habit"),)
_BEFORE = frozenset("report mark and but own".split())  # what a remark may follow without a pause
_OF_ANY = frozenset(
    "give gives make makes cause causes mean means get gets can could will tend tends lead leads".split()
)
_OF_MANY = frozenset("get tend can often usually always".split())  # behind a bare plural
_THESE = frozenset("these them those".split())
_DO = frozenset("do can will get tend".split())
_THIS_ONE = (("this", "one"), ("these", "havent"), ("these", "dont"), ("these", "arent"), ("these", "one"))
_HARDLY = frozenset("not hardly barely only".split())
_ONCE = frozenset("is was has looks seems keeps needs wants".split())  # verbs in s that tell of one
# what ends a remark on all of a kind
_CLOSING = tuple(
    tuple(said.split())
    for said in (
        "as a rule", "on these", "with these", "in these", "with age", "over time", "in time", "in the end", "in general",
        "on this make", "on this model", "on this sort", "on this type", "of this age", "sooner or later", "when folk",
        "when people", "before long", "most times", "every time folk",
    )
)  # fmt: skip
_BEFORE_YOU = (("before", "you"), ("when", "you", "leave"), ("when", "you", "go"), ("when", "youre", "done"))
_SHOULD_BE = frozenset("be have do get go not really last hold need".split())
_LIKE_THAT = frozenset("as how where like".split())  # before "it should": how something was found
# whose appliance is not the one in hand
_NEXT_DOOR = (
    ["next", "doors"],
    ["door", "neighbours"],
    ["the", "neighbours"],
    ["her", "neighbours"],
    ["his", "neighbours"],
)
_KIN = frozenset(
    "mams mums mothers dads fathers sons daughters brothers sisters mates nans nanas grans neighbours own aunties uncles".split()
)
_SUCH = 3  # words behind "caps" in which it is said that such do it ("caps on these do warp")
_LONGEST = 16  # words of such a remark


def marked(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions; where a general remark begins, its article is one of kind `general`, or one stands before its name."""
    out: list[Mention] = []
    for at, mention in enumerate(found):
        first = at == 0 or bool(mention.pause) or found[at - 1].kind in _BEFORE
        if first and mention.kind == "det" and mention.first in ("a", "an", "any") and _of_any(at, found, tokens):
            mention = replace(mention, kind="general", senses=_GENERAL, other=())
        elif any(rule(at, found, tokens) for rule in (_of_many, _as_it_should, _told_to, _anothers, _as_such_do)):
            out.append(Mention("general", mention.start, mention.start, _GENERAL, pause=mention.pause))
            mention = replace(mention, pause="")
        out.append(mention)
    return out


def _of_any(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "A weak thermocouple drops out early on these", "a burner gets dirty": a part with its article, and what such do."""
    row = found[at + 1 : at + 4]
    part = next((m for m in row if m.kind not in ("condition", "size", "which")), None)
    if part is None or part.kind != "component" or part.clitic or part.end >= len(tokens) or tokens[part.end - 1].pause:
        return False
    if any(m.gap or m.pause for m in row[: row.index(part) + 1]):
        return False
    verb, after = tokens[part.end].norm, tokens[part.end + 1].norm if part.end + 1 < len(tokens) else ""
    closed = verb.endswith("s") and verb not in _ONCE and _closed(part.end, tokens)
    return (verb in _OF_ANY and after not in _HARDLY) or closed


def _of_many(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "Burners get dirty if you let them": a bare plural that opens a sentence, and what such do."""
    part = found[at]
    first = (at == 0 or part.pause == ".") and not part.gap
    plural = first and part.kind == "component" and part.plural and part.last.endswith("s") and not part.clitic
    return plural and part.end < len(tokens) and not tokens[part.end - 1].pause and tokens[part.end].norm in _OF_MANY


def _as_such_do(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "Bayonets do weep, this one doesn't", "these caps crack easy, these haven't": what such do, and then the one in hand."""
    part = found[at]
    if part.kind != "component" or part.clitic or part.end >= len(tokens):
        return False
    if not part.last.endswith("s") and tokens[part.start - 1].norm not in _THESE:
        return False
    row = [token.norm for token in tokens[part.end : part.end + _LONGEST]]
    if tokens[part.end - 1].pause or any(token.pause == "." for token in tokens[part.end : part.end + 2]):
        return False
    of_such = bool(_DO & set(row[:_SUCH])) or (at > 0 and found[at - 1].first in _THESE and not part.gap)
    after = next((i for i in range(1, len(row) - 1) if (row[i], row[i + 1].removesuffix("s")) in _THIS_ONE), 0)
    told = [m for m in found[at + 1 : at + 4] if m.start < part.end + after]
    return of_such and any(m.kind in ("condition", "reading") for m in told) and not any(m.kind == "be" for m in told)


def _as_it_should(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "The caps should sit flat", "it should light first time": what ought to be; "should be fine now" is a guess."""
    part = next((m for m in found[at : at + 2] if m.kind != "det"), None)
    led = part is found[at] and at > 0 and found[at - 1].kind == "det"
    if (
        part is None
        or part.kind not in ("component", "pronoun", "them")
        or led
        or part.end + 1 >= len(tokens)
        or tokens[part.end - 1].pause
    ):
        return False
    if part.start and tokens[part.start - 1].norm in _LIKE_THAT and not tokens[part.start - 1].pause:
        return False  # "running as it should, pipework's rusty"
    return tokens[part.end].norm in ("should", "shouldnt") and tokens[part.end + 1].norm not in _SHOULD_BE


def _told_to(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "Check the flame's blue before you leave": what somebody is told to do."""
    mention = found[at]
    start = mention.start - 1
    if mention.gap != 1 or tokens[start].norm not in ("check", "see", "ensure"):
        return False
    return (start == 0 or tokens[start - 1].pause == ".") and _closed(mention.start, tokens, _BEFORE_YOU)


def _anothers(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """ "Next door's boiler is louder", "my mam's cooker does the same": an appliance in another house."""
    mention = found[at]
    if mention.kind not in ("appliance", "component") or mention.gap < 1:
        return False
    owner = tokens[mention.start - 1].norm
    row = [token.norm for token in tokens[max(0, mention.start - 3) : mention.start]]
    if any(token.pause for token in tokens[max(0, mention.start - 2) : mention.start]):
        return False
    return row[-2:] in _NEXT_DOOR or (row[-2:-1] in (["my"], ["me"], ["your"]) and owner in _KIN)


def _closed(start: int, tokens: Sequence[Token], closing: Sequence[tuple[str, ...]] = _CLOSING) -> bool:
    """Whether a sentence ends with words that say it of all of a kind."""
    said = []
    for token in tokens[start : start + _LONGEST]:
        said.append(token.norm)
        if token.pause == ".":
            break
    return any(tuple(said[at : at + len(words)]) == words for words in closing for at in range(len(said)))
