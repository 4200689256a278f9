"""The formula table of DEVELOPERS.md is the one the data gives. `python tests/docs/test_calculations.py` prints it anew."""

from pathlib import Path

from fieldnote.trade import tables
from fieldnote.trade.catalogue import Calculation, calculations

PAGE = Path(__file__).parent.parent.parent / "DEVELOPERS.md"


def table() -> str:
    """Every calculation with its results, formula and sources, as a Markdown table."""
    lines = ["| calculation | results | formula | source |", "|---|---|---|---|"]
    return "\n".join([*lines, *(row(name, spec) for name, spec in calculations().items())])


def row(name: str, spec: Calculation) -> str:
    """One calculation as a row."""
    results = ", ".join(f"{id_} {unit}".removesuffix(" 1") for id_, unit in spec.results.items())
    sources = "; ".join(tables.sources()[id_].title for id_ in spec.sources)
    return f"| `{name}` | {results} | {spec.formula} | {sources} |"


def test_formula_table_is_current():
    """DEVELOPERS.md shows the formula table as the data files give it."""
    assert table() in PAGE.read_text("utf-8")


if __name__ == "__main__":
    print(table())
