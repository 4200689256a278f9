"""The second reader: pieces, network, what it hears, and how that is joined with what the rules read.

Outside the project: erf of Python's `math`, the softmax of scipy, the rule of word pieces of Devlin et al., "BERT" (2018): the
pieces of a text, put together, are the text. The sentences are our own.
"""

import itertools
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import special

from fieldnote.extract import Extractor
from fieldnote.extract.taught import joining, network
from fieldnote.extract.taught.joining import ALONE, KINDS, OTHERWISE, RULE, Candidate
from fieldnote.extract.taught.reading import Likely, Taught
from fieldnote.records import Evidence, Finding, Why

TALK = (
    "Front left burner cap is cracked, new one on order. The tap behind it turned like it was full of sand, stripped it and "
    "greased it, glides now. Hose is sound. Customer reckons the oven door never shut right."
)


def test_gelu_and_softmax_are_those_of_the_reference() -> None:
    """Against erf of the standard library and scipy's softmax."""
    x = np.linspace(-8, 8, 401, dtype=np.float32)
    wanted = [float(one) * (1 + math.erf(float(one) / math.sqrt(2))) / 2 for one in x]
    assert np.abs(network._gelu(x) - wanted).max() < 1e-5
    rows = np.random.default_rng(1).normal(size=(5, 7)).astype(np.float32)
    assert np.allclose(network._softmax(rows), special.softmax(rows, axis=-1), atol=1e-6)


@pytest.mark.parametrize("text", [TALK, "CO2 8.5%, ratio 0.0008", "it'll not light — naïve 🙂 zzqqxx", "x"])
def test_the_pieces_of_a_text_are_its_characters(text: str, taught: Taught) -> None:
    """Pieces stand in order, do not overlap, and leave out nothing but spaces."""
    spans = taught.cutter.cut(text).spans
    assert all(before[1] <= after[0] for before, after in itertools.pairwise(spans))
    covered = {at for start, end in spans for at in range(start, end)}
    assert all(text[at].isspace() for at in set(range(len(text))) - covered)


def test_what_the_network_says_are_chances(taught: Taught) -> None:
    """Each field's chances add up to one; parts and work have chances of their own."""
    (first, *_) = found = taught.read(TALK).found()
    assert {one.component for one in found} >= {"burner-cap", "hose"}
    for one in found:
        assert all(math.isclose(sum(chances.values()), 1, abs_tol=1e-4) for chances in one.chances.values())
        assert 0 <= one.valid <= 1
        assert 0 < one.spoken <= 1
        assert 0 <= one.start < one.end <= len(TALK)
    assert (first.component, first.best("position")[0], first.best("condition")[0]) == (
        "burner-cap",
        "front-left",
        "cracked",
    )


def test_a_long_talk_is_heard_as_its_parts_are(taught: Taught) -> None:
    """Read in windows, what is said in the midst of a long talk is heard as when it is said alone."""
    idle = "then we had a brew and talked about the football for a good while. "
    long = taught.read(idle * 40 + TALK + " " + idle * 40).found()
    alone = {(one.component, one.best("condition")[0]) for one in taught.read(TALK).found() if one.spoken > 0.8}
    assert alone <= {(one.component, one.best("condition")[0]) for one in long}
    assert all(len(idle) * 40 - 5 <= one.start < len(idle) * 40 + len(TALK) for one in long if one.spoken > 0.8)


def test_nothing_is_heard_in_nothing(taught: Taught) -> None:
    """An empty text has no pieces to be read."""
    assert taught.read("").found() == []
    assert taught.read("").asked([]) == []


def finding(**fields: Any) -> Finding:
    """A finding as the rules make it."""
    here = Evidence("the joint is weeping", 0, 20)
    rules = {"component": "named", "condition": "wording", "status": "plain-statement", "confidence": "no-doubt"}
    why = tuple(Why(field, None, rule, here) for field, rule in rules.items())
    given = {"appliance": None, "component": "joint", "position": None, "burner": None, "condition": "leaking"}
    return Finding(
        **{**given, "status": "present", "actions": (), "confidence": 0.7, "evidence": here, "why": why, **fields}
    )


def likely(component: str, **best: str | None) -> Likely:
    """What the taught reader would be sure of."""
    wanted = {"condition": None, "status": "present", "position": None, "burner": None, **best}
    chances = {field: {"cracked": 0.01, name: 0.95} for field, name in wanted.items()}
    return Likely(component, 0, 20, 0.99, 0.99, chances, ())


