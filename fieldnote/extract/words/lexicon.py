"""All wordings as one tree. In: the trade's spoken tables and the cues of this room. Out: `lexicon()`, phrases with senses.

Forms (plural, tense) are made by rule. Not allowed to know: what stands around a phrase in a talk.
"""

import functools
import itertools
import tomllib
from collections.abc import Callable, Container, Iterable, Iterator
from importlib import resources
from typing import Any, NamedTuple

from fieldnote.errors import InputProblem
from fieldnote.extract.words import forms
from fieldnote.extract.words.matcher import PhraseClass, Phrases, WordClass, spell
from fieldnote.trade.spoken import STRANGER, Condition, Names, Spoken, spoken

CUES = ("assertion", "discourse")
# words that may stand inside a phrase: hesitation, articles, degree
SKIP = frozenset(
    "um er erm uh a an the very really quite bit proper just well badly slightly little wee fairly pretty totally "
    "completely absolutely rather somewhat terribly awful awfully so that themselves "
    "whatsoever whatever single solitary blessed "
    "bloody flipping flippin blinking blinkin blummin ruddy chuffing chuffin sodding blasted frigging".split()
)
# words that carry no meaning of the trade by themselves
FUNCTION = frozenset(
    "a an the it its them that this in on at of to by up off out down and or is was are were be been i he she we they you "
    "has have had do did for with from behind".split()
)
_NOT = frozenset("not isnt wasnt arent werent".split())
_DIGITS = {"two": "2", "three": "3", "four": "4", "five": "5", "six": "6"}
_givers: list[Callable[[], Phrases["Sense"]]] = []
_LOOSE = frozenset({"condition", "work", "nothing", "component"})
# wordings of small words only that say something all the same
_WHOLE = frozenset(
    {
        "had that out",
        "is off",
        "was out",
        "is out",
        "were out",
        "was off",
        "thats off",
        "were off",
        "been off",
        "off",
        "had it",
        "has had it",
        "it's had it",
        "that's had it",
        "have had it",
        "they've had it",
    }
)
_CALLING = frozenset("ring call phone get come put".split())
_NAMED = frozenset({"component", "place", "size", "group", "appliance"})
_PRONOUNS = frozenset("its thats shes hes theyre theyve it".split())
_STANDS_FOR = frozenset("it that behind opposite beside alongside front pair neighbour".split())
_WELL = frozenset(
    "well fine good nicely lovely in true flat steady freely lit alight blue perfectly alright sweet "
    "properly smoothly evenly".split()
) | {"first time", "every time", "first go", "first click"}
# in which no wording ends
_LOOSE_ENDS = frozenset("a the an like no not any some this that of with from for by".split())
_BURNERS = frozenset("burner burners ring rings".split())
_AT_A_TIME = ("in ", "on ", "at ", "back in ", "here in ", "here on ")
_OWNERS = frozenset("oven grill hob cooker boiler fire burner hotplate".split())
_NOUNS = {
    "adjust": ("set", "setting", "setting up"),
    "replace": (
        "new one",
        "new ones",
        "new un",
        "new uns",
        "new yin",
        "another one",
        "replacement",
        "changing over",
        "replacement part",
    ),
}
# forms that say something else than the word they come from: sparks crack and snap, gauges drop
_MISLEADING = frozenset(
    "burn sprayed groove grooves cracking snapping snaps dropping "
    "drops burning burns breaking breaks parting parts drills tapped bananas".split()
)
# participles that a learner's bare verb stands for ("is break in two")
_BARE = {
    "broken": "break", "burnt": "burn", "worn": "wear", "bent": "bend", "torn": "tear", "failed": "fail", "leaking": "leak",
    "dripping": "drip", "sticking": "stick", "passing": "pass", "missing": "miss", "fallen": "fall",
}  # fmt: skip
_PUT_OVER = frozenset("stopped taped painted boxed boarded covered".split())  # blocks only what it is put over
_WRONG_WITH = (" up with", "wrong with", "amiss with", "matter with")
_STEADY = frozenset({"ok", "passed", "failed", "burnt"})  # conditions whose verbs change meaning with their form


