"""Texts for the speech benchmark: how a written note is said aloud, and how two transcripts are compared.

Standard library only: the renderer runs in an environment of its own.
"""

import random
import re

UNITS = "nought one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()

SAID_UNITS = {
    "m³/h": "cubic metres an hour",
    "mV": "millivolts",
    "mbar": "millibar",
    "mm": "mil",
    "cm": "centimetres",
    "ppm": "P P M",
    "kW": "kilowatts",
    "%": "percent",
}
SAID_LETTERS = {
    "CO2": "C O two",
    "co": "C O",
    "CO": "C O",
    "FSDs": "F S Ds",
    "FSD": "F S D",
    "HT": "H T",
    "OK": "okay",
    "LPG": "L P G",
}
# some notes carry mis-hearings on purpose; a voice says the right word
RIGHT_WORDS = {
    "hub": "hob",
    "thermal couple": "thermocouple",
    "milly volts": "millivolts",
    "milly bar": "millibar",
    "in jector": "injector",
    "elec trode": "electrode",
    "magnate unit": "magnet unit",
    "week spark": "weak spark",
    "Flu": "Flue",
    "cook her": "cooker",
    "parished": "perished",
    "walk burner": "wok burner",
    "was ceased": "was seized",
    "flew": "flue",
    "are suited": "are sooted",
    "let bye": "let by",
    "the joined": "the joint",
}


