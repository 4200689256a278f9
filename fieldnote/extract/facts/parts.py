"""Which part a condition is said of. In: a target as it was named, or nothing, and what a wording can mean. Out: part and
condition, by what the trade says of which part. Not allowed to know: clauses.
"""

import functools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import SIDE, Target
from fieldnote.extract.clauses.wholes import KIN
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER
from fieldnote.trade.spoken import STRANGER, spoken

# the part that a condition is said of when none was named
IMPLIED = {
    "lifting": "flame",
    "yellow-tipping": "flame",
    "no-spark": "electrode",
    "weak-spark": "electrode",
    "constant-spark": "spark-generator",
    "not-lighting": "burner",
    "not-holding": "burner",
}
_SPARKS = frozenset({"electrode", "burner"})
_BURNERS = frozenset({"burner", "burner-ring"})
_ALL_SPARKS = frozenset({"electrode", "spark-generator"})  # what is said of anything that sparks
# the part that a condition is most often said of, where a place is all that was said ("front right's stiff")
_USUAL = {
    "out-of-adjustment": "low-rate-screw",
    "failed": "fsd",
    "stiff": "gas-tap",
    "seized": "gas-tap",
    "sticking": "gas-tap",
    "enlarged": "injector",
}
_SAID_OF = {
    "lifting": frozenset({"flame"}),
    "yellow-tipping": frozenset({"flame", "pilot"}),
    "no-spark": frozenset({"electrode", "ht-lead", "spark-generator", "ignition-switch"}),
    "weak-spark": frozenset({"electrode", "ht-lead", "spark-generator"}),
    "constant-spark": frozenset({"spark-generator", "ignition-switch", "electrode"}),
    "not-lighting": frozenset({"burner", "pilot", "appliance", "burner-ring"}),
    "not-holding": frozenset({"fsd", "thermocouple", "magnet-unit", "burner", "pilot", "flame"}),
}
# what is said of a whole appliance; "seized" or "perished" is said of a part, even where none was understood
_OF_APPLIANCES = frozenset("ok unstable leaking damaged dirty loose sooted noisy passed failed".split())
_FACES = frozenset("burnt corroded chipped discoloured dirty damaged sooted".split())  # what one side of it can be
LOOSELY = _OF_APPLIANCES | {"not-lighting", "dead"}  # with other words between as well
# what is never said of one, named or not: "the oven sticks" is its door
_OF_PARTS = IMPLIED.keys() | {
    "seized",
    "sticking",
    "stiff",
    "perished",
    "enlarged",
    "worn",
    "blocked",
    "partly-blocked",
}
# of the meanings that fit a part a fault comes first ("tight"), and a plain "sound" is no test
_LAST = {"ok": 1, "passed": 2}
_BURNING = frozenset({"burner", "pilot"})  # of which a wording is told that says how something burns or lights
_SPARK_ALONE = ("weak-spark", frozenset({"electrode"}))  # "hit and miss" is said of a spark where one is named
_AT_ITS_BURNER = frozenset("low-rate-screw electrode injector burner-cap burner-head mixing-tube".split())
# parts of the house that are spoken of in the midst of any appliance
_ANYWHERE = frozenset("co-alarm emergency-control bayonet window ventilation".split())
_OF_ITS_CORNER = frozenset({"pan-support", "ignition-switch", "spark-generator", "radiant", "fuel-bed"})
_AT_A_METER = frozenset({"meter", "bonding"})  # beside these "the cock" is the emergency control
_HELD = frozenset("bayonet hose joint".split())  # "the bayonet's tight": fixed as it should be
_HEATING = frozenset({"fire", "boiler", "water-heater"})
_DOOR = frozenset({"door"})
_OPENING = frozenset({"door", "lid", "window"})
# what makes no noise of its own
_SILENT = frozenset(
    "burner-cap burner-ring burner-head mixing-tube injector electrode thermocouple low-rate-screw".split()
)
_PARTED = frozenset({"detached", "missing"})
_MOVERS = frozenset({"pump", "fan", "circuit-board", "thermocouple", "fsd", "thermostat"})
_FLAME_ONLY = frozenset({"lifting", "yellow-tipping"})


