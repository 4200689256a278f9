"""Fair samples: nobody chooses, everybody can check, plans are those of the standard, decisions stay with the supervisor."""

import hashlib
from collections import Counter
from dataclasses import replace
from math import ceil, floor
from pathlib import Path

import pytest
from click.testing import CliRunner
from scipy import stats

from fieldnote.audit import text, worklist
from fieldnote.audit.plans import chance_of_acceptance, levels, plan
from fieldnote.audit.sample import EVERYBODY, Candidate, candidates, draw_plan, draw_size, spread
from fieldnote.cli import cli
from fieldnote.errors import UsageProblem
from fieldnote.notebook import Notebook
from tests.audit.fleet import Plan, fleet

# ISO 2859-1:1999, Tables 1 and 2-A, which for these are those of MIL-STD-105E (1989), Tables I and II-A; cited from memory
PUBLISHED = [
    # lot, level, AQL -> letter, sample, accept
    (1000, "II", "1.0", "J", 80, 2),
    (1000, "II", "2.5", "J", 80, 5),
    (1000, "II", "4.0", "J", 80, 7),
    (1000, "II", "0.15", "J", 80, 0),
    (4000, "II", "0.65", "L", 200, 3),
    (4000, "II", "1.5", "L", 200, 7),
    (500, "II", "0.25", "H", 50, 0),
    (500, "II", "2.5", "H", 50, 3),
    (500, "II", "0.40", "G", 32, 0),  # the arrow points up
    (500, "II", "0.65", "J", 80, 1),  # the arrow points down
    (120, "II", "2.5", "F", 20, 1),
    (120, "II", "6.5", "F", 20, 3),
    (120, "II", "0.65", "F", 20, 0),
    (30, "I", "6.5", "D", 8, 1),  # letter C; the arrow points down
    (2000, "III", "1.0", "L", 200, 5),
    (200_000, "II", "2.5", "N", 500, 21),  # letter P; the arrow points back to the last plan of the column
]


@pytest.mark.parametrize(("lot", "level", "aql", "letter", "size", "accept"), PUBLISHED)
def test_plans_of_the_standard(lot, level, aql, letter, size, accept):
    """Code letter, sample size and acceptance number are those that the standard prints."""
    found = plan(lot, aql, level)
    assert (found.letter, found.size, found.accept, found.reject) == (letter, size, accept, accept + 1)


@pytest.mark.parametrize("aql", levels())
def test_plans_protect_what_they_promise(aql):
    """A lot that is as good as its quality level is accepted nearly always, one five times as bad mostly not (scipy's
    hypergeometric distribution; the standard's producer's risk stays below about 13 % at the quality level)."""
    for lot in (10, 60, 400, 2_000, 20_000):
        one = plan(lot, aql)
        wrong = floor(lot * float(aql) / 100)
        for number in {wrong, min(lot, 5 * wrong), lot}:
            expected = stats.hypergeom.cdf(one.accept, lot, number, one.size)
            assert chance_of_acceptance(one, number) == pytest.approx(expected, abs=1e-9)
        assert chance_of_acceptance(one, wrong) > 0.87
        assert chance_of_acceptance(one, lot) == (1 if one.accept >= one.size else 0)


@pytest.mark.parametrize(
    ("lot", "aql", "level"),
    [(100, "3", "II"), (100, "x", "II"), (100, "nan", "I"), (100, "1.0", "IV"), (1, "1.0", "I")],
)
def test_plans_that_are_none(lot, aql, level):
    """What the standard has no plan for is refused, never guessed."""
    with pytest.raises(UsageProblem):
        plan(lot, aql, level)


def crowd(counts: dict[tuple[str, str], int]) -> list[Candidate]:
    """Visits of engineers and risks, as many as said."""
    return [
        Candidate(
            hashlib.sha256(f"{who}{risk}{n}".encode()).hexdigest()[:20], f"{who}-{n}", who, "2026-09-01", risk, "x"
        )
        for (who, risk), count in counts.items()
        for n in range(count)
    ]


CROWD = {
    ("A", "other"): 40,
    ("A", "at-risk"): 3,
    ("B", "other"): 25,
    ("B", "outside"): 8,
    ("C", "at-risk"): 1,
    ("C", "other"): 23,
}


def test_every_visit_is_as_likely_as_any_other():
    """Over many seeds each visit is drawn equally often (chi-square against equal shares, scipy)."""
    visits = crowd(CROWD)
    drawn = Counter(one.visit for seed in range(2_000) for one in spread(visits, 10, seed))
    assert sum(drawn.values()) == 20_000
    assert stats.chisquare([drawn[one.visit] for one in visits]).pvalue > 0.01


@pytest.mark.parametrize("seed", range(20))
def test_each_stratum_gets_its_share(seed):
    """Of each engineer and risk the sample holds its share, rounded up or down, and no visit twice."""
    visits = crowd(CROWD)
    drawn = spread(visits, 20, seed)
    assert len({one.visit for one in drawn}) == 20
    found = Counter((one.engineer, one.risk) for one in drawn)
    for stratum, count in CROWD.items():
        assert floor(count * 0.2) <= found[stratum] <= ceil(count * 0.2)


