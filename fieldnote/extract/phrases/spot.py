"""A phrase where it stands among the others of a talk. In: phrases and tokens. Out: what stands around it.

Not allowed to know: what it means here.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token


@dataclass(frozen=True, slots=True)
class Spot:
    """A phrase where it stands: the `at`-th of `hits`."""

    hit: Hit[Sense]
    at: int
    hits: Sequence[Hit[Sense]]
    tokens: Sequence[Token]

    @property
    def first(self) -> str:
        """Its first word."""
        return self.tokens[self.hit.start].norm

    @property
    def single(self) -> bool:
        """Whether it is one word."""
        return self.hit.end - self.hit.start == 1

    @property
    def pause(self) -> str:
        """The pause behind it."""
        return self.tokens[self.hit.end - 1].pause

    @property
    def of_two_ovens(self) -> bool:
        """Whether it is the side of an oven: "but the right oven, now that's a different story"."""
        return (
            self.single
            and self.first in ("left", "right")
            and self.before == "the"
            and self.beyond in ("oven", "ovens")
        )

    @property
    def parted(self) -> bool:
        """Whether a pause stands before its last word."""
        return not self.single and bool(self.tokens[self.hit.end - 2].pause)

    @property
    def before(self) -> str:
        """The word before it; empty where a pause parts them."""
        start = self.hit.start
        return self.tokens[start - 1].norm if start and not self.tokens[start - 1].pause else ""

    @property
    def beyond(self) -> str:
        """The word behind it."""
        return self.tokens[self.hit.end].norm if self.hit.end < len(self.tokens) else ""

    @property
    def owned(self) -> bool:
        """Whether the word before it ends in apostrophe and s ("the fan's rubbing")."""
        return bool(self.before) and self.tokens[self.hit.start - 1].clitic

    def senses(self, kind: str) -> list[Sense]:
        """Its meanings of one kind."""
        return [sense for sense in self.hit.values if sense.kind == kind]

    def means(self, *kinds: str) -> bool:
        """Whether it can be of one of these kinds."""
        return any(sense.kind in kinds for sense in self.hit.values)

    def follower(self) -> "Spot | None":
        """The phrase that stands right behind it, no pause between."""
        at = self.at + 1
        if at >= len(self.hits) or self.hits[at].start != self.hit.end or self.pause:
            return None
        return Spot(self.hits[at], at, self.hits, self.tokens)

    def followed_by(self, *kinds: str) -> bool:
        """Whether a phrase of one of these kinds stands right behind it."""
        after = self.follower()
        return after is not None and after.means(*kinds)

    def behind(self, reach: int = 0) -> "Spot | None":
        """The phrase before it, with at most `reach` words between."""
        if not self.at or self.hit.start - self.hits[self.at - 1].end > reach:
            return None
        return Spot(self.hits[self.at - 1], self.at - 1, self.hits, self.tokens)