def only_said_of(target: Target, statement: Statement, topic: Sequence[Target]) -> bool:
    """Whether the condition brings its own part (lifting: the flame; an oven that won't light: its burner)."""
    implied_by = [sense.id for sense in statement.senses if sense.id in IMPLIED]
    if not implied_by:
        return bool(target.appliance)
    names = {name.id for name in topic[-1].names} if topic else set()
    if any(sense.id not in IMPLIED and sense.of is not None and sense.of & names for sense in statement.senses):
        return bool(target.size or target.appliance)  # "ffds tested, rear left slow"
    listed = bool(topic) and topic[-1].many and bool(target.places)
    if listed and any(sense.id not in IMPLIED and _allows(sense, name) for sense in statement.senses for name in names):
        return bool(target.size or target.appliance)  # "electrodes: rear left burnt, front right dirty"
    return bool(target.size or target.appliance) or not names & _SAID_OF[implied_by[0]]


def goes_with(topic: Sequence[Target], statement: Statement) -> bool:
    """Whether a condition without a part can be said of what the talk was about."""
    for sense in statement.senses:
        said_of = _SAID_OF.get(sense.id)
        for name in topic[-1].names:
            if _allows(sense, name.id) and (said_of is None or name.id in said_of):
                return True
    return not topic[-1].names


def implied(statement: Statement) -> list[Target]:
    """The target of a condition that needs no part named: "won't light", "no spark", but not a bare "yellow"."""
    if part := next((part for sense in statement.senses if sense.note == "alone" for part in sense.of or ()), None):
        return [Target((Sense("component", part, None, "strong"),))]
    plain = statement.condition_ids & IMPLIED.keys() and "dead" not in statement.condition_ids  # "not working": what?
    return [Target()] if statement.words > 1 and plain else []


def elliptical(target: Target, topic: Sequence[Target], statement: Statement, listed: bool) -> bool:
    """Whether a place without a part speaks of the part before ("front left tap stiff, rear right seized"). `listed`: whether
    that part has just been told of place by place."""
    names = topic[-1].names
    heads = target.end <= statement.head  # not "the enamel's chipped at the back right"
    if heads and any(
        "-" in place for place in target.places or ()
    ):  # "lid's fine, front left whistles", "glass is clean, rear right roars"
        sure = [name for name in names if not name.note.startswith("weak")] or names
        names = tuple(name for name in sure if name.id in AT_BURNER | _OF_ITS_CORNER)
    if not names:
        return False
    open_group = target.group is not None and not target.places
    # "both right knobs cracked, left pair fine"
    pairs = len(target.places or ()) > 1 and len(topic[-1].places or ()) > 1
    pairs = pairs or (listed and len(target.places or ()) > 1)
    several = statement.again or topic[-1].many or open_group or pairs or "others" in (target.places or ())
    praised = "ok" in statement.condition_ids and statement.condition_ids <= {"ok", "passed"}  # "sound" can be a test
    going_on = listed and "passed" in statement.condition_ids  # "caps: front left sound, rear right sound"
    of_burner = any(_allows(sense, "burner") for sense in statement.senses)  # not "smooth", behind the taps
    sized = bool(target.size) and not (target.places or listed or topic[-1].many)  # "medium ones are fine"
    if praised and of_burner and not ((statement.listing and not sized) or going_on) and (target.size or not several):
        return False  # "front right no problems", "front right medium ok" say it of the burner
    if heads and of_burner and not (several or statement.listing) and statement.condition_ids == {"noisy"}:
        return not {name.id for name in names} <= _SILENT  # "jet dirty, brushed. Rear left: whistles when on low"
    return any(_allows(sense, name.id) for sense in statement.senses for name in names)


