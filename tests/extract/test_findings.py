"""Findings: golden cases that anybody can add, talk that says nothing, properties, and what the learnt sets must keep.

The cases and the labelled sets are the findings contract's worked examples; the lines of idle talk are our own.
"""

import json
import random
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldnote.extract import Extractor, by_rules, plain
from fieldnote.records import Finding
from fieldnote.trade.vocabulary import vocabulary

CASES = Path(__file__).parents[1] / "cases"
GOLDEN = sorted((CASES / "findings").glob("*.txt"))
# F1 that a set must keep: findings, without status, actions; at least .004 below what was measured, since the last digits of a
# network differ between processors
FLOORS = {
    "dev": (0.98, 0.98, 0.99),
    "dev-2": (0.98, 0.98, 0.97),
    "dev-3": (0.97, 0.97, 0.96),
    "dev-4": (0.97, 0.97, 0.97),
    "dev-5": (0.98, 0.99, 0.97),
    "dev-6": (0.98, 0.98, 0.97),
    "own-1": (0.96, 0.96, 0.97),
    "own-2": (0.91, 0.93, 0.95),
    "own-3": (0.91, 0.91, 0.94),
    "own-4": (0.92, 0.92, 0.95),
    "own-5": (0.87, 0.88, 0.89),
    "own-6": (0.92, 0.92, 0.84),
    "own-7": (0.88, 0.89, 0.88),
    "own-8": (0.88, 0.88, 0.84),
    "own-9": (0.97, 0.97, 0.98),
    "own-10": (0.94, 0.95, 0.94),
    "own-11": (0.93, 0.94, 0.97),
    "own-12": (0.96, 0.96, 0.94),
    "own-13": (0.94, 0.94, 0.95),
    "own-14": (0.92, 0.92, 0.95),
    "own-15": (0.96, 0.96, 0.95),
    "own-16": (0.93, 0.94, 0.91),
    "own-17": (0.93, 0.93, 0.94),
    "own-18": (0.94, 0.94, 0.95),
    "own-20": (0.96, 0.96, 0.97),
    "own-21": (0.96, 0.96, 0.90),
    "own-22": (0.97, 0.97, 0.96),
    "own-23": (0.96, 0.97, 0.95),
    "own-24": (0.93, 0.94, 0.93),
    "own-25": (0.95, 0.95, 0.89),
    "own-26": (0.96, 0.96, 0.93),
    "own-27": (0.95, 0.95, 0.86),
    "own-28": (0.95, 0.95, 0.93),
    "own-29": (0.95, 0.96, 0.87),
    "own-30": (0.94, 0.95, 0.97),
    "own-31": (0.96, 0.96, 0.93),
    "own-32": (0.94, 0.94, 0.92),
    "own-33": (0.92, 0.93, 0.85),
    "own-34": (0.97, 0.97, 0.96),
    "own-35": (0.97, 0.97, 0.90),
    "own-36": (0.94, 0.95, 0.93),
    "own-37": (0.94, 0.95, 0.95),
    "own-38": (0.95, 0.95, 0.91),
    "own-39": (0.97, 0.97, 0.94),
    "own-40": (0.97, 0.97, 0.91),
    "own-41": (0.88, 0.90, 0.92),
    "own-42": (0.93, 0.94, 0.87),
    "own-43": (0.89, 0.90, 0.89),
    "own-44": (0.94, 0.94, 0.83),
    "own-45": (0.94, 0.95, 0.89),
    "own-46": (0.94, 0.94, 0.94),
    "own-47": (0.94, 0.95, 0.92),
    "own-48": (0.94, 0.94, 0.90),
    "own-49": (0.83, 0.86, 0.84),
    "own-50": (0.89, 0.90, 0.93),
    "own-51": (0.93, 0.94, 0.89),
    "own-52": (0.93, 0.93, 0.86),
    "own-53": (0.92, 0.92, 0.86),
    "own-54": (0.85, 0.86, 0.90),
    "own-55": (0.86, 0.88, 0.88),
    "own-56": (0.83, 0.85, 0.87),
    "own-57": (0.86, 0.89, 0.84),
    "own-58": (0.86, 0.88, 0.85),
    "own-59": (0.89, 0.91, 0.92),
    "own-60": (0.86, 0.86, 0.85),
    "own-61": (0.80, 0.82, 0.79),
    "own-62": (0.86, 0.87, 0.83),
    "own-63": (0.83, 0.84, 0.87),
    "own-64": (0.91, 0.92, 0.82),
    "own-65": (0.85, 0.87, 0.80),
    "own-66": (0.86, 0.87, 0.82),
    "own-67": (0.80, 0.81, 0.74),
    "own-68": (0.89, 0.90, 0.79),
    "own-69": (0.88, 0.89, 0.81),
    "own-70": (0.90, 0.91, 0.84),
    "own-71": (0.86, 0.88, 0.85),
    "own-72": (0.81, 0.83, 0.83),
    "own-73": (0.86, 0.88, 0.77),
    "own-74": (0.90, 0.90, 0.91),
    "own-75": (0.88, 0.89, 0.82),
    "own-76": (0.87, 0.88, 0.79),
    "own-77": (0.85, 0.87, 0.78),
    "own-78": (0.87, 0.89, 0.77),
    "own-79": (0.91, 0.92, 0.87),
    "own-80": (0.85, 0.88, 0.75),
    "own-81": (0.76, 0.78, 0.80),
    "own-82": (0.84, 0.88, 0.82),
    "own-83": (0.90, 0.91, 0.87),
    "own-84": (0.92, 0.93, 0.90),
    "own-85": (0.79, 0.84, 0.73),
    "own-86": (0.73, 0.74, 0.79),
    "own-87": (0.88, 0.89, 0.89),
    "own-88": (0.87, 0.88, 0.90),
    "plain-1": (0.97, 0.98, 0.93),
    "plain-2": (0.96, 0.96, 0.99),
}


