"""`fieldnote calc` as a person types it."""

import json

import pytest
from click.testing import CliRunner

from fieldnote.cli import cli, main
from fieldnote.trade import catalogue

GAS_RATE = ["gas-rate", "--first", "8.436", "--second", "8.524", "--seconds", "122"]


def calc(*words: str) -> str:
    """What `fieldnote calc` prints."""
    done = CliRunner().invoke(cli, ["calc", *words], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def status(capsys, *words: str) -> tuple[int, str]:
    """Exit status and standard error of `fieldnote calc`."""
    with pytest.raises(SystemExit) as left:
        main(["calc", *words])
    return left.value.code, capsys.readouterr().err


def test_json_shape():
    """One object with name, inputs, results with value, unit and doubt, formula, limit, verdict, sources, notes."""
    result = json.loads(calc(*GAS_RATE, "--json"))
    assert result["results"]["gas-rate"]["unit"] == "m3/h"
    assert result["results"]["gas-rate"]["value"] == pytest.approx(2.597, rel=0.001)
    assert result["results"]["gas-rate"]["plus_minus"] > 0
    assert result["verdict"] == "no-verdict" and result["limit"] is None
    assert {
        "name",
        "inputs",
        "results",
        "formula",
        "limit",
        "verdict",
        "sources",
        "notes",
        "reason",
        "settle",
    } <= result.keys()


def test_what_is_taken_by_hand_is_printed():
    """Gas, region and a test's two minutes that were not typed are printed as taken."""
    notes = json.loads(calc("tightness", "--drop", "1", "--json"))["notes"]
    assert {"taken by hand: gas natural", "taken by hand: region gb", "taken by hand: seconds 120"} <= set(notes)
    given = calc("tightness", "--drop", "1", "--gas", "propane", "--region", "gb", "--seconds", "130")
    assert "taken by hand" not in given


def test_list_shows_every_calculation_with_its_source():
    """`--list` names each calculation with inputs, formula and source; as JSON too."""
    printed = calc("--list")
    rows = [json.loads(line) for line in calc("--list", "--json").splitlines()]
    assert [row["name"] for row in rows] == list(catalogue.calculations())
    for row in rows:
        assert row["formula"] in printed and row["sources"] and all(source in printed for source in row["sources"])


def test_every_calculation_has_help():
    """Each calculation shows its inputs."""
    for name, row in catalogue.calculations().items():
        text = calc(name, "--help")
        assert all(f"--{key}" in text for key in row.inputs)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["nosuch"], "FN-202"),
        (["gas-rate", "--first", "1"], "FN-203"),
        ([*GAS_RATE[:-1], "0"], "seconds 0"),
        ([*GAS_RATE[:-1], "-5"], "seconds -5"),
        ([*GAS_RATE[:-1], "nan"], "no figure"),
        ([*GAS_RATE[:-1], "1e999"], "seconds"),
        (["gas-rate", "--first", "8,436", "--second", "8.5", "--seconds", "120"], "decimal point"),
        (["gas-rate", "--first", "8.436", "--second", "8.5", "--seconds", "9 mbar"], "different things"),
        (["gas-rate", "--first", "9", "--second", "8", "--seconds", "120"], "lower than"),
        (["combustion", "--co", "20", "--co2", "0.03"], "fresh air"),
        (["combustion", "--co", "20", "--co2", "50"], "co2 50"),
        (["combustion", "--co", "20", "--co2", "9", "--appliance", "kettle"], "appliance"),
        ([*GAS_RATE, "--gas", "steam"], "steam"),
        ([*GAS_RATE, "--edition", "77"], "77"),
        (["installation-volume", "--meter", "G4", "--pipe", "22"], "SIZE:METRES"),
        (["installation-volume", "--meter", "G4", "--pipe", "23:4"], "pipe 23"),
        (["earth-continuity", "--ohm", "0.1", "--flex-length", "2"], "flex-area"),
        (["tightness", "--start", "20"], "end"),
        (["gas-rate", "--first", "0ft3", "--second", "1", "--seconds", "120"], "one meter has one unit"),
        (["gas-rate", "--first", "0ft3", "--second", "1ft3", "--seconds", "120"], "resolution"),
        (["tightness", "--start", "20", "--end", "19", "--drop", "3"], "drop"),
        ([*GAS_RATE, "--nosuch", "1"], "nosuch"),
    ],
)
def test_wrong_inputs_are_refused_by_name(capsys, words, says):
    """What is impossible, unknown or missing ends with status 2 and one line that names it."""
    code, err = status(capsys, *words)
    assert code == 2 and says in err and err.count("\n") == 1


def test_unlikely_inputs_are_worked_out_with_a_note():
    """A run of ten seconds is worked out, with a note that it is unlikely."""
    assert "unlikely: seconds 10 s" in calc(*GAS_RATE[:-1], "10")


def test_figures_may_carry_units():
    """8 inches of water are 19.93 mbar; cubic feet are read as cubic feet."""
    in_water = json.loads(calc("injector", "--bore", "1", "--pressure", "8inwg", "--json"))["results"]["gas-rate"][
        "value"
    ]
    plain = json.loads(calc("injector", "--bore", "1", "--pressure", "19.927113", "--json"))["results"]["gas-rate"][
        "value"
    ]
    assert in_water == pytest.approx(plain)
    feet = json.loads(
        calc(
            "gas-rate", "--first", "0 ft3", "--second", "1 ft3", "--resolution", "0.1ft3", "--seconds", "120", "--json"
        )
    )
    assert feet["results"]["gas-rate"]["value"] == pytest.approx(0.8495, rel=0.001)


def test_a_smell_of_gas_that_was_typed_comes_first():
    """A typed smell of gas brings the emergency steps before the figures."""
    lines = calc("tightness", "--drop", "1", "--smell", "yes").splitlines()
    assert "these steps come before anything else" in lines[0] and "no flames" in lines[1]
    assert "no flames" in calc("tightness", "--smell", "yes").splitlines()[1]


def test_calorific_value_of_your_own():
    """`--cv` replaces the usual calorific value; where it plays no part that is said."""
    heat = json.loads(calc(*GAS_RATE, "--cv", "39.5", "--json"))["results"]["heat-input-gross"]["value"]
    assert heat == pytest.approx(2.59672 * 39.5 / 3.6, rel=1e-4)
    assert "cv is not used" in calc("supply-voltage", "--volts", "230", "--cv", "39.5")


def test_own_limits_by_option(tmp_path, capsys):
    """`--limits` lays a file of one's own on top; a broken one ends with status 3 and one line."""
    path = tmp_path / "own.toml"
    path.write_text(
        'region = "gb"\ntitle = "ours"\n[[limit]]\nid = "own"\nquantity = "hold-in-time"\ntext = "ours"\nunit = "s"\n'
        'high = 10\nfrom = 2020-01-01\nsource = "practice"\n',
        "utf-8",
    )
    words = ["flame-supervision", "--hold-in", "15"]
    assert "verdict: outside" in calc(*words, "--limits", str(path))
    assert "verdict: no-verdict" in calc(*words)
    path.write_text("region", "utf-8")
    code, err = status(capsys, *words, "--limits", str(path))
    assert code == 3 and str(path) in err and err.count("\n") == 1