def _tiers(target: Target, kin: Sequence[str], ids: set[str], appliance: str | None) -> Iterator[list[Sense]]:
    """The names of a target, strong ones first, and of each those whose neighbours were spoken of ("the seal" after the door)."""
    if target.size in ("oven", "grill") or target.appliance in ("oven", "grill"):
        kin = ["door", *kin[:2]]  # "rear right spindle's worn ... left oven: seal perished"
    elif appliance in ("oven", "grill"):
        kin = [*kin[:1], "door", *kin[1:]]
    near = [relative for name in kin[:3] for relative in KIN.get(name, ())]
    fault = bool(ids - IMPLIED.keys() - {"ok"})
    # "ring" is the burner when it won't light, the crown when it is cracked
    names = sorted(target.names, key=lambda name: (fault and name.id == "burner", _common(name, appliance)))
    if appliance in ("cooker", "oven", "grill"):  # "seals good": of the doors
        names.sort(key=lambda name: name.id == "tap-seal")
    if appliance == "installation" or not _AT_A_METER.isdisjoint(kin[:2]):
        # "the cock's stiff", at a meter: the valve that all gas goes through
        names.sort(key=lambda name: name.id != "emergency-control")
    for weak in (False, True):
        row = [name for name in names if name.note.startswith("weak") == weak]
        # "the fan's noisy, the bearings have had it": a piece that several parts have is that of the part in talk
        close = [*kin[:1], *near] if weak else near
        yield from ([name for name in row if name.id == relative] for relative in close)
        yield [name for name in row if name.id not in close]


def fitting(
    target: Target, statement: Statement, appliance: str | None, kin: Sequence[str] = ()
) -> tuple[str, str] | None:
    """The component and the condition that fit each other best; None when nothing does."""
    if not target.names:
        burner = target.appliance in ("oven", "grill") and [name for name in kin[:2] if name != "door"][:1] == [
            "burner"
        ]
        if burner and statement.pronoun and _is_heard(statement):
            return "burner", "noisy"  # "oven lights but it rumbles"
        return _of_the_part_in_talk(statement, kin) or _without_name(target, statement, appliance)
    if all(name.id == STRANGER for name in target.names):
        return STRANGER, statement.senses[0].id
    cornered = bool(target.places) and any("-" in place for place in target.places or ())
    if cornered:  # "rear left the lead's loose": no pipe
        at_burner = tuple(name for name in target.names if name.id in AT_BURNER | {"pan-support"})
        target = replace(target, names=at_burner or target.names)
    # "front left plug's burnt away, still sparks", "rear right won't spark, the plug's split": its spark plug
    loose = bool(statement.condition_ids & {"loose", *_PARTED})  # a plug that came off is one of a lead
    weak = all(name.note.startswith("weak") for name in target.names)
    sparks = cornered or (kin[:1] == ["electrode"] and weak and not loose)
    if sparks and {name.id for name in target.names} == {"mains-plug"}:
        target = replace(target, names=(Sense("component", "electrode", None, "strong"),))
    if target.group == "rest" and statement.condition_ids <= {"ok", "passed"}:  # "the rest of the rings are fine"
        burners = tuple(name for name in target.names if name.id == "burner")
        target = replace(target, names=burners or target.names)
    if _its_tap(target, statement):
        return "gas-tap", "stiff"
    if (crown := _its_crown(target, statement)) is not None:
        target = replace(target, names=crown)
    if _its_burners(target, statement, appliance):
        return "burner", "ok"
    if {name.id for name in target.names} == {"appliance"} and any(_spills(sense) for sense in statement.senses):
        return "flue", "failed"  # "canopy spilling at the right"
    plainly = 0 <= statement.head - target.end <= 1 and statement.words == 1  # "the hose is blocked": so it was said
    fast = plainly or statement.pronoun  # "bayonet they replaced and it's tight"
    senses = sorted(statement.senses, key=lambda sense: (len(sense.of or ()) != 1, _LAST.get(sense.id, 0)))
    if plain := _in_so_many_words(target, statement):
        return plain
    for tier in _tiers(target, kin, statement.condition_ids, appliance):
        for limited, names in _in_turn(tier, statement):
            for name in names:
                for sense in senses:
                    allowed = _allows(sense, name.id) or (
                        plainly and sense.of is None and not name.note.startswith("weak")
                    )
                    allowed = allowed and (name.id not in _unlikely(sense.id) or _at_hand(target, statement))
                    tight = name.id in _HELD and sense.id in ("stiff", "seized") and fast and _tight(senses)
                    if (sense.of is not None) == limited and allowed and not tight and _has(name, appliance):
                        return _told(name.id, sense.id)
    if own := next((sense for sense in statement.senses if sense.note == "alone" and sense.of), None):
        return next(iter(own.of or ())), own.id  # "pilot neat as a pin, spill test fine"
    strong = [name for name in target.names if not name.note.startswith("weak")]
    if shown := _symptom_at(target, statement):
        return shown
    if not strong:
        return _symptom_of_what(statement, appliance)
    if own := next((sense for sense in statement.senses if sense.note == "alone" and sense.of), None):
        return next(iter(own.of or ())), own.id  # "case seal's intact, no signs of spillage"
    burning = next((s for s in senses if s.of and "flame" in s.of and not s.of & _AT_ITS_BURNER), None)
    if strong[0].id == "pilot" and burning:
        return "pilot", burning.id  # "the pilot has a lazy yellow flame"
    free = next((s for s in statement.senses if (s.of is None and _allows(s, strong[0].id)) or _widely_fit(s)), None)
    if free is None or (strong[0].id in _unlikely(free.id) and not _at_hand(target, statement)):
        return None  # "flat" of a cap says nothing, nor does what is said of vents only
    return _told(strong[0].id, free.id)