def row(finding: Finding) -> str:
    """A finding as a golden case writes it."""
    cells = [finding.component, finding.position, finding.condition, finding.status]
    actions = " ".join(f"{action.kind}/{action.state}" for action in finding.actions)
    return " | ".join([*(cell or "-" for cell in cells), *([actions] if actions else [])])


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_a_golden_case_gives_what_stands_below_its_line(path: Path, rules: Extractor) -> None:
    """Of the text above the line the rules make exactly the findings below it, sure or not; without a line, none."""
    text, _, wanted = path.read_text("utf-8").partition("---\n")
    read = rules.read(text.strip())
    found = [row(finding) for finding in (*read.findings, *read.doubted)]
    assert sorted(found) == sorted(line for line in wanted.splitlines() if line)


def test_each_of_two_appliances_of_a_kind_keeps_its_own_facts(extractor: Extractor) -> None:
    """Which of them is meant stands in `unit`; where nobody counts any, it is empty."""
    found = extractor.read(
        "First boiler, fan noisy. Second boiler, fan fine. Back to the first one, pump leaking."
    ).findings
    assert [(f.unit, f.component) for f in found] == [("boiler 1", "fan"), ("boiler 2", "fan"), ("boiler 1", "pump")]
    assert [f.unit for f in extractor.read("Boiler, fan noisy. Second burner's fine.").findings] == [None, None]


def test_idle_talk_says_nothing(extractor: Extractor) -> None:
    """200 and more lines of talk about anything else give no finding, no reading and no class."""
    lines = (CASES / "idle.txt").read_text("utf-8").splitlines()
    assert len(lines) >= 200
    for line in lines:
        said = extractor.read(line)
        assert (said.findings, said.readings, said.declared) == ((), (), ()), line


def test_ordinary_wordings_of_one_fact_are_understood(extractor: Extractor) -> None:
    """Of 2,134 sentences by somebody who knew none of the tables (not learnt from, our own), 92 in 100 give their one finding."""
    rows = [line.split("\t") for line in (CASES / "wordings.tsv").read_text("utf-8").splitlines()]
    said = [row[1:] for row in rows if row[0] == "b1"]
    found = [
        [(finding.component, finding.condition, finding.status) for finding in extractor.read(sentence).findings]
        for _, _, sentence in said
    ]
    right = sum(one == [(part, condition, "present")] for one, (part, condition, _) in zip(found, said, strict=True))
    assert right >= 0.92 * len(said) > 1900


def test_the_same_does_not_reach_back_into_another_recording(extractor: Extractor) -> None:
    """An empty line parts the recordings of a visit: "it" and "the same" mean nothing of the one before, the appliance stays."""
    found = extractor.read(
        "gas fire the radiant's cracked\n\nmine's just the same\n\nit's broken\n\nflue's fine"
    ).findings
    assert [(f.appliance, f.component, f.condition) for f in found] == [
        ("fire", "radiant", "cracked"),
        ("fire", "flue", "ok"),
    ]


@pytest.mark.parametrize("text", ["", " ", "\n\n", "...", "um er um", "12345", "🙂 ¿?", "a" * 10_000])
def test_nothing_is_made_of_nothing(text: str, extractor: Extractor) -> None:
    """Silence, hesitation and signs give no finding."""
    assert extractor.read(text).findings == ()


words = st.sampled_from(
    "front left rear right both the other three burner electrode cap tap injector hose cracked blocked stiff fine no not "
    "isnt might be was cleaned it replaced needs new one customer says and or but now last year , . \n".split(" ")
)


