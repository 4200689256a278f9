"""A part that is spoken of and where it is, as it was said; how the places of a hob lie to each other.

In: nothing. Out: `Target`. Not allowed to know: the words that name them.
"""

from dataclasses import dataclass

from fieldnote.extract.words.hob import FOUR, SIDES
from fieldnote.extract.words.lexicon import Sense

OPEN_GROUPS = frozenset(
    {
        *("rest", "last-two", "listed", "first-two", "first-three", "former", "latter"),
        *("behind", "in-front", "beside", "diagonal", "same-side"),
    }
)
SIDE = {"left": "right", "right": "left", "front": "rear", "rear": "front"}
# places that are said from the place in talk
RELATIVE = {
    "behind": {"front-left": "rear-left", "front-right": "rear-right", "front": "rear"},
    "in-front": {"rear-left": "front-left", "rear-right": "front-right", "rear": "front"},
    "beside": {f"{row}-{side}": f"{row}-{SIDE[side]}" for row in ("front", "rear") for side in ("left", "right")}
    | {"left": "right", "right": "left"},
    "diagonal": {
        f"{row}-{side}": f"{SIDE[row]}-{SIDE[side]}" for row in ("front", "rear") for side in ("left", "right")
    },
    "same-side": {f"{row}-{side}": f"{SIDE[row]}-{side}" for row in ("front", "rear") for side in ("left", "right")},
}


@dataclass(frozen=True, slots=True)
class Target:
    """A part that is spoken of. `names` are the components it can be (none said: empty); `places` None when none was said.

    `group` holds how to find places that were not said by name: rest, last-two, listed, first-two. `many`: surely a plural, so
    that no single place is carried to it. `which`: conditions that tell which part is meant ("the stiff one").
    """

    names: tuple[Sense, ...] = ()
    places: tuple[str, ...] | None = None
    size: str | None = None
    group: str | None = None
    appliance: str | None = None
    start: int = 0
    end: int = 0
    many: bool = False
    which: frozenset[str] = frozenset()

    @property
    def component(self) -> str | None:
        """The component when the name leaves no choice."""
        strong = [sense.id for sense in self.names if not sense.note.startswith("weak")]
        return strong[0] if strong else self.names[0].id if len({name.id for name in self.names}) == 1 else None


def both(places: tuple[str, ...]) -> tuple[str, ...]:
    """The two places of a side."""
    return SIDES.get(places[0], places) if len(places) == 1 else places


def one_of(pair: tuple[str, ...] | None, place: tuple[str, ...] | None) -> str | None:
    """The one of two corners that a side names: "the front ones ... the right one" is the front right."""
    if not pair or not place or len(pair) != 2 or len(place) != 1 or not set(pair) <= set(FOUR):
        return None
    meant = [corner for corner in pair if place[0] in corner.split("-")]
    return meant[0] if len(meant) == 1 else None