def _its_burners(target: Target, statement: Statement, appliance: str | None) -> bool:
    """ "Hob itself burns well on all four", "hob itself, all four rings are champion": that of its burners."""
    whole = {name.id for name in target.names} in ({"appliance"}, {"appliance", "burner"}) and appliance not in _HEATING
    burns = any(sense.id == "ok" and (sense.of is None or "burner" in sense.of) for sense in statement.senses)
    return whole and burns and target.places == ("all",)


def _its_tap(target: Target, statement: Statement) -> bool:
    """ "Front left ring's a pig to turn", "rear right burner's stiff": no burner is turned, its tap is."""
    names = {name.id for name in target.names}
    burner = "burner" in names and names <= _BURNERS and target.size not in ("oven", "grill")
    corner = target.places is not None or target.group is not None or target.size is not None
    return burner and corner and statement.condition_ids & {"stiff", "leaking"} == {"stiff"}


def _its_crown(target: Target, statement: Statement) -> tuple[Sense, ...] | None:
    """ "Rust on its ring", "muck in the ring": a fault that a crown can have is the crown's, not the whole burner's."""
    ids = {name.id for name in target.names}
    fault = bool(statement.condition_ids - IMPLIED.keys() - {"ok", "passed", "dead"})
    if not fault or not {"burner", "burner-ring"} <= ids or target.size in ("oven", "grill"):
        return None
    crowns = any(_allows(sense, "burner-ring") and sense.id not in IMPLIED for sense in statement.senses)
    return tuple(name for name in target.names if name.id != "burner") if crowns else None


def _in_so_many_words(target: Target, statement: Statement) -> tuple[str, str] | None:
    """ "Rail's a bit loose": the very word of a condition, said of a part that is surely meant, is that condition."""
    strong = [name.id for name in target.names if not name.note.startswith("weak")]
    said = [sense for sense in statement.senses if sense.id == statement.word]
    if len(set(strong)) != 1 or not any(_allows(sense, strong[0]) for sense in said):
        return None
    if strong[0] in _unlikely(statement.word) and not _at_hand(target, statement):
        return None
    if any(sense.id == "ok" and sense.of == frozenset(strong) for sense in statement.senses):
        return None  # "joints dry": of a joint that is praise
    return _told(strong[0], statement.word)


def _at_hand(target: Target, statement: Statement) -> bool:
    """ "Jet's fell out", "crack in the injector": the part is named right before or behind what is said of it. What lies on
    a burner or comes off it is another part."""
    behind = target.start - statement.head - statement.words
    if 0 <= behind <= 2 and target.end:
        return not statement.condition_ids & _PARTED
    return target.end > 0 and 0 <= statement.head - target.end <= 4


