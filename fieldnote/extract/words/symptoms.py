"""Conditions that show what is wrong with another part. Words and sets of the trade; common practice, no source."""

# parts that sit at a burner: a place carries to them
AT_BURNER = frozenset(
    "burner burner-cap burner-ring burner-head mixing-tube injector electrode ht-lead gas-tap tap-spindle magnet-unit "
    "thermocouple fsd low-rate-screw knob tap-seal flame".split()
)


SYMPTOMS = frozenset(
    "no-spark weak-spark not-lighting not-holding constant-spark lifting yellow-tipping noisy dead weak leaking sticking".split()
)
# symptoms that "it lights", "it holds" contradicts
SILENT = frozenset("no-spark weak-spark not-lighting not-holding".split())
# symptoms that mostly come from another part
SHOWING = SILENT | {"constant-spark", "lifting", "yellow-tipping"}
# symptoms that a new part of a kind mends ("wouldn't stay in, new thermocouple")
MENDED_BY = {
    **dict.fromkeys(("thermocouple", "magnet-unit", "fsd"), frozenset({"not-holding", "failed"})),
    **dict.fromkeys(
        ("electrode", "ht-lead"),
        frozenset({"no-spark", "weak-spark"}),
    ),
    "low-rate-screw": frozenset({"not-holding", "weak"}),
    **dict.fromkeys(
        ("injector", "mixing-tube", "burner-cap", "burner-ring", "burner-head"),
        frozenset({"not-lighting", "weak", "yellow-tipping", "lifting"}),
    ),
    **dict.fromkeys(("spark-generator", "ignition-switch"), frozenset({"no-spark", "weak-spark", "constant-spark"})),
}
# the pieces that come new with a part
PIECES_OF = {"gas-tap": frozenset({"magnet-unit", "tap-spindle", "tap-seal"})}
# what is wrong where the verb is denied ("front left lights, rear left doesn't")
OPPOSITES = {
    "not-holding": frozenset("hold holds holding stay stays staying".split()),  # "not staying lit"
    "not-lighting": frozenset("light lights lit lighting catches catch".split()),
    "no-spark": frozenset("spark sparks sparking".split()),
    "seized": frozenset("turn turns turning budge".split()),
    "dead": frozenset("work works working worked".split()),
    "loose": frozenset("secure secured fixed".split()),
    "misaligned": frozenset("seated seating straight square central laid arranged".split()),
}
_TRUE_AGAIN = frozenset("straight flat".split())
# and the words of an outcome that give the lie to what was told
BELIED = {
    **OPPOSITES,
    "noisy": frozenset("silent quiet quietly hushed".split()),
    "kinked": _TRUE_AGAIN,
    "distorted": _TRUE_AGAIN,
}
# what is over where a fault itself is said to be ("the dripping has stopped", "there's no whistle now")
STOPPED = {
    "leaking": frozenset("dripping drip drips weeping weep leak leaking".split()),
    "noisy": frozenset(
        "noise banging bang rattle rattling whistling whistle popping pop humming hum roaring roar gurgle gurgling "
        "groan groaning whine whining squeak squeaking squeal knock knocking buzz buzzing moan grumble grumbling "
        "rumble rumbling drone droning screech clatter judder clunk clunking clonk hiss hissing chatter chattering "
        "racket thump thumping".split()
    ),
}
# the parts of which a denied verb tells it ("wasn't sparking" is said of no spill tray)
SHOWN_BY = {
    "no-spark": frozenset(
        "electrode ht-lead spark-generator ignition-switch burner burner-ring pilot appliance".split()
    ),
    "not-lighting": frozenset("burner burner-ring burner-head flame pilot appliance radiant injector".split()),
    "not-holding": frozenset(
        "fsd thermocouple magnet-unit gas-tap knob burner burner-ring pilot flame appliance".split()
    ),
}
# what only says more of a fault that has just been told of the same part ("packed up, won't hold in", "cooked, gone brown")
SAYS_MORE = {
    "dead": frozenset({"not-holding", "weak", "damaged"}),
    "weak": frozenset({"not-holding", "damaged", "dead"}),
    "burnt": frozenset({"discoloured", "perished", "damaged", "worn"}),
    "corroded": frozenset({"discoloured"}),
    "perished": frozenset({"loose", "damaged", "stiff", "broken"}),
    "distorted": frozenset({"unstable", "damaged"}),
    "out-of-adjustment": frozenset({"unstable"}),
    "missing": frozenset({"detached", "loose", "not-fitted"}),
    "seized": frozenset({"sticking", "stiff", "damaged"}),
    "sticking": frozenset({"seized", "weak"}),
    "worn": frozenset({"loose", "damaged"}),
    "blocked": frozenset({"dirty", "sooted"}),
    "broken": frozenset({"loose", "damaged", "detached", "burnt"}),
    "leaking": frozenset({"loose", "damaged"}),
    "not-holding": frozenset({"damaged"}),
}
# the same of one kind of part, where elsewhere it would be a second fault ("the pilot's small and yellow")
SAYS_MORE_OF = {
    "pilot": {"weak": frozenset({"yellow-tipping", "lifting"}), "yellow-tipping": frozenset({"weak"})},
    "flue": {"detached": frozenset({"unstable", "failed"}), "unstable": frozenset({"detached"})},
    "pan-support": {"unstable": frozenset({"detached"})},
    "hose": {"perished": frozenset({"cracked"}), "wrong-part": frozenset({"inadequate", "kinked"})},
    "tap-seal": {"perished": frozenset({"cracked"})},
    "knob": {"wrong-part": frozenset({"misaligned"}), "stiff": frozenset({"dirty", "misaligned"})},
    "fsd": {"failed": frozenset({"leaking"})},
    "expansion-vessel": {"failed": frozenset({"leaking", "dead"}), "dead": frozenset({"broken"})},
    "spark-generator": {"weak-spark": frozenset({"weak"})},
    "electrode": {"distorted": frozenset({"misaligned"}), "no-spark": frozenset({"dead"})},
    "burner-cap": {"distorted": frozenset({"misaligned"})},
}
# the other way: what is said next names better what was told ("gone brown and flaky", "notchy, catches halfway")
SAYS_BETTER = {
    ("discoloured", "corroded"),
    ("stiff", "sticking"),
    ("dead", "seized"),
    ("worn", "perished"),
    ("dirty", "partly-blocked"),
    ("sticking", "not-holding"),
}
# what holds a flame in: that it does not hold is what its being weak or dead comes to
HOLDING = frozenset({"thermocouple", "magnet-unit"})

# the work that a fault calls for, where it is not a new part
CALLED_FOR = {
    "out-of-adjustment": "adjust", "misaligned": "adjust", "dirty": "clean", "blocked": "clean", "sooted": "clean",
    "partly-blocked": "clean", "stiff": "regrease", "dry": "regrease", "loose": "tighten", "detached": "refit", "wet": "dry",
}  # fmt: skip
