"""Where somebody who talks without marks most likely pauses. In: the tokens and mentions of a talk. Out: its tokens with these
pauses; or none, where it has marks of its own.

The weights (cues/pauses.txt) are fitted by `tests/benchmarks/pauses.py` on texts that their speakers' writers did mark. Not
allowed to know: what any word means beyond its kind.
"""

import functools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib import resources
from itertools import pairwise

from fieldnote.extract.confidence import Table, strict
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.tokens import Token

LIKELY = 0.6  # from here on a pause is made
_SHORTEST, _A_MARK_IN = (
    25,
    25,
)  # words of a talk that is told in one breath; words to each of the few marks that it may have
_FAR = 3  # words between a mention and a gap are told apart up to here


def run_on(tokens: Sequence[Token]) -> bool:
    """Whether a talk goes on without marks."""
    marks = sum(1 for token in tokens[:-1] if token.pause)
    return len(tokens) >= _SHORTEST and marks * _A_MARK_IN <= len(tokens)


def paused(tokens: Sequence[Token], mentions: Sequence[Mention]) -> list[Token]:
    """The tokens, each behind which a pause is likely with one."""
    told = [sum(_weight(sign) for sign in ("", *signs)) for signs in gaps(tokens, mentions)]
    likely = [1 / (1 + math.exp(-total)) >= LIKELY for total in told]
    return [
        replace(token, pause=".") if here and not token.pause else token
        for token, here in zip(tokens, [*likely, False], strict=True)
    ]


def gaps(tokens: Sequence[Token], mentions: Sequence[Mention]) -> Iterator[list[str]]:
    """For each gap between two words the signs that stand around it."""
    words = ["#", "#", *(token.norm for token in tokens), "#", "#", "#"]
    done, coming = 0, 0  # mentions that end before the gap; the first that begins behind it
    for at in range(1, len(tokens)):
        while done < len(mentions) and mentions[done].end <= at:
            done += 1
        while coming < len(mentions) and mentions[coming].start < at:
            coming += 1
        yield [
            *_of_words(words[at : at + 5]),
            *_of_mentions(
                at, mentions[max(done - 3, 0) : done][::-1], mentions[coming : coming + 3], words[at + 1 : at + 3]
            ),
            *(f"within {mention.kind}" for mention in mentions[done:coming]),
        ]


def _of_words(five: Sequence[str]) -> Iterator[str]:
    """Signs of two words before a gap and three behind it."""
    before, last, first, second, third = five
    yield f"last {last}"
    yield f"first {first}"
    yield f"last-but-one {before}"
    yield f"second {second}"
    yield f"last-two {before} {last}"
    yield f"first-two {first} {second}"
    yield f"last-first {last} {first}"
    yield f"first-three {first} {second} {third}"


def _of_mentions(at: int, left: Sequence[Mention], right: Sequence[Mention], beside: Sequence[str]) -> Iterator[str]:
    """Signs of the mentions that end before a gap, the nearest first, and of those that begin behind it."""
    last, first = beside
    yield from (f"left-{n} {mention.kind}" for n, mention in enumerate(left))
    yield from (f"right-{n} {mention.kind}" for n, mention in enumerate(right))
    ends = f"{left[0].kind} {min(at - left[0].end, _FAR)}" if left else "#"
    begins = f"{right[0].kind} {min(right[0].start - at, _FAR)}" if right else "#"
    yield f"ends {ends}"
    yield f"begins {begins}"
    yield f"ends-begins {ends} {begins}"
    yield f"ends-first {ends} {first}"
    yield f"last-begins {last} {begins}"
    for _, other in pairwise(right[:2]):
        yield f"ends-begins-next {ends} {begins} {other.kind}"
    for _, other in pairwise(left[:2]):
        yield f"before-ends-begins {other.kind} {ends} {begins}"
    yield from (f"ended {ends} {mention.id}" for mention in left[:1])
    yield from (f"beginning {begins} {mention.id}" for mention in right[:1])


def _weight(sign: str) -> float:
    row = table().weights.get(sign)
    return row[""] if row else 0.0


@functools.cache
def table() -> Table:
    """The table as it ships."""
    return strict(resources.files("fieldnote.extract").joinpath("cues/pauses.txt").read_text("utf-8").splitlines())