def _tight(senses: Sequence[Sense]) -> bool:
    """Whether a word says as well that a part is fit as that it will not turn."""
    return {"ok", "stiff"} <= {sense.id for sense in senses}


def _in_turn(tier: list[Sense], statement: Statement) -> list[tuple[bool, list[Sense]]]:
    """Which names are tried with what wordings of a part and which with what any part can be: a fault that is said of one
    of them alone tells which is meant ("the ceramic's gone"), praise does not ("the lead is sound")."""
    if statement.condition_ids != {"ok"}:
        return [(True, tier), (False, tier)]
    return [(limited, [name]) for name in tier for limited in (True, False)]


def _symptom_at(target: Target, statement: Statement) -> tuple[str, str] | None:
    """ "The low rate won't hold", "the jet won't light": said of a part that cannot, it shows at the burner."""
    if target.names and all(name.id == "ht-lead" for name in target.names) and "weak-spark" in statement.condition_ids:
        return "electrode", "weak-spark"  # "weak spark back left lead ordered": it shows at the electrode
    if not target.names or not all(name.id in _AT_ITS_BURNER for name in target.names):
        return None
    return next(
        ((IMPLIED[sense.id], sense.id) for sense in statement.senses if sense.id in ("not-lighting", "not-holding")),
        None,
    )


def _symptom_of_what(statement: Statement, appliance: str | None) -> tuple[str, str] | None:
    """ "The main bed won't take": said of a loose name that cannot, it shows at the burner of a heater."""
    if appliance not in _HEATING or statement.condition_ids - {"failed", "dead"} != {"not-lighting"}:
        return None
    return "burner", "not-lighting"


def _spills(sense: Sense) -> bool:
    return sense.id == "failed" and sense.of is not None and "flue" in sense.of and "appliance" not in sense.of


def _common(name: Sense, appliance: str | None) -> int:
    """At how many appliances a part is found: of a fire, "the plate" is rather its closure plate than its data plate."""
    if appliance == "fire" and name.id == "electrode" and name.note.startswith("part"):
        return 99  # "ceramics: left one's cracked"
    if not name.note.startswith("weak") or appliance not in ("boiler", "fire", "water-heater"):
        return 0
    found_at = spoken().found_at(name.id) if name.id != "appliance" else ()
    if "installation" in found_at:
        return 50
    return len(found_at) if appliance in found_at else 99


def _widely_fit(sense: Sense) -> bool:
    """Whether it says of several parts that they are fit, so that others are, too; "silky" is said of fans alone."""
    return sense.id == "ok" and sense.of is not None and len(sense.of) > 1 and sense.note != "strict"


def _told(component: str, condition: str) -> tuple[str, str]:
    if condition == "out-of-adjustment" and component in ("flame", "burner"):
        return "low-rate-screw", condition  # "back left's set too low"
    if component == "mains-plug" and condition in ("wrong-part", "dead"):
        return "fuse", condition  # "the plug had a 13 amp in it", "the spur had blown"
    if condition == "failed" and component == "burner":
        return "fsd", condition  # "the wok is slow to let go"
    if condition in ("no-spark", "weak-spark") and component == "burner":
        return "electrode", condition
    if (component, condition) == ("ht-lead", "no-spark"):
        return "electrode", condition  # "the lead's burnt through and there's no spark at it"
    if (component, condition) == ("spark-generator", "no-spark"):
        return component, "dead"
    if (component, condition) == ("burner", "dead"):
        return component, "not-lighting"  # "the large ring's out of action"
    if condition == "constant-spark" and component in ("burner", "appliance"):
        return "spark-generator", condition  # "her gas rings keep ticking"
    if condition == "not-holding" and component in ("knob", "gas-tap"):
        return "burner", condition  # "let go the knob and it dies on you", "goes out once you let go of the control"
    if condition == "weak" and component == "electrode":
        return component, "weak-spark"
    if (component, condition) == ("stability-bracket", "unstable"):
        return "appliance", condition  # "the chain's too long, it's still tipping forward"
    if component == "catchment" and condition in ("failed", "leaking"):
        return "flue", "failed"  # "a dead starling in the catchment, retested, still spilling"
    if (component, condition) == ("ventilation", "leaking"):
        return "regulator", condition  # "the vent has gas coming out of it": no air vent does
    if condition in _FLAME_ONLY and component in ("burner", "burner-ring", "burner-head"):
        return "flame", condition
    return component, condition


