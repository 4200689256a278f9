"""The practice sets keep the readings, classes and follow-ups that were learnt from them."""

import importlib.util
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from fieldnote.extract import by_rules, plain

TESTS = Path(__file__).parents[1]
FLOORS = {
    "dev": (0.99, 0.98),
    "dev-2": (0.99, 0.95),
    "dev-3": (0.96, 0.90),
    "dev-4": (0.96, 0.93),
    "dev-5": (0.98, 0.97),
    "dev-6": (0.98, 0.93),
}


def _scorer() -> ModuleType:
    spec = importlib.util.spec_from_file_location("score", TESTS / "score.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _f1(scorer: ModuleType, cases: list[dict[str, Any]], outs: list[dict[str, Any]], *, phase: bool) -> float:
    tally = scorer.Tally()
    for gold, out in zip(cases, outs, strict=True):

        def same(one: Any, other: Any) -> bool:
            fits = not phase or scorer.accepts(one.get("phase"), other.get("phase"))
            return bool(fits and scorer.same_reading(one, other))

        tally.add(gold["readings"], out["readings"], scorer.match(gold["readings"], out["readings"], same))
    return float(tally.row()["f1"])


@pytest.mark.parametrize(("name", "floors"), FLOORS.items())
def test_readings_of_a_practice_set(name: str, floors: tuple[float, float]) -> None:
    """The F1 of readings, and of readings with their phase, stays at least where it was."""
    lines = (TESTS / "cases" / f"{name}.jsonl").read_text("utf-8").splitlines()
    cases = [json.loads(line) for line in lines]
    outs = [plain.extraction(by_rules(case["text"])) for case in cases]
    scorer = _scorer()
    assert _f1(scorer, cases, outs, phase=False) >= floors[0]
    assert _f1(scorer, cases, outs, phase=True) >= floors[1]