class Sense(NamedTuple):
    """What a phrase can mean: `kind` (component, place, condition, work or a cue's kind), its id, and what limits it.

    `of`: components that a condition wording is limited to. `note`: strength of a name (strong, weak, part, plural), the
    form of a verb (done, ing, base, needed), or of a wording that it tells its part by itself (alone).
    """

    kind: str
    id: str
    of: frozenset[str] | None = None
    note: str = ""


@functools.cache
def lexicon() -> Phrases[Sense]:
    """Every phrase that means something in a talk: from where `given_by` says, else made."""
    return _givers[-1]() if _givers else made()


def given_by(giver: Callable[[], Phrases[Sense]]) -> None:
    """Name what gives the tree, as one that is kept between runs; to be called before the first talk is read."""
    _givers.append(giver)


def empty() -> Phrases[Sense]:
    """The tree before anything is in it."""
    return Phrases(
        SKIP,
        _classes(spoken()),
        firm=_stays_whole,
        undoes=_undoes,
        joins=lambda sense: sense.kind == "condition",
    )


def _undoes(sense: Sense, other: Sense) -> bool:
    """Whether words said one by one stand against the same with a gap: near misses, and work of another kind ("took a link
    out" of a chain shortens it, whatever "took * out" does)."""
    work = sense.kind == other.kind == "work" and other.id == "remove" != sense.id and sense.note == other.note
    return work or (sense.kind == "nothing" and sense.id == other.id)


def _stays_whole(sense: Sense, word: str) -> bool:
    """Whether an article or "so" between its words parts a phrase: a name ("oven, the door"), a near miss of an appliance."""
    unlike = sense.kind == "nothing" and (word == "so" or sense.id in _OWNERS or sense.id in spoken().components)
    return sense.kind in _NAMED or unlike


def made() -> Phrases[Sense]:
    """The tree with all wordings, made of the tables."""
    words = spoken()
    tree = empty()
    rows = [
        (phrase, sense)
        for phrase, sense in _all(words)
        if sense.kind not in _LOOSE or phrase in _WHOLE or not FUNCTION.issuperset(spell(phrase))
    ]
    done = {phrase for phrase, sense in rows if sense.kind == "work" and sense.note in ("done", "needed")}
    said = {phrase for phrase, sense in rows if sense.kind == "condition"}
    for phrase, sense in rows:
        if sense.kind != "nothing" or sense.id == "nothing" or not _harms(phrase, done, said):
            tree.add(phrase, sense)
            if sense.kind in ("group", "place") and (digits := _in_digits(phrase)) != phrase:
                tree.add(digits, sense)
    return tree


def _classes(words: Spoken) -> dict[str, WordClass | PhraseClass]:
    spelt = {
        name: [frozenset(itertools.chain(*map(spell, said))) for said in (found.says, found.before)]
        for name, found in words.classes.items()
    }
    found: dict[str, WordClass | PhraseClass] = {
        name: WordClass(says, before) for name, (says, before) in spelt.items()
    }
    for number, row in enumerate(words.built):
        found.update((_part(number, place), PhraseClass(filter(None, part))) for place, part in enumerate(row.parts))
    return found


def _part(number: int, place: int) -> str:
    """The class for one part of built wordings."""
    return f"built{number}part{place}"


def _built(words: Spoken) -> Iterator[tuple[str, Sense]]:
    """Wordings built of their parts, with and without those that may be left out."""
    for number, row in enumerate(words.built):
        named = [(f"[{_part(number, place)}]", *([""] if "" in part else [])) for place, part in enumerate(row.parts)]
        of = words.members(row.of) if row.of else None
        if row.never:
            of = (of or frozenset(words.components)) - words.members(row.never)
        note = "alone" if row.alone else "strict" if row.never else ""
        sense = Sense("condition", row.condition, of, note)
        yield from ((" ".join(filter(None, parts)), sense) for parts in itertools.product(*named))