@pytest.mark.parametrize("status", ["resolved", "absent", "historical"])
@pytest.mark.parametrize("component, condition", [("joint", "leaking"), ("flue", "blocked"), ("burner", "leaking")])
def test_a_danger_is_never_called_mended_on_likeness_alone(component: str, condition: str, status: str) -> None:
    """However sure the taught reader is, a fault that may be a danger keeps the status that a rule read."""
    one = finding(component=component, condition=condition)
    assert joining._turned(one, likely(component, condition=condition, status=status), ("status",), set()) is None
    cap = finding(component="burner-cap", condition="dirty")
    turned = joining._turned(cap, likely("burner-cap", condition="dirty", status=status), ("status",), set())
    assert turned is not None
    assert (turned.kind, turned.finding.status) == (OTHERWISE, status)


def test_a_danger_is_never_called_fit_on_likeness_alone() -> None:
    """What would do for a cap does not do for a flue."""
    weights = {ALONE: {"bias": 0.0, "one": 1.2}}  # a chance of 0.77
    for component, condition, status, filed in (
        ("burner-cap", "ok", "present", True),
        ("flue", "ok", "present", False),
        ("flue", "blocked", "resolved", False),
        ("joint", "leaking", "absent", False),
        ("joint", "leaking", "present", True),
    ):
        one = finding(component=component, condition=condition, status=status, confidence=0.01)
        assert bool(joining.joined([[Candidate(ALONE, one, {"one": 1.0})]], weights)) == filed
    for fields in ({"condition": "ok"}, {"condition": "blocked", "status": "resolved"}):
        sure = Candidate(ALONE, finding(**{"component": "flue", **fields}), {"one": 9.0})
        assert joining.joined([[sure]], weights) == []


def test_a_danger_stays_the_fault_that_it_is() -> None:
    """A leak becomes no other fault and nobody else's word, no fault is called fit, and none becomes a danger that was mended."""
    for fields in (("condition",), ("status",), ("condition", "status")):
        heard = likely("joint", condition="loose", status="reported")
        assert joining._turned(finding(), heard, fields, set()) is None
    knob = finding(component="knob", condition="dirty")
    heard = likely("knob", condition="missing", status="resolved")
    assert joining._turned(knob, heard, ("condition", "status"), set()) is None
    stiff = finding(component="gas-tap", condition="stiff")
    assert joining._turned(stiff, likely("gas-tap", condition="ok"), ("condition",), set()) is None
    flue = finding(component="flue", condition="ok")
    assert joining._turned(flue, likely("flue", condition="blocked"), ("condition",), set()) is not None


def test_a_danger_that_is_perhaps_heard_is_asked_about() -> None:
    """What nobody but the taught reader hears, and not surely, is a question where it could be a danger, else nothing."""
    weights = {ALONE: {"bias": -0.6}}  # a chance of 0.35
    (asked,) = joining.joined(
        [[Candidate(ALONE, finding(component="flue", condition="blocked"), {"one": 1.0})]], weights
    )
    assert not joining.filed(asked)
    assert (
        joining.joined([[Candidate(ALONE, finding(component="knob", condition="dirty"), {"one": 1.0})]], weights) == []
    )


def test_a_status_that_a_rule_decided_on_stands() -> None:
    """Where a rule heard that it is still so, likeness does not turn it."""
    cap = finding(component="burner-cap", condition="dirty")
    heard = likely("burner-cap", condition="dirty", status="resolved")
    assert joining._turned(cap, heard, ("status",), set()) is not None
    still = replace(cap, why=(Why("status", "present", "still", cap.evidence), cap.why[-1]))
    assert joining._turned(still, heard, ("status",), set()) is None


def test_two_appliances_keep_what_is_said_of_each() -> None:
    """The same fault at two appliances is two findings."""
    one, other = finding(appliance="hob"), finding(appliance="boiler")
    weights = {RULE: {"bias": 1.0}}
    assert (
        len(joining.joined([[Candidate(RULE, one, {"one": 1.0})], [Candidate(RULE, other, {"one": 1.0})]], weights))
        == 2
    )


def test_what_a_rule_heard_put_right_was_here() -> None:
    """It may be here still, but nobody else's word and nothing of the past."""
    cap = finding(component="burner-cap", condition="dirty", status="resolved")
    for status, turned in (("present", True), ("reported", False), ("historical", False), ("absent", False)):
        heard = likely("burner-cap", condition="dirty", status=status)
        assert bool(joining._turned(cap, heard, ("status",), set())) == turned