def _of_the_part_in_talk(statement: Statement, kin: Sequence[str]) -> tuple[str, str] | None:
    """ "The alarm on the landing, flat battery": what tells its part by itself is said of the part in talk where it can be."""
    own = next((sense for sense in statement.senses if sense.note == "alone" and sense.of), None)
    if own is None or own.id == "ok" or not kin or kin[0] in (own.of or ()):
        return None
    told = (s for s in statement.senses if s.note != "alone" and s.id == own.id and s.of and kin[0] in s.of)
    return next(((kin[0], sense.id) for sense in told), None)


def _is_heard(statement: Statement) -> bool:
    """Whether a wording can mean that a burner is noisy."""
    return any(sense.id == "noisy" and _allows(sense, "burner") for sense in statement.senses)


def _without_name(target: Target, statement: Statement, appliance: str | None) -> tuple[str, str] | None:
    for sense in statement.senses:
        if sense.note == "alone" and sense.of:
            return next(iter(sense.of)), sense.id
    if (target.places or target.group) and {"dead", "no-spark", "failed"} <= statement.condition_ids:
        return "burner", "dead"  # "back two not working"
    if _lets_go_late(target, statement):
        return "fsd", "failed"
    if whole := _of_appliance(target, statement, appliance):
        return whole
    if target.places and {"leaking", "constant-spark"} <= statement.condition_ids:
        return "gas-tap", "leaking"  # "front right will not turn off"
    # "front left's dirty": no flame
    plain = any(sense.id == "dirty" and sense.of is None for sense in statement.senses)
    shown = [sense for sense in statement.senses if sense.id in IMPLIED and not plain and sense[1:3] != _SPARK_ALONE]
    for sense in sorted(shown, key=lambda sense: (not _allows(sense, IMPLIED[sense.id]), len(sense.of or ()))):
        return IMPLIED[sense.id], sense.id
    if target.appliance and not (target.places or target.group or target.size):
        return None
    if target.places and appliance in _HEATING and not (len(target.places) == 1 and "-" in target.places[0]):
        return None  # "the two bottom screws": a fire has no front left burner
    if target.size in ("oven", "grill"):
        for sense in statement.senses:
            near = target.end == 0 or statement.head - target.end <= 4
            if sense.id == "out-of-adjustment" and target.size == "oven" and near:
                return "thermostat", sense.id  # "the oven's forty under"
            if sense.of in (_OPENING, _DOOR):
                return "door", sense.id  # "the other oven won't stay shut"
            if sense.id == "ok" and sense.of and "burner" in sense.of:
                return "burner", sense.id  # "grill lights and stays in"
    for sense in statement.senses:
        if sense.id == "leaking" and target.places == ("all",):
            return "joint", sense.id  # "not leaking, had the sniffer on the lot"
        if sense.id == "ok" and sense.of and target.places and (sense.of == _SPARKS or _of_sparks(sense.of)):
            return "electrode", sense.id  # "rear left sparking", "rear left: spark fine"
        if sense.id in _USUAL and _allows(sense, _USUAL[sense.id]):
            return _USUAL[sense.id], sense.id
    for sense in statement.senses:
        if (sense.of is None or "burner" in sense.of) and (sense.id != "missing" or target.places):
            return "gas-tap" if sense.id == "leaking" and target.places else "burner", sense.id
    return None