def _in_digits(phrase: str) -> str:
    """ "All four" as a recogniser may write it: "all 4"."""
    return " ".join(_DIGITS.get(word, word) for word in phrase.split())


@functools.cache
def mishearings() -> Phrases[Sense]:
    """What a recogniser writes for a name; the note of each sense says what must stand around it."""
    words = spoken()
    tree: Phrases[Sense] = Phrases(SKIP)
    for kind, table in (("component", words.components), ("appliance", words.appliances)):
        for id_, names in table.items():
            for phrase, around in names.misheard:
                tree.add(phrase, Sense(kind, id_, None, around))
                if not phrase.endswith("s"):
                    tree.add(f"{phrase}s", Sense(kind, id_, None, around))  # "expansion vestal's flat"
    return tree


def _harms(phrase: str, done: set[str], said: set[str]) -> bool:
    """Whether a near miss would swallow a plain wording: "cracked on" that of "cracked on the left"."""
    content = [word for word in spell(phrase) if word not in FUNCTION]
    if not content or content[0] in done or (len(content) == 1 and content[0] in said):
        return True
    first, _, rest = phrase.partition(" ")
    if first.replace("'", "") in _PRONOUNS and rest in said:
        return True  # "it's gone hard" is no way of being missing, but one of being perished
    owned = first in _OWNERS and any(rest in names.says for names in spoken().components.values())
    sided = len(content) > 1 and content[-1] in ("left", "right") and content[0] not in _CALLING
    return owned or sided  # but "ring you back right" names no place


def _all(words: Spoken) -> Iterator[tuple[str, Sense]]:
    for kind, table in (
        ("component", words.components),
        ("appliance", words.appliances),
        ("place", words.places.position),
        ("size", words.places.burner),
    ):
        for id_, names in table.items():
            yield from _names(kind, id_, names)
    yield from _names("component", STRANGER, words.strangers)
    for group in words.places.group.values():
        # "the one behind it's stiff", "the rear pair's fine", "the one opposite's loose"
        says = [*group.says, *(f"{phrase}s" for phrase in group.says if phrase.split()[-1] in _STANDS_FOR)]
        yield from ((phrase, Sense("group", " ".join(group.gives))) for phrase in says)
    yield from _conditions(words)
    yield from _built(words)
    yield from _works(words)
    for cue in cues():
        products = [f"{first} {then}" for first in cue.get("first", ()) for then in cue.get("then", ())]
        yield from ((phrase, Sense(cue["kind"], cue["id"])) for phrase in [*cue["forms"], *products])
        if cue["kind"] == "past":  # "the one I changed in the spring's fine": it is, since then
            timed = (phrase for phrase in [*cue["forms"], *products] if phrase.startswith(_AT_A_TIME))
            yield from ((f"{phrase}s", Sense("past", cue["id"])) for phrase in timed if not phrase.endswith("s"))


def _names(kind: str, id_: str, names: Names) -> Iterator[tuple[str, Sense]]:
    for strength, phrases in (("strong", [*names.says, *names.heard]), ("weak", names.weak), ("part", names.parts)):
        owner = "component" if kind == "appliance" and strength == "part" else kind
        target = "appliance" if kind == "appliance" and strength == "part" else id_
        for said in phrases:
            phrase = said.removeprefix("the ")
            if kind == "component" and _owned(phrase, names):
                continue
            note = "weak-the" if strength == "weak" and said != phrase else strength
            words = phrase.split()
            led = kind == "size" and words[0] in _BURNERS  # "burner in the oven"
            inner = "+burner" if kind in ("place", "size") and (words[-1] in _BURNERS or led) else ""
            yield phrase, Sense(owner, target, None, note + inner)
            if target == "appliance" and phrase.endswith((" light", " lights")):
                continue  # "oven lights": it does
            if kind == "component" and strength != "weak":
                yield from ((form, Sense(owner, target, None, note)) for form in forms.parted(phrase))
            if kind in ("component", "appliance"):
                yield phrase + "s", Sense(owner, target, None, note + "s")
                yield forms.plural(phrase), Sense(owner, target, None, note + "s")
            elif not phrase.endswith("s"):
                yield phrase + "s", Sense(owner, target, None, note + inner)  # "front right's fine"
    yield from (
        (form, Sense("nothing", id_))
        for phrase in names.not_
        for form in (phrase, f"{phrase}s")
        if not form.endswith((" lights", " its"))
    )  # "front room's"