@settings(deadline=None)
@given(st.lists(words, max_size=30).map(" ".join))
def test_any_talk_is_read_and_its_evidence_is_exact(text: str) -> None:
    """Whatever is said, nothing raises, evidence is the very characters of the text, and ids are the vocabulary's."""
    known = vocabulary()
    for finding in by_rules(text).findings:
        assert text[finding.evidence.start : finding.evidence.end] == finding.evidence.text
        assert finding.component in known.components
        assert finding.condition is None or finding.condition in known.conditions
        assert finding.status in known.statuses
        assert all(action.kind in known.actions for action in finding.actions)
        assert 0 <= finding.confidence <= 1


@pytest.mark.parametrize("end", [",", ".", ""])
def test_a_talk_that_is_cut_off_anywhere_is_read(end: str, extractor: Extractor) -> None:
    """A recording may stop at any word, with any mark: pieces of practice texts (seed 11), their marks sure or in doubt."""
    chance = random.Random(11)
    rows = (CASES / "dev-4.jsonl").read_text("utf-8").splitlines() + (CASES / "own-27.jsonl").read_text(
        "utf-8"
    ).splitlines()
    for row in rows:
        said = json.loads(row)["text"].split()
        start = chance.randrange(len(said))
        text = " ".join(said[start : start + chance.randrange(1, 30)]).rstrip(".,;:?!") + end
        for soft in ((), [at for at, mark in enumerate(text) if mark in ",."]):
            found = extractor.read(text, soft=soft).findings
            assert all(text[one.evidence.start : one.evidence.end] == one.evidence.text for one in found), text


@pytest.mark.parametrize("condition", ["cracked", "chipped", "perished", "blocked", "burnt", "loose", "worn"])
@pytest.mark.parametrize("part", ["hose", "burner cap", "thermocouple", "door seal"])
def test_a_denial_changes_the_status_and_nothing_else(part: str, condition: str, extractor: Extractor) -> None:
    """ "The cap isn't cracked" and "the cap is cracked" differ in their status only."""
    (said,) = extractor.read(f"the {part} is {condition}").findings
    (denied,) = extractor.read(f"the {part} isn't {condition}").findings
    assert (said.component, said.condition, said.status) == (denied.component, denied.condition, "present")
    assert denied.status == "absent"


def test_findings_stand_in_the_order_in_which_they_were_said(extractor: Extractor) -> None:
    """Two statements exchanged give their findings exchanged."""
    first, second = "front left electrode is cracked.", "The hose is perished."
    there = [row(f) for f in extractor.read(f"{first} {second}").findings]
    back = [row(f) for f in extractor.read(f"{second} {first}").findings]
    assert there == back[::-1]


def test_every_field_of_a_finding_says_why(extractor: Extractor) -> None:
    """Component, position, condition, status and each action name the words and the rule that decided them."""
    (finding,) = extractor.read("front left injector was blocked, cleaned it").findings
    assert {why.field for why in finding.why} == {
        "component",
        "position",
        "condition",
        "status",
        "action",
        "confidence",
    }
    assert all(why.rule and why.evidence for why in finding.why)


def test_work_that_nobody_told_says_so(extractor: Extractor) -> None:
    """Work that follows from "loose, tight now" names another rule than work that was told."""
    rules = [
        next(why.rule for why in extractor.read(said).findings[0].why if why.field == "action")
        for said in ("front left thermocouple was loose, tight now", "front left thermocouple was loose, tightened it")
    ]
    assert rules == ["work-implied", "work-done"]


def score(name: str, extractor: Extractor, folder: Path) -> dict[str, Any]:
    """The scorer's table for one set."""
    gold, out = CASES / f"{name}.jsonl", folder / "out.jsonl"
    rows = [json.loads(line) for line in gold.read_text("utf-8").splitlines()]
    out.write_text("\n".join(json.dumps({"id": r["id"], **plain.extraction(extractor.read(r["text"]))}) for r in rows))
    done = subprocess.run(
        [sys.executable, str(CASES.parent / "score.py"), str(gold), str(out), "--json"], capture_output=True, check=True
    )
    table: dict[str, Any] = json.loads(done.stdout)
    return table


@pytest.mark.parametrize("name", FLOORS)
def test_a_learnt_set_keeps_its_score(name: str, extractor: Extractor, tmp_path: Path) -> None:
    """What was learnt once is not lost: the F1 of findings, findings without status and actions stay above their floors."""
    table = score(name, extractor, tmp_path)
    got = tuple(table[row]["f1"] for row in ("findings", "findings-without-status", "actions"))
    assert all(value >= floor for value, floor in zip(got, FLOORS[name], strict=True)), got
