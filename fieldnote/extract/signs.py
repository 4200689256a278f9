"""What speaks for a finding and what against it. In: a fact, the words around it, the other facts. Out: the names of signs.

Some signs are doubts that a reader can be told (a part not named, a guess, words far apart); the others are what was counted
beside them: the words, what stands around them, what else was read there. Their weights are data (cues/confidence.txt).
Not allowed to know: which signs weigh what, limits.
"""

from bisect import bisect_left
from collections.abc import Iterator
from itertools import accumulate

from fieldnote.extract.draft import Draft
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.phrases.mention import Mention

_ROUND = 3  # mentions to each side
_WIDE = 200  # words: so far back the words of another fact may begin that reach to one
_NEAR = 4  # words to each side, facts to each side of the same part


class Watcher:
    """Names the signs of the facts of one talk; what it needs of the words is counted once."""

    def __init__(self, draft: Draft, facts: list[Fact]) -> None:
        self._tokens, self._mentions = draft.tokens, draft.mentions
        self._starts = [mention.start for mention in draft.mentions]
        known = bytearray(len(draft.tokens))
        for mention in draft.mentions:
            known[mention.start : mention.end] = b"\1" * (mention.end - mention.start)
        self._unknown = [0, *accumulate(1 - flag for flag in known)]
        self._plain = sum(token.pause != "" for token in draft.tokens) * 20 < len(draft.tokens)
        self._held: dict[tuple[str | None, str | None], list[Fact]] = {}
        for fact in facts:
            self._held.setdefault((fact.component, fact.position), []).append(fact)
        self._place = {id(fact): at for held in self._held.values() for at, fact in enumerate(held)}
        self._by_start = sorted(facts, key=lambda fact: fact.start)
        self._fact_starts = [fact.start for fact in self._by_start]
        self._longest = min(max((fact.end - fact.start for fact in facts), default=0), _WIDE)

    def doubts(self, fact: Fact) -> list[str]:
        """What is doubtful about a fact and can be told, each by its name, in which no colon stands."""
        near = max(fact.start - _NEAR, 0), min(fact.end + _NEAR, len(self._unknown) - 1)
        wide = fact.end - fact.start
        signs = {
            "condition-unsaid": fact.condition is None,
            "no-action": not fact.actions,
            "corrected-later": fact.superseded is not None,
            "place-unsaid": fact.position is None,
            "unpunctuated": self._plain,
            "competing": len(self._held[fact.component, fact.position]) > 1,
            "unknown-within": self._unsaid(fact.start, fact.end) > 0.25 * wide,
            "unknown-near": self._unsaid(*near) > 0.5 * (near[1] - near[0]),
            "many-cues": len(set(fact.cues)) > 2,
        }
        span = "one-word" if wide == 1 else "wide-span" if wide > 7 else "middling-span" if wide > 5 else "close-span"
        return [
            *dict.fromkeys(fact.cues),
            f"status-{fact.status}",
            span,
            *(sign for sign, is_so in signs.items() if is_so),
        ]

    def signs(self, fact: Fact) -> Iterator[str]:
        """All signs of a fact, the doubts among them, each once."""
        yield from self.doubts(fact)
        yield from self._of_itself(fact)
        for word in {token.norm for token in self._tokens[fact.start : fact.end]}:
            yield f"says:{word}"
        for action in fact.actions:
            yield f"act:{action.kind}/{action.state}"
        yield f"unknown-in:{min(self._unsaid(fact.start, fact.end), 5)}"
        yield f"unknown-before:{self._unsaid(max(fact.start - _NEAR, 0), fact.start)}"
        yield f"unknown-behind:{self._unsaid(fact.end, min(fact.end + _NEAR, len(self._tokens)))}"
        yield from self._around(fact)
        yield from self._beside(fact)

    @staticmethod
    def _of_itself(fact: Fact) -> Iterator[str]:
        yield f"part:{fact.component}"
        yield f"part:{fact.component}:{fact.condition}"
        yield f"part:{fact.component}@{fact.position}"
        yield f"at:{fact.position}"
        yield f"burner:{fact.burner}"

    def _around(self, fact: Fact) -> Iterator[str]:
        """What is mentioned in front of and behind its words, and how its part and its condition stand to each other."""
        first = bisect_left(self._starts, fact.start)
        behind = bisect_left(self._starts, fact.end)
        for at, mention in enumerate(reversed(self._mentions[max(first - _ROUND, 0) : first])):
            yield f"before-{at}:{mention.kind}"
        for at, mention in enumerate(self._mentions[behind : behind + _ROUND]):
            yield f"behind-{at}:{mention.kind}"
        within: list[Mention] = self._mentions[first:behind]
        part = next((one for one in within if one.kind == "component" and _means(one, fact.component)), None)
        said = next((one for one in reversed(within) if one.kind == "condition" and _means(one, fact.condition)), None)
        yield f"joined:{'part' if part else 'no-part'}-and-{'wording' if said else 'no-wording'}"
        if part and said:
            yield f"apart:{max(-4, min(said.start - part.end, 6))}"

    def _beside(self, fact: Fact) -> Iterator[str]:
        """The other facts of the part, and those that stand on the same words."""
        held = self._held[fact.component, fact.position]
        yield f"same-part:{min(len(held) - 1, 3)}"
        at = self._place[id(fact)]
        others = [one for one in held[max(at - _NEAR, 0) : at + _NEAR + 1] if one is not fact]
        yield from {f"same-part:{one.condition}/{one.status}" for one in others}
        low = bisect_left(self._fact_starts, fact.start - self._longest)
        high = bisect_left(self._fact_starts, fact.end)
        on_it = [one for one in self._by_start[low:high] if one.end > fact.start and one is not fact]
        yield f"on-its-words:{min(len(on_it), 4)}"
        yield from {f"on-its-words:{one.component}" for one in on_it}
        yield from {f"on-its-words:={one.condition}" for one in on_it}

    def _unsaid(self, start: int, end: int) -> int:
        """How many words no phrase covers."""
        return self._unknown[end] - self._unknown[start]


def _means(mention: Mention, id_: str | None) -> bool:
    return any(sense.id == id_ for sense in mention.senses)