def _owned(phrase: str, names: Names) -> bool:
    """ "Grill electrode", "burner cap": the owner is read as a name of its own, and "cap and crown" as two."""
    first, _, rest = phrase.partition(" ")
    return " and " in phrase or (first in _OWNERS and rest in names.says)


def _conditions(words: Spoken) -> Iterator[tuple[str, Sense]]:
    names = {name: id_ for id_, table in words.components.items() for name in table.says if " " not in name}
    strong = {form for names in words.components.values() for name in names.says for form in (name, forms.plural(name))}
    weak = {name.removeprefix("the ") for names in words.components.values() for name in (*names.weak, *names.parts)}
    loose: dict[str, list[str]] = {}
    for part_id, table in words.components.items():
        for name in (*table.weak, *table.parts):
            loose.setdefault(name.removeprefix("the "), []).append(part_id)
    called = strong | weak | {forms.plural(name) for name in weak}
    listed = {
        spell(said): id_
        for id_, condition in words.conditions.items()
        for said in itertools.chain(condition.says, *(limit.says for limit in condition.limits))
    }
    elsewhere = _listed_of(words)
    for id_, condition in words.conditions.items():
        limited = [(limit.says, words.members(limit.of), limit.alone) for limit in condition.limits]
        for says, limit, alone in [(condition.says, None, False), *limited]:
            for whole in itertools.chain(says, _in_them(says)):
                if whole.endswith(" when") and listed.get(spell(whole)[:-1]) == id_:
                    continue  # "buzzes when it": the clause behind is read as such
                if (part := _first_named(whole, names)) and _said_of(condition, spell(whole)[1:], part, words):
                    continue  # "meter's fine": the name is found as a name
                if (
                    not alone
                    and "'s " in whole
                    and any(
                        _said_of(condition, spell(whole.partition("'s ")[2]), part, words)
                        for part in loose.get(whole.partition("'s ")[0], ())
                        if limit is None or part in limit
                    )
                ):
                    continue  # "lead's come off": the loose name is found as a name
                phrase, of = (whole, limit) if alone else _without_name(whole, limit, names)
                if id_ == "ok" and not alone and phrase.endswith(_WRONG_WITH):
                    phrase = phrase.removesuffix(" with")  # "nowt up with": what stands behind is read as led to
                said, denials = set(phrase.split()), frozenset(forms.denials(phrase))
                refusals = frozenset(forms.refusals(phrase))
                made = (
                    form
                    for form in _condition_forms(id_, phrase, of)
                    if form == phrase
                    or form in denials
                    or (
                        not (set(form.split()) - said) & called
                        and (
                            listed.get(spell(form), id_) == id_
                            or (form in refusals and _of_other_parts(elsewhere[spell(form)], id_, of))
                        )
                        and not _denies(form, listed)
                    )
                )
                yield from ((form, Sense("condition", id_, of, "alone" if alone else "")) for form in made)
                bare = forms.without_articles(phrase) if "*" not in phrase else ""
                if bare and not _begun(spell(bare), listed):
                    yield bare, Sense("condition", id_, of, "alone" if alone else "")
                yield from ((form, Sense("condition", id_, of, "bare")) for form in _bases(id_, phrase) - strong)
                if id_ != "burnt" and (plural := _said_of_several(phrase)):
                    yield plural, Sense("condition", id_, of, "plural")
        yield from ((phrase, Sense("nothing", id_)) for phrase in condition.not_)


def _begun(said: tuple[str, ...], listed: Container[tuple[str, ...]]) -> bool:
    """Whether a wording is listed, or begins with one that is: "melted on one side" would hide "melted"."""
    return any(said[:end] in listed for end in range(1, len(said) + 1))


