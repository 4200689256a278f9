"""Broken texts, JSON, TOML and bundles, made from good ones with fixed seeds."""

import base64
import json
import random
from pathlib import Path
from typing import Any

from tests.capture import corpus

TEXT = (
    "Natural gas hob in the kitchen, three burners. Front left electrode is cracked and needs a new one, part ordered. "
    "Rear right injector was blocked, cleaned it, clear now. The hose is perished, that's at risk, told the customer. "
    "Working pressure twenty point five millibar, no, nineteen point eight. CO two nine percent, ratio nought point nought "
    "nought three. I'll come back in a fortnight. Smell of gas at the meter, two and a half kilowatt, 1234.567 cubic metres."
)
ODD = (
    "", " ", "\x00", "\x1b[2J", "\u202e", "\u200b", "\ud800", "\ufffd", "🔥" * 50, "\n" * 40, "9" * 400, "-0", "1e999", "½¾²",
    "nan", "no make that", "and " * 60, "front left " * 40, "Ａ", "ı", "İ", "ß" * 30, "٣٫٥", "'\"`", "<b>&amp;", "=1+1", "%s%n{}",
)  # fmt: skip
VALUES = (
    None, True, False, 0, -1, 1.5, 10**30, 1e300, "", " ", "x" * 5000, "\x00", "\x1b[31m", "\ud800", [], {}, [[[[]]]],
    {"a": {"b": {}}}, "2026-13-45", "2026-11-18T10:00:00", "../../x", "-", "a" * 64,
)  # fmt: skip


def text(seed: int) -> str:
    """Words of the trade with pieces gone, doubled, out of order, and odd characters among them."""
    chance = random.Random(seed)
    words = TEXT.split()
    for _ in range(chance.randint(1, 25)):
        at = chance.randrange(len(words) + 1)
        how = chance.random()
        if how < 0.3:
            words.insert(at, chance.choice(ODD))
        elif how < 0.5 and words:
            del words[at : at + chance.randint(1, 6)]
        elif how < 0.7 and words:
            words[at:at] = chance.choices(words, k=chance.randint(1, 30))
        elif words:
            spoilt = list(words[min(at, len(words) - 1)] or "x")
            spoilt[chance.randrange(len(spoilt))] = chr(
                chance.choice((chance.randrange(32, 127), chance.randrange(0xD7FF)))
            )
            words[min(at, len(words) - 1)] = "".join(spoilt)
    return " ".join(words)


def value(whole: Any, chance: random.Random) -> Any:
    """A JSON value with one part of it other, gone or doubled, wherever it stands."""
    if isinstance(whole, dict) and whole and chance.random() < 0.9:
        key = chance.choice(list(whole))
        how = chance.random()
        if how < 0.15:
            return {name: one for name, one in whole.items() if name != key}
        if how < 0.25:
            return whole | {chance.choice(("", "x", key + " ", "__class__")): whole[key]}
        return whole | {key: value(whole[key], chance)}
    if isinstance(whole, list) and whole and chance.random() < 0.9:
        at = chance.randrange(len(whole))
        if chance.random() < 0.2:
            return chance.choice([whole[:at] + whole[at + 1 :], [*whole, whole[at]], whole[::-1]])
        return [*whole[:at], value(whole[at], chance), *whole[at + 1 :]]
    return chance.choice(VALUES)


def jsonl(seed: int) -> bytes:
    """Three cases a file: one whole, one with a broken value, one broken in its bytes."""
    chance = random.Random(seed)
    cases = [{"id": f"c{seed}-{number}", "text": text(seed + number)} for number in range(3)]
    lines = [json.dumps(case).encode() for case in (cases[0], value(cases[1], chance), cases[2])]
    lines[2] = corpus.damaged(lines[2], seed).replace(b"\n", b" ")
    return b"\n".join(lines) + chance.choice((b"", b"\n", b"\n\n", b"\r\n", b"\x00"))


TOMLS = {
    "config": 'region = "gb"\nthreads = 2\nengineer = "A. Fitter"\nmodel = "base"\nemergency_number = "0123 456"\n',
    "engineer": 'name = "A. Fitter"\nlicence_ends = 2027-03-31\n[[instruments]]\nname = "gauge"\nserial = "1"\n'
    "calibrated = 2026-02-10\n",
    "limits": 'region = "gb"\ntitle = "Own"\n[[source]]\nid = "own"\ntext = "own"\n[[limit]]\nid = "own-co"\nquantity = "co"\n'
    'text = "at most 30 ppm"\nunit = "ppm"\nhigh = 30\nfrom = 2015-01-01\nsource = "own"\ngrade = "user"\n',
}
TOML_VALUES = (
    "1", "-1", "1.5", "nan", "inf", "true", '""', '"x"', "[]", "{}", "1979-05-27", "07:32:00", '"\\u0000"', "'''", "0x1f",
    "9" * 40, "= =",
)  # fmt: skip


def toml(kind: str, seed: int) -> bytes:
    """A settings, particulars or limits file with a value other, a line gone, doubled or moved, or bytes broken."""
    chance = random.Random(seed)
    lines = TOMLS[kind].splitlines()
    at = chance.randrange(len(lines))
    how = chance.random()
    if how < 0.4 and "=" in lines[at]:
        lines[at] = f"{lines[at].split('=')[0]}= {chance.choice(TOML_VALUES)}"
    elif how < 0.5:
        lines.insert(chance.randrange(len(lines)), lines[at])
    elif how < 0.6:
        del lines[at]
    elif how < 0.7:
        lines.insert(
            at, f"{chance.choice(('x', 'name.a', '[a]', '[[b]]', '__class__'))} = {chance.choice(TOML_VALUES)}"
        )
    whole = "\n".join(lines).encode()
    return whole if how < 0.7 else corpus.damaged(whole, seed)


def bundle_in_folder(folder: Path, seed: int) -> None:
    """Spoil one file of a bundle that lies as a folder: its bytes, one value of its JSON, or the signed statement."""
    chance = random.Random(seed)
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    path = chance.choice([folder / "signature.json", folder / "data/records.jsonl", *files])
    content = path.read_bytes()
    if path.name == "signature.json" and chance.random() < 0.8:
        body = json.loads(content)
        if chance.random() < 0.6:
            statement = value(json.loads(base64.b64decode(body["payload"])), chance)
            body["payload"] = base64.b64encode(json.dumps(statement).encode()).decode()
        else:
            body = value(body, chance)
        path.write_text(json.dumps(body))
    elif path.suffix == ".jsonl" and chance.random() < 0.8:
        lines = content.splitlines()
        at = chance.randrange(len(lines))
        lines[at] = json.dumps(value(json.loads(lines[at]), chance)).encode()
        path.write_bytes(b"\n".join(lines))
    else:
        path.write_bytes(corpus.damaged(content, seed))