def test_a_seed_tells_the_whole_list():
    """The same seed gives the same list from any order of visits; another seed another; all of them when all are asked for."""
    visits = crowd(CROWD)
    assert draw_size(visits, 12, 7) == draw_size(visits[::-1], 12, 7)
    assert draw_size(visits, 12, 7).drawn != draw_size(visits, 12, 8).drawn
    assert {one.candidate for one in draw_size(visits, 500, 7).drawn} == set(visits)
    with pytest.raises(UsageProblem):
        draw_size([], 5, 1)


def test_a_work_list_says_where_to_look():
    """The list has each place whole, however long its path, and its lots in the order of their names."""
    long = [replace(one, path=f"/{'a folder with a long name/' * 6}{one.ref}/notebook") for one in crowd(CROWD)]
    drawn = draw_plan(long, "6.5", "II", 3, each_engineer=True)
    told = list(text.worklist_lines(worklist.Worklist("", "", drawn, {})))
    assert all(any(one.candidate.path in line for line in told) for one in drawn.drawn)
    lots = [line.partition(":")[0] for line in told if "not accepted from" in line]
    assert lots == sorted(lots) and len(lots) > 1


def test_a_lot_for_each_engineer():
    """Each engineer's visits are a lot with a plan of its own."""
    drawn = draw_plan(crowd(CROWD), "6.5", "II", 3, each_engineer=True)
    assert drawn.sizes == {"A": 43, "B": 33, "C": 24}
    sizes = Counter(one.lot for one in drawn.drawn)
    assert sizes == {name: plan(size, "6.5").size for name, size in drawn.sizes.items()}
    assert all(one.lot == one.candidate.engineer for one in drawn.drawn)


def test_what_follows_from_decisions(tmp_path):
    """A lot is accepted when all are decided and few enough are wrong, not accepted as soon as too many are; unclear is open."""
    visits = crowd({("A", "other"): 30})
    with Notebook.open(tmp_path / "own", create=True) as own:
        listed = worklist.keep(own, draw_plan(visits, "6.5", "II", 1))
        one = listed.sample.plans[EVERYBODY]
        assert (one.size, one.accept) == (8, 1)
        for number in range(1, 8):
            listed = worklist.decide(own, listed, number, "right", "S. Visor")
        assert worklist.outcomes(listed)[0].verdict == "open"
        listed = worklist.decide(own, listed, 8, "unclear", "S. Visor")
        assert worklist.outcomes(listed)[0].verdict == "open"
        listed = worklist.decide(own, listed, 8, "wrong", "S. Visor", "value misread")
        assert worklist.outcomes(listed)[0].verdict == "accepted"
        assert worklist.outcomes(listed)[0].wrong[:2] == (1, 8)
        listed = worklist.decide(own, listed, 3, "wrong", "S. Visor")
        assert worklist.outcomes(listed)[0].verdict == "not accepted"
        assert worklist.newest(own, listed.id[:6]) == listed
        assert len([*own.entries(kind=worklist.DECISION)]) == 10
        with pytest.raises(UsageProblem):
            worklist.decide(own, listed, 9, "right", "S. Visor")
        with pytest.raises(UsageProblem):
            worklist.newest(own, "zz")


def state(folder: Path) -> list:
    """Every file of a folder with its bytes and time."""
    return [(p, p.stat().st_mtime_ns, p.read_bytes() if p.is_file() else b"") for p in sorted(folder.rglob("*"))]


def test_candidates_are_visits_with_anything_to_look_at(tmp_path, look):
    """Visits of some days only, when asked; nobody's visit twice."""
    from datetime import date

    truths = fleet(tmp_path / "fleet", [Plan("A. One", visits=12, findings=2), Plan("B. Two", visits=3, findings=2)])
    asking = look(tmp_path / "fleet").asking()
    assert sorted(one.ref for one in candidates(asking)) == sorted(truths[0].visits + truths[1].visits)
    some = candidates(asking, date(2026, 9, 2), date(2026, 9, 2))
    assert some and {one.day for one in some} == {"2026-09-02"}


def test_decisions_are_kept_with_the_supervisor(tmp_path, monkeypatch):
    """The command keeps sample and decisions in the supervisor's own notebook; not a byte changes where it looked, and a
    notebook that is audited is refused as one's own."""
    monkeypatch.setenv("FIELDNOTE_HOME", str(tmp_path / "home"))
    fleet(tmp_path / "fleet", [Plan("A. One", visits=4, findings=2), Plan("B. Two", visits=3, findings=2)])
    before, own, run = state(tmp_path / "fleet"), str(tmp_path / "own"), CliRunner().invoke
    drawn = run(
        cli, ["--notebook", own, "audit", "sample", str(tmp_path / "fleet"), "--size", "3", "--seed", "5", "--keep"]
    )
    assert drawn.exit_code == 0 and "Seed 5" in drawn.output
    decided = run(
        cli, ["--notebook", own, "audit", "decide", "2", "wrong", "--by", "S. Visor", "--note", "no burner named"]
    )
    assert decided.output.startswith("everybody: 1 wrong, 2 left")
    listed = run(cli, ["--notebook", own, "audit", "worklist"])
    assert "wrong (S. Visor): no burner named" in listed.output
    engineer = next((tmp_path / "fleet").glob("0000*")) / "notebook"
    refused = run(cli, ["--notebook", str(engineer), "audit", "sample", str(tmp_path / "fleet"), "--keep"])
    assert isinstance(refused.exception, UsageProblem)
    assert state(tmp_path / "fleet") == before