def _listed_of(words: Spoken) -> dict[tuple[str, ...], list[tuple[str, frozenset[str] | None]]]:
    """Every listed wording with the conditions that it tells and the parts of which it tells them; None: of any."""
    told: dict[tuple[str, ...], list[tuple[str, frozenset[str] | None]]] = {}
    for id_, condition in words.conditions.items():
        for says, of in [
            (condition.says, None),
            *((limit.says, words.members(limit.of)) for limit in condition.limits),
        ]:
            for said in says:
                told.setdefault(tuple(spell(said)), []).append((id_, of))
    return told


def _of_other_parts(told: Iterable[tuple[str, frozenset[str] | None]], id_: str, of: frozenset[str] | None) -> bool:
    """ "Won't hold" of a thermocouple is "wouldn't hold", too, whatever that tells of a joint."""
    return of is not None and all(other == id_ or (parts is not None and not parts & of) for other, parts in told)


def _in_them(says: Iterable[str]) -> Iterator[str]:
    """ "Grease in it", of several: "grease in them"."""
    return (
        f"{said.removesuffix('it')}them"
        for said in says
        if said.startswith("[") and said.endswith((" in it", " on it"))
    )


def _first_named(phrase: str, names: dict[str, str]) -> str | None:
    """The part whose name opens a wording of several words."""
    first, _, rest = phrase.replace("'s ", " ").partition(" ")
    return names.get(first) if rest else None


def _said_of(condition: Condition, spelt: tuple[str, ...], part: str, words: Spoken) -> bool:
    """Whether a wording stands among those of a condition that may be said of a part."""
    limited = (limit.says for limit in condition.limits if part in words.members(limit.of))
    return any(spell(said) == spelt for said in itertools.chain(condition.says, *limited))


def _denies(form: str, listed: Container[tuple[str, ...]]) -> bool:
    """ "Not lifting" denies that a flame lifts, though a stuck lid does not lift either."""
    first, *rest = spell(form)
    return first in _NOT and tuple(rest) in listed


def _without_name(phrase: str, of: frozenset[str] | None, names: dict[str, str]) -> tuple[str, frozenset[str] | None]:
    """ "Window opens" is "opens" said of windows: the name is found as a name."""
    first, _, rest = phrase.replace("'s ", " ").partition(" ")
    owner = names.get(first) or names.get(first.removesuffix("s"))
    if owner and (" " in rest or (len(rest) > 4 and rest not in names)):
        return rest, frozenset({owner}) if of is None else of | {owner}
    front, _, last = phrase.rpartition(" ")
    spoken_of = front and set(front.split()) - FUNCTION and front.split()[-1] not in _LOOSE_ENDS
    whose = last in names and (of is None or names[last] != "joint" or "joint" in of)  # no "dry joint" of a board
    if whose and spoken_of and front.split()[0] not in ("no", "not", "like", "nae", "nee", "any"):
        return front, frozenset({names[last]})  # "blue flame" is "blue", said of flames
    return phrase, of


def _bases(id_: str, phrase: str) -> set[str]:
    """ "Was block with paper": the bare verb, taken for the condition only behind a form of "be"."""
    first, _, rest = phrase.partition(" ")
    if id_ in _STEADY and id_ not in ("burnt", "failed"):
        return set()
    base = _BARE.get(first) or (forms.base_of(first) if first.endswith("ed") else None)
    return {f"{base} {rest}".strip()} if base else set()


def _said_of_several(phrase: str) -> str | None:
    """ "Leaks", "burns well" said of several: "leak", "burn well"."""
    verb, _, rest = phrase.partition(" ")
    if (
        len(verb) < 4
        or not verb.endswith("s")
        or verb.endswith(("ss", "us", "is", "'s"))
        or (rest and rest not in _WELL)
    ):
        return None
    return f"{forms.singular(verb)} {rest}".strip()


