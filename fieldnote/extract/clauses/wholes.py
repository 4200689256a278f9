"""Names that belong together: a piece and its whole, a burner and its cap. In: two mentions. Out: yes or no, or one name.

Not allowed to know: what is said of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention

# a weak name is first taken for the part that belongs to what was just spoken of
KIN = {
    "door": ("door-seal", "door"),
    "door-seal": ("door-seal", "door"),
    "knob": ("tap-seal", "knob"),
    "gas-tap": ("tap-seal", "tap-spindle", "gas-tap"),
    "lid": ("lid",),
    "tap-seal": ("tap-seal",),
    "heat-exchanger": ("case-seal", "heat-exchanger"),
    "fan": ("case-seal",),
    "condensate-trap": ("case-seal",),
    "circuit-board": ("case-seal",),
    "flame-sensor": ("case-seal", "flame-sensor"),
    "expansion-vessel": ("expansion-vessel", "case-seal"),
    "pump": ("pump",),
    "pressure-switch": ("pressure-switch",),
    "diverter-valve": ("diverter-valve",),
    "mains-plug": ("mains-lead", "fuse"),
    "mains-lead": ("mains-lead",),
    "fuse": ("mains-lead",),
    "electrode": ("ht-lead", "electrode"),
    "thermocouple": ("thermocouple",),
    "fsd": ("thermocouple",),
    "spark-generator": ("ht-lead",),
    "ht-lead": ("ht-lead",),
    "hose": ("hose", "bayonet"),
    "burner-cap": ("burner-head", "burner-ring"),
    "burner-ring": ("burner-head", "burner-ring"),
    "co-alarm": ("co-alarm",),
    "pan-support": ("pan-support",),
    "bonding": ("bonding",),
    "closure-plate": ("closure-plate",),
    "fuel-bed": ("fuel-bed",),
    "meter": ("emergency-control", "meter"),
    "regulator": ("regulator", "meter"),
    "flue": ("flue",),
}
_ITS_PLACE = frozenset("on off of in inside from out".split())  # what leads from a piece to its whole
# what is no part of its own: it stands for what it belongs to
PIECES = frozenset(
    "nut nuts screw screws bolt bolts clip clips tip tips end ends edge rim hinge hinges catch handle bracket brackets "
    "spring springs terminal terminals connection connections connector connectors wire wires wiring washer lug lugs "
    "pin pins strap plug plugs".split()
)
# the same of a part that is no cooking part: it has a knob, a seal, a lead of its own
_PIECES_OF_OTHERS = PIECES | frozenset(
    "knob knobs lever button buttons spindle body head slot cover window glass display screen insulation sheath rubber "
    "rubbers seal gasket cap ceramic core cores lead leads cable cables solenoid transformer nipple point thread "
    "threads olive grip flange porcelain boot boots sleeve coil magnet arm seat seats dial dials needle face".split()
)
_READ_OFF = frozenset("dial face needle glass display screen window".split())  # what is read off a meter or an alarm
_OTHERS = frozenset(
    "gas-valve isolation-valve emergency-control meter regulator co-alarm circuit-board fan pump pressure-switch "
    "diverter-valve relief-valve expansion-vessel condensate-trap heat-exchanger flame-sensor mains-plug mains-lead fuse "
    "bonding joint terminal flue closure-plate pilot".split()
)
# and of what lights a burner and keeps it lit: "the thermostat spindle", "the sleeve on the HT lead"
_INNARDS = frozenset(
    "electrode ht-lead spark-generator ignition-switch thermocouple magnet-unit fsd low-rate-screw thermostat".split()
)
_PIECES_OF_INNARDS = PIECES | frozenset(
    "sleeve boot neck pot lever arm thread threads casing body union seat head shaft spindle stem tube capillary "
    "copper porcelain crimp coil phial bulb hole jet orifice joint".split()
)
_SEALS = frozenset("seal seals ring rings gasket gaskets".split())
_TUBES = frozenset("tube tubes tubing hose hoses pipe pipes".split())
_GLANDS = frozenset({"gland", "packing"})
_GLANDED = frozenset({"gas-tap", "tap-spindle", "isolation-valve", "emergency-control", "gas-valve"})
# parts with a tube of their own
_PIPED = frozenset("pressure-switch condensate-trap relief-valve pilot thermostat".split())


def loosely_named(mention: Mention) -> bool:
    """Whether a name leaves open whose part it is: a weak one, or that of some piece of the whole appliance."""
    return all(
        name.note.startswith("weak") or (name.id == "appliance" and name.note.startswith("part"))
        for name in mention.senses
    )


def piece_of(part: Mention, whole: Mention) -> bool:
    """ "Knob on the gas valve", "thermostat spindle": a piece that is called like a part stands for what it belongs to."""
    piece = part.last.removesuffix("s") if part.clitic else part.last
    if whole.strong and whole.id in _INNARDS:
        return piece in _PIECES_OF_INNARDS and part.id not in _INNARDS
    kin = {id_ for sense in whole.senses for id_ in KIN.get(sense.id, ()) if id_ != sense.id}
    own = any(sense.id in kin for sense in part.senses) or (part.id == "window" and whole.id != "meter")
    return whole.strong and whole.id in _OTHERS and piece in _PIECES_OF_OTHERS and not own


def piece_word(word: str, whole: str) -> bool:
    """Whether a part has such a piece, by the word for it alone ("the meter ... its dial")."""
    if word in _READ_OFF:
        return whole in ("meter", "co-alarm", "thermostat")
    return word.removesuffix("s") in (
        _PIECES_OF_INNARDS if whole in _INNARDS else _PIECES_OF_OTHERS if whole in _OTHERS else ()
    )


def of_its_whole(lead: list[Mention], head: Mention, tail: Sequence[Mention]) -> list[Mention]:
    """ "The knob's stiff on the gas valve": what is said of a piece is said of the part that it is named with."""
    row = [m for m in tail[:3] if m.kind != "det"]
    led = bool(row) and row[0].kind == "prep" and row[0].first in _ITS_PLACE
    row = row[1:] if led else row if head.last in _ITS_PLACE else []
    named = bool(lead) and lead[-1].kind == "component" and bool(row) and row[0].kind == "component"
    if not named or any(m.gap or m.pause for m in tail[: tail.index(row[0]) + 1]):
        return lead
    if not piece_of(lead[-1], row[0]):  # "wires loose in the plug"
        return [*lead[:-1], of(lead[-1], row[0])] if row[0].id == "mains-plug" and belongs(lead[-1], row[0]) else lead
    return [*lead[:-1], replace(row[0], start=lead[-1].start, end=lead[-1].end)]


def of(part: Mention, whole: Mention) -> Mention:
    """ "Handle on the main tap", "seal on the door": a weak name is settled by what it belongs to."""
    wanted = {sense.id for sense in whole.senses} | {id_ for sense in whole.senses for id_ in KIN.get(sense.id, ())}
    senses = tuple(sense for sense in part.senses if sense.id in wanted)
    wire = part.id != "terminal" or whole.id not in (
        "flue",
        "appliance",
    )  # "the terminal up on the stack" is that of a flue
    if not senses and part.first == part.last and part.last in PIECES and whole.id != "appliance" and wire:
        return whole  # "the nut on the thermocouple", "the terminal on the circuit board"
    if loosely_named(part) and not senses and whole.strong and any(name.id == "appliance" for name in part.senses):
        return whole if whole.id != "appliance" else part  # "the diaphragm in the diverter"
    if piece_of(part, whole) and whole.id not in ("flue", "pilot"):
        return whole  # "the knob on the gas valve"
    if part.first in _GLANDS and whole.id in _GLANDED and whole.strong:
        return whole  # "the gland nut on the front left tap"
    if whole.id == "flue" and part.last in _SEALS and not part.id.endswith("lead"):
        return whole  # "the seals on the flue"
    if part.last in _TUBES and whole.id in _PIPED and whole.strong:
        return whole  # "the rubber tube on the air switch"
    if part.strong:
        return part
    senses = (
        tuple(sense for sense in senses if sense.id == whole.id) or senses
    )  # "the cover of the regulator", not of the meter
    sure = tuple(sense._replace(note=sense.note.replace("weak", "strong")) for sense in senses)
    return replace(part, senses=sure) if senses else part


def belongs(part: Mention, whole: Mention) -> bool:
    """Whether a loose name can be the kin of a whole ("the seal on the bottom door")."""
    kin = {id_ for sense in whole.senses for id_ in KIN.get(sense.id, ()) if id_ != sense.id}
    return not part.strong and any(sense.id in kin for sense in part.senses)


def two_of_many(first: Mention, second: Mention) -> bool:
    """ "New electrodes, leads and seals": two plurals side by side are two names."""
    return all(m.plural and not m.clitic and m.last.endswith("s") for m in (first, second))


def kindred(part: Mention, before: Mention) -> Mention:
    """ "Caps and rings", "the door and the seal": a loose name beside its kin."""
    kin = [sense for id_ in KIN.get(before.id, ()) for sense in part.senses if sense.id == id_ != before.id]
    return replace(part, senses=tuple(s._replace(note=s.note.replace("weak", "strong")) for s in kin)) if kin else part


def one_name(first: Mention, second: Mention) -> bool:
    """ "Burner, electrode cracked", "pilot injector": the first name only says whose part the second is."""
    if first.id == "pipework" and second.id == "joint":
        return second.gap == 0 and not (second.pause or first.clitic)  # "the hob tail union"
    return first.id in ("burner", "appliance") or (
        first.id in ("pilot", "hotplate") and second.gap == 0 and not second.pause
    )


_OPENINGS = frozenset({"door", "window"})


def only_beside(parts: Sequence[Mention], place: Mention) -> bool:
    """ "The one under the window rear pair of taps": a window or a door right before a corner tells where the appliance is."""
    opening = len(parts) == 1 and parts[0].id in _OPENINGS and not parts[0].clitic
    return opening and not (place.pause or place.gap or place.led)
