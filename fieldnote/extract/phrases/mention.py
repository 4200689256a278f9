"""A phrase of a talk with the one kind it is taken as, and what can be asked of it. In: nothing. Out: the record.

Not allowed to know: how phrases are found.
"""

from dataclasses import dataclass

from fieldnote.extract.words.lexicon import Sense

_COMPLETE = frozenset(
    "van way coming post fitted now time pair set one ones order needed required clean wipe it them".split()
)
NOMINAL = frozenset({"component", "place", "size", "group", "appliance", "which"})
COOKING = frozenset({"hob", "cooker", "oven", "grill"})
HEATING = {"boiler", "water-heater", "fire"}


_ORDERING = frozenset("ill i we well will gonna going must order".split())
_WANTING = frozenset("wants want needs need requires".split())


@dataclass(frozen=True, slots=True)
class Mention:
    """Words `start` to `end` taken as `kind`; `senses` are its meanings of that kind, `other` those of the other kinds.

    `pause` and `gap` say what stands between it and the mention before: a pause, and how many words that mean nothing.
    `led`: the phrase itself begins with a preposition ("at the rear"). `first`, `last`: its outer words. `owned`: "i", "we",
    "had to" or "with a" stands before. `theirs`: work of somebody else.
    `many`: surely a plural. `clitic`: apostrophe and s at its end.
    `crowd`: a word for several in it. `closing`: nothing that is told by it can follow ("she says but ...").
    `mine`: "I" stands among the words before it, `ive`: "I've" does, `somebody`: "he", "they" does. `until`: of a condition
    that is said before its parts ("weeping, the valve was"), the word at which these end. `around`: up to which word
    the phrase goes on behind what stands in its gap ("turned the bypass up"). `figured`: what parts it from the mention
    before is a figure.
    """

    kind: str
    start: int
    end: int
    senses: tuple[Sense, ...]
    other: tuple[Sense, ...] = ()
    pause: str = ""
    gap: int = 0
    led: bool = False
    last: str = ""
    first: str = ""
    owned: bool = False
    theirs: bool = False
    many: bool = False
    clitic: bool = False
    crowd: bool = False
    closing: bool = False
    mine: bool = False
    ive: bool = False
    somebody: bool = False
    until: int = 0
    around: int = 0
    figured: bool = False

    @property
    def id(self) -> str:
        """The id of its first meaning."""
        return self.senses[0].id

    @property
    def this_one(self) -> bool:
        """Whether it is "this one", the one in hand of a kind that was spoken of."""
        return self.kind in ("pronoun", "them") and (
            (self.first == "this" and self.last in ("one", "ones", "un", "uns")) or self.first == self.last == "these"
        )

    @property
    def takes_object(self) -> bool:
        """Whether what is worked on may follow ("cleaned the cap", not "new one on order")."""
        wanted = self.first in _WANTING and self.last.endswith("ing")  # "cap wants replacing, front pair fine"
        base = self.first == "order" and self.senses[0].note == "base"  # "need to order a fan"
        ordering = self.last == "order" and (
            base or self.first in _ORDERING
        )  # "I'll order the cap", not "cap on order"
        whole = (self.last in _COMPLETE and not ordering) or (self.first == "new" and self.last.endswith("ed"))
        return not wanted and (not whole or self.first == self.last in ("clean", "set"))

    @property
    def cause(self) -> bool:
        """Whether it is a preposition that names what did it ("with", "by")."""
        return self.id == "with"

    @property
    def fit(self) -> bool:
        """Whether it says that something is fit."""
        return self.kind == "condition" and self.senses[0].id == "ok"

    @property
    def done(self) -> bool:
        """Whether it says that work has been done."""
        return self.kind == "work" and self.senses[0].note in ("done", "cure")

    @property
    def strong(self) -> bool:
        """Whether the name is enough by itself."""
        return any(not sense.note.startswith("weak") for sense in self.senses)

    @property
    def plural(self) -> bool:
        """Whether the name may be a plural (or carry an 's that lost its apostrophe)."""
        return any(sense.note.endswith("s") for sense in self.senses)