def _lets_go_late(target: Target, statement: Statement) -> bool:
    """ "Front right's slow to drop out", "the oven hung on for two minutes": what is said of flame failure alone is its."""
    burner = target.places or target.group or target.size or target.appliance
    if not burner or target.appliance not in (None, "oven", "grill"):
        return False
    return {"failed", "sticking"} <= statement.condition_ids or any(
        sense.id == "failed" and sense.of == frozenset({"fsd"}) for sense in statement.senses
    )


def _of_sparks(of: frozenset[str]) -> bool:
    """Whether a wording is one of what makes sparks; "happy as Larry" is said of pumps and boards as well."""
    return of >= _ALL_SPARKS and not of & _MOVERS


def _of_appliance(target: Target, statement: Statement, appliance: str | None) -> tuple[str, str] | None:
    """What is said of the whole appliance: of the one in hand that a heater won't start, of one that is named all it can be."""
    fire = target.appliance == "fire" and target in statement.targets
    heater = fire or (target.appliance or appliance) in ("boiler", "water-heater")
    found = next((id_ for id_ in ("not-lighting", "dead") if _whole(statement, id_)), None)
    if found is None and statement.pronoun and _whole(statement, "noisy") and not target.appliance:
        found = "noisy"  # "he says it's banging and knocking", no part named
    if heater and found and not (target.places or target.group or target.size):
        return "appliance", found
    plainly = target.places in (None, ("all",)) and target.group in (None, "last-two")
    plainly = plainly and not (target.places and target.appliance == "hob")  # "hob two, all four fine": its burners
    named = _of_whole(target, statement)
    if target.appliance in (None, "installation") or not (plainly or named):
        return None
    for sense in sorted(statement.senses, key=lambda sense: sense.id == "loose"):  # what rocks about is no loose part
        whole = sense.id in _OF_APPLIANCES or (named and sense.id not in _OF_PARTS)
        if whole and _allows(sense, "appliance"):
            heard = sense.id == "noisy" and target.appliance == "grill"  # "the grill howls"
            burns = any(one.of is not None and one.of >= _BURNING for one in statement.senses)
            lit = (
                (target.size or (burns and target.appliance in ("oven", "grill")))
                and (sense.id == "ok" or heard)
                and _allows(sense, "burner")
            )
            return "burner" if lit else "appliance", sense.id
    return None


def _of_whole(target: Target, statement: Statement) -> bool:
    """ "The cooker's scorched", "rust all over the hob": whether an appliance is named, and no part or corner of it."""
    if "out-of-adjustment" in statement.condition_ids and (target.size or any(s.of is None for s in statement.senses)):
        return False  # "the oven's running cold": its thermostat; "boiler running hot, flue all clear"
    named = bool(target.appliance) and target in statement.targets and not (target.names or target.group)
    return named and (not target.places or (statement.condition_ids <= _FACES and set(target.places) <= SIDE.keys()))


def _whole(statement: Statement, condition: str) -> bool:
    """Whether a wording can mean a condition of a whole appliance."""
    return any(sense.id == condition and _allows(sense, "appliance") for sense in statement.senses)


def _allows(sense: Sense, component: str) -> bool:
    if sense.of is not None and len(sense.of) == 1:
        return component in sense.of  # a wording of this part alone is meant of it, whatever it cannot have in general
    return component not in _impossible(sense.id) and (sense.of is None or component in sense.of)


@functools.cache
def _impossible(condition: str) -> frozenset[str]:
    return spoken().impossible(condition)


@functools.cache
def _unlikely(condition: str) -> frozenset[str]:
    return spoken().unlikely(condition)


def _has(name: Sense, appliance: str | None) -> bool:
    if not name.note.startswith("weak") or appliance is None:
        return True
    found_at = spoken().found_at(name.id)
    stands = name.id == "stability-bracket" and appliance in ("oven", "grill", "hob")  # "behind the oven": the cooker
    return appliance in found_at or (name.id in _ANYWHERE) or stands


def any_name(target: Target, appliance: str | None) -> str | None:
    """The first component that a weak name can mean at this appliance."""
    return next((name.id for name in target.names if _has(name, appliance)), None)