def test_a_place_is_taken_as_it_is_heard() -> None:
    """One field is turned at a time, and says that it was."""
    cap = finding(component="burner-cap", condition="dirty", position="left")
    turned = joining._turned(cap, likely("burner-cap", condition="dirty", position="rear-left"), ("position",), set())
    assert turned is not None and turned.finding == replace(cap, position="rear-left", why=turned.finding.why)
    assert [why.field for why in turned.finding.why if why.rule == "taught"] == ["position"]


def test_that_a_danger_is_well_has_to_be_surer() -> None:
    """What is filed of a cap is only asked about of a flue."""
    for component, filed in (("burner-cap", True), ("flue", False)):
        for fields in ({"condition": "ok"}, {"condition": "dirty", "status": "resolved"}):
            assert joining.filed(finding(**{"component": component, "confidence": 0.7, **fields})) == filed
    assert joining.filed(finding(component="flue", condition="ok", confidence=0.8))


def test_the_likeliest_way_is_taken_and_the_same_thing_is_filed_once() -> None:
    """Of several ways to file one thing the likeliest; of two that are the same the surer."""
    one = finding(component="burner-cap", condition="cracked")
    other = replace(one, condition="broken")
    weights = {RULE: {"bias": 0.0, "sign": 1.0}, OTHERWISE: {"bias": 0.0, "sign": 1.0}}
    ways = [
        [Candidate(RULE, one, {"sign": 0.1}), Candidate(OTHERWISE, other, {"sign": 2.0})],
        [Candidate(RULE, other, {"sign": 0.2})],
    ]
    (kept,) = joining.joined(ways, weights)
    assert (kept.condition, kept.why[-1].rule) == ("broken", "taught-otherwise")
    assert kept.confidence == pytest.approx(1 / (1 + math.exp(-2)), abs=0.001)


def test_dangers_told_in_irony_and_idiom_are_taken_for_well_less_often_than_by_the_rules(
    extractor: Extractor, rules: Extractor
) -> None:
    """Of 300 dangers that nobody learnt (our own), told in irony, idiom or behind praise of something else, the rules call the
    part fit, mended or gone in 67, the whole reader in 37; it files a fault of the part or asks about one in 183, the rules in
    161."""
    wrong, heard = {}, {}
    for name, reader in (("rules", rules), ("whole", extractor)):
        wrong[name] = heard[name] = 0
        for line in (Path(__file__).parents[1] / "cases/dangers.tsv").read_text("utf-8").splitlines():
            component, text, _ = line.split("\t")
            read = reader.read(text)
            filed, asked = (
                [one for one in some if one.component == component] for some in (read.findings, read.doubted)
            )
            wrong[name] += any(map(is_well, filed))
            heard[name] += not all(map(is_well, [*filed, *asked]))
    assert wrong["whole"] < wrong["rules"] and wrong["whole"] <= 42
    assert heard["whole"] > heard["rules"] and heard["whole"] >= 175


def is_well(one: Finding) -> bool:
    """Whether a finding says that nothing is wrong any more."""
    return one.condition in ("ok", "passed", "not-fitted") or one.status in ("resolved", "absent", "historical")


def test_what_only_likeness_tells_says_so(extractor: Extractor, rules: Extractor) -> None:
    """A wording that no rule knows is heard; its fields name who decided them, and its evidence is whole words."""
    said = "Hob, front left. The jet's got half a kitchen in it."
    assert not rules.read(said).findings
    (heard,) = extractor.read(said).findings
    assert (heard.component, heard.condition, heard.status) == ("injector", "partly-blocked", "present")
    assert {why.rule for why in heard.why[:-1]} == {"taught"}
    assert heard.why[-1].rule.startswith("taught-alone")
    assert said[heard.evidence.start : heard.evidence.end] == heard.evidence.text
    assert not heard.evidence.text[0].isspace()


def test_the_weights_are_strictly_read() -> None:
    """Every kind has its table with a bias; a weight is a number with a point."""
    good = "".join(f"[{kind}]\nbias = 0.5\n" for kind in KINDS)
    assert joining.strict(good)[RULE] == {"bias": 0.5}
    for wrong in (good.replace("bias", "base", 1), good.replace("[alone]", "[other]"), good.replace("0.5", "1", 1)):
        with pytest.raises(ValueError, match=r"joining\.toml"):
            joining.strict(wrong)