def cardinal(n: int) -> str:
    """A whole number below a million in British words."""
    if n < 20:
        return (UNITS + TEENS)[n]
    if n < 100:
        return TENS[n // 10 - 2] + (f" {UNITS[n % 10]}" if n % 10 else "")
    if n < 1000:
        return f"{UNITS[n // 100]} hundred" + (f" and {cardinal(n % 100)}" if n % 100 else "")
    rest = n % 1000
    return f"{cardinal(n // 1000)} thousand" + ((" and " if rest < 100 else " ") + cardinal(rest) if rest else "")


def digits(text: str, zero: str) -> str:
    """A string of digits, one by one."""
    return " ".join(zero if digit == "0" else UNITS[int(digit)] for digit in text)


def said_number(found: re.Match[str]) -> str:
    """How an engineer says a figure: decimals and long numbers digit by digit, years as years."""
    text, before = found[0], found.string[max(0, found.start() - 16) : found.start()].lower()
    if "." in text:
        whole, part = text.split(".")
        long = len(whole) > 3 or (len(whole) > 1 and whole[0] == "0")
        head = digits(whole, "oh") if long else cardinal(int(whole))
        return f"{head} point {digits(part, 'nought' if whole == '0' else 'oh')}"
    if (
        len(text) > 4
        or (len(text) > 1 and text[0] == "0")
        or re.search(r"(number|ring me back on|960|7716) *$", before)
    ):
        return digits(text, "oh")
    if len(text) == 4 and 2010 <= int(text) <= 2035:
        return f"{cardinal(int(text[:2]))} {cardinal(int(text[2:]))}"
    return cardinal(int(text))


def spoken(text: str) -> str:
    """A note as it is said aloud: numbers in words, units and letters spelt out."""
    for wrong, right in RIGHT_WORDS.items():
        text = re.sub(rf"\b{wrong}\b", right, text)
    for letters, said in SAID_LETTERS.items():
        text = re.sub(rf"\b{letters}\b", said, text)
    for unit, said in SAID_UNITS.items():
        text = re.sub(rf"(?<=\d) ?{unit}(?!\w)", f" {said}", text)
    text = text.replace("7.45", "seven forty five")
    return " ".join(re.sub(r"\d+(?:\.\d+)?", said_number, text).split())


def breathing(text: str) -> str:
    """Dictation without punctuation, with a few commas so that a synthetic voice breathes."""
    if re.search(r"[,.;:]", text):
        return text
    text = re.sub(
        r" (um|er|uh|next|then|no sorry|make that|rear left|rear right|front left|front right)\b", r", \1", text
    )
    return text + "."


READINGS = (
    ("working pressure {} millibar", 17.0, 21.9, 1),
    ("standing pressure {}", 20.0, 24.9, 1),
    ("burner pressure {} millibar", 8.0, 19.9, 1),
    ("thermocouple {} millivolts", 2, 30, 0),
    ("drop-out time {} seconds", 8, 62, 0),
    ("C O {} P P M", 4, 190, 0),
    ("C O two {} percent", 4.0, 9.9, 1),
    ("ratio {}", 0.0003, 0.0089, 4),
    ("gas rate {} cubic metres an hour", 0.4, 2.9, 2),
    ("rated input {} kilowatts", 2.0, 28.0, 1),
    ("spark gap {} mil", 3, 6, 0),
    ("injector stamped {}", 0.5, 1.3, 2),
    ("flue temperature {} degrees", 55, 180, 0),
    ("meter reading {}", 1000.0, 9999.0, 3),
    ("free area {} square centimetres", 40, 300, 0),
    ("supply voltage {}", 229, 246, 0),
    ("room {} metres long", 2.0, 6.0, 1),
    ("test duration {} minutes", 1, 5, 0),
)


def made_readings(count: int, seed: int) -> list[dict[str, str]]:
    """Dictations of four readings each, with values drawn at random: numbers that no text of the project holds."""
    draw = random.Random(seed)
    rows = []
    for index in range(count):
        parts = []
        for pattern, low, high, places in draw.sample(READINGS, 4):
            value = f"{draw.uniform(low, high):.{places}f}"
            parts.append(pattern.format(re.sub(r"\d+(?:\.\d+)?", said_number, value)))
        rows.append({"id": f"made-{seed}-{index:02d}", "spoken": ", ".join(parts) + "."})
    return rows


# ---------------------------------------------------------------- comparing

_VALUES = {word: n for n, word in enumerate(UNITS + TEENS)} | {"zero": 0, "naught": 0, "oh": 0}
_TENS = {word: 10 * n for n, word in enumerate(TENS, 2)}
_SAME = dict(
    pair.replace("_", " ").split("=")
    for pair in """
    millivolts=mv millivolt=mv millibar=mbar millibars=mbar mil=mm mill=mm mills=mm mils=mm millimetres=mm millimeters=mm
    millimetre=mm millimeter=mm centimetres=cm centimeters=cm metre=meter metres=meters kilowatts=kw kilowatt=kw okay=ok
    labelled=labeled discoloured=discolored tyres=tires litre=liter colour=color centre=center secs=seconds mins=minutes
    amps=amp mb=mbar sq=square grey=gray cos=because pounds=quid
""".split()
)
_JOINED = dict(
    " ".join(pair.split()).split("=")
    for pair in """
    milli volts=mv; milli bar=mbar; p p m=ppm; parts per million=ppm; per cent=percent; f s d s=fsds; f s ds=fsds; f s
    d=fsd; h t=ht; c o=co; hot plate=hotplate; narrow boat=narrowboat; camper van=campervan; motor home=motorhome; re
    greased=regreased; let by=letby; pipe work=pipework; all right=alright; over gas=overgas; m v=mv; drop out=dropout;
    multi point=multipoint; shut off=shutoff; meg ohms=megohms; mega ohms=megohms; in adequate=inadequate; l p g=lpg; c
    m=cm; k w=kw; an hour=per hour; camper vans=campervans; degrees c=degrees; square cms=square cm; by pass=bypass; work
    top=worktop
""".split(";")
)
_FILLERS = {"um", "umm", "er", "erm", "uh", "uhm", "ah", "hmm", "ur"}


def normal(text: str) -> list[str]:
    """Comparable words: lower case, no punctuation, one spelling, figures digit by digit with "point"."""
    text = text.lower().replace("’", "'").replace("½", " and a half").replace("%", " percent ").replace("£", " ")
    text = re.sub(r"(?<=\d),(?=\d{3}\b)", "", text)
    text = re.sub(r"(\d)(?:st|nd|rd|th)\b", r"\1", text).replace("cm2", " square cm").replace("m3", " cubic meters")
    text = re.sub(r"(\d)([a-z])", r"\1 \2", re.sub(r"(\d) ?m\b", r"\1 meters", text))
    text = re.sub(r"\bco(?=\d)", "co ", text).replace("co₂", "co 2")
    text = re.sub(r"(?<=\d)\s*[x×]\s*(?=\d)", " by ", text)
    text = re.sub(r"(?<=\d)\.(?=\d)|(?<!\S)\.(?=\d)", " point ", text).replace("'", "")
    words = re.sub(r"[^a-z0-9| ]", " ", re.sub(r"[,;:.!?]", " | ", text)).split()
    flat = " " + " ".join(_SAME.get(word, word) for word in _digits(words) if word not in _FILLERS) + " "
    for apart, together in _JOINED.items():
        flat = flat.replace(f" {apart} ", f" {together} ")
    return flat.split()


def _digits(words: list[str]) -> list[str]:
    """Number words and figures as single digits; "|" ends a number and is dropped."""
    out: list[str] = []
    at = 0
    while at < len(words):
        word = words[at]
        if word == "oh" and not _beside_number(words, at):
            out.append(word)
        elif word in _VALUES or word in _TENS:
            end = _end_of_number(words, at)
            out += list(_as_figures(words[at:end]))
            at = end
            continue
        elif word == "and" and words[at + 1 : at + 3] == ["a", "half"] and out and out[-1].isdigit():
            out += ["point", "5"]
            at += 2
        elif word != "|":
            out += list(word) if word.isdigit() else [word]
        at += 1
    return out


def _beside_number(words: list[str], at: int) -> bool:
    near = words[max(0, at - 1) : at] + words[at + 1 : at + 2]
    return any(word in _VALUES or word in _TENS or word == "point" or word.isdigit() for word in near)


def _end_of_number(words: list[str], at: int) -> int:
    end = at
    while end < len(words):
        word, after = words[end], words[end + 1] if end + 1 < len(words) else ""
        joins = word == "and" and words[end - 1] in ("hundred", "thousand") and (after in _VALUES or after in _TENS)
        if not (word in _VALUES or word in _TENS or (end > at and (word in ("hundred", "thousand") or joins))):
            break
        end += 1
    return end


def _as_figures(run: list[str]) -> str:
    if {"hundred", "thousand"} & set(run):
        total = current = 0
        for word in run:
            if word == "hundred":
                current = max(1, current) * 100
            elif word == "thousand":
                total, current = total + max(1, current) * 1000, 0
            else:
                current += _VALUES.get(word, _TENS.get(word, 0))
        return str(total + current)
    out, at = "", 0
    while at < len(run):
        value = _TENS.get(run[at], _VALUES.get(run[at], 0))
        if run[at] in _TENS and at + 1 < len(run) and 1 <= _VALUES.get(run[at + 1], 0) <= 9:
            value, at = value + _VALUES[run[at + 1]], at + 1
        out += str(value)
        at += 1
    return out