def _condition_forms(id_: str, phrase: str, of: frozenset[str] | None) -> set[str]:
    found = {phrase, phrase.replace(" it ", " ")}
    if phrase.endswith(" with it"):
        found.update(phrase.removesuffix("it") + him for him in ("him", "her", "un"))  # as some call a part
    first, _, rest = phrase.partition(" ")
    if id_ not in _STEADY or id_ == "failed":
        found.update(forms.denials(phrase))
    if id_ == "blocked" and of is None and rest in ("up", "solid") and first.endswith("ed") and first not in _PUT_OVER:
        found.update({first, f"{first} up", f"{first} solid"})  # gunged, gunged up, gunged solid
    found.update(forms.lacks(phrase), forms.likened(phrase))
    if id_ not in ("missing", "ok", "passed"):  # "I could not see it" says nothing of a part
        found.update(forms.loosely(phrase))
    if id_ not in _STEADY or (id_ == "failed" and rest != "pass"):  # "the gas valve doesn't pass" is no failed test
        found.update(forms.refusals(phrase))
    if id_ not in _STEADY and not phrase.startswith("not "):
        found.update(form for form in forms.variants(phrase) if not _MISLEADING & set(form.split()))
        if " " not in phrase and not phrase.endswith(("ed", "ing", "y", "s")):
            found.add(forms.plural(phrase))
    return found


def _works(words: Spoken) -> Iterator[tuple[str, Sense]]:
    for id_, work in words.actions.items():
        for verb in work.verbs:
            yield forms.past(verb, words.irregular), Sense("work", id_, None, "done")
            yield f"must be {forms.past(verb, words.irregular)}", Sense("work", id_, None, "needed")
            yield forms.ing(verb), Sense("work", id_, None, "ing")
            yield verb, Sense("work", id_, None, "base")
            yield from ((form, Sense("work", id_, None, "base")) for form in forms.round_it(verb))
        if id_ == "replace":
            yield "new", Sense("work", id_, None, "bare")
        for phrase in _NOUNS.get(id_, ()):
            yield phrase, Sense("work", id_, None, "base")
        for state, phrases in (("done", work.done), ("needed", work.needed), ("cure", work.cures)):
            for phrase in phrases:
                yield phrase, Sense("work", id_, None, state)
                if "*" not in phrase and "[" not in phrase and (bare := forms.without_articles(phrase)):
                    yield bare, Sense("work", id_, None, state)
                yield from ((form, Sense("work", id_, None, state)) for form in _in_time(phrase))
                if " one " in phrase + " ":
                    yield (
                        " ".join("ones" if word == "one" else word for word in phrase.split()),
                        Sense("work", id_, None, state),
                    )
        yield from ((phrase, Sense("nothing", id_)) for phrase in work.not_ if not phrase.startswith("*"))


def _in_time(phrase: str) -> Iterator[str]:
    """ "Will need replacing", "is going to want changing": what is needed, told of a time to come."""
    first, _, rest = phrase.partition(" ")
    if rest and first in ("needs", "wants"):
        yield from (f"{will} {first[:-1]} {rest}" for will in ("will", "going to", "is going to"))


@functools.cache
def cues() -> tuple[dict[str, Any], ...]:
    """The cues of assertion and discourse, checked. Raises InputProblem FN-304 naming everything that is wrong with them."""
    found: list[dict[str, Any]] = []
    wrong: list[str] = []
    for name in CUES:
        raw = tomllib.loads(resources.files("fieldnote.extract").joinpath(f"cues/{name}.toml").read_text("utf-8"))
        for cue in raw.pop("cue"):
            wrong += [
                f"{name}: {cue.get('id')}: unknown key {key}"
                for key in cue.keys() - {"id", "kind", "forms", "first", "then", "yes", "no"}
            ]
            wrong += [f"{name}: two cues are called {cue['id']}" for other in found if other["id"] == cue["id"]]
            found.append(cue)
        wrong += [f"{name}: unknown table {key}" for key in raw]
    if wrong:
        raise InputProblem("FN-304", path="cues", reason="; ".join(wrong))
    return tuple(found)
