"""`fieldnote calc`: one calculation, by hand. Each calculation of the trade is a command of its own, made from its data."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import click

BY_HAND_GAS = "natural"
BY_HAND_REGION = "gb"


class _Calculations(click.Group):
    """A group whose commands are the calculations of the trade, with their inputs as options."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        from fieldnote.trade import catalogue

        return list(catalogue.calculations())

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command:
        from fieldnote.trade import catalogue

        return _command(cmd_name, catalogue.find(cmd_name))

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        from fieldnote.trade import catalogue

        with formatter.section("Calculations"):
            formatter.write_dl([(name, row.title) for name, row in catalogue.calculations().items()])


@click.group(cls=_Calculations, invoke_without_command=True)
@click.option("--list", "list_all", is_flag=True, help="Every calculation: inputs, formula, sources.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object for each calculation of --list.")
@click.pass_context
def command(ctx: click.Context, list_all: bool, as_json: bool) -> None:
    """One calculation, by hand. Shows formula, doubt, limit and source; never an all-clear.

    `fieldnote calc NAME --help` shows the inputs. Limits depend on region and date; without a trusted limit there is no
    verdict.
    """
    from fieldnote.cli import output

    if list_all:
        for row in listing():
            if as_json:
                output.data(row)
            else:
                output.say(listed(row))
    elif ctx.invoked_subcommand is None:
        output.say(ctx.get_help())


def _command(name: str, spec: Any) -> click.Command:
    """The command of one calculation: an option for each input, and those that all have."""
    inputs = [
        click.Option([f"--{key}"], metavar=row.unit or None, multiple=row.repeat, help=_help(row))
        for key, row in spec.inputs.items()
    ]
    unused = [] if "cv" in spec.inputs else [click.Option(["--cv"], hidden=True)]
    return click.Command(name, params=[*inputs, *unused, *_common()], callback=_callback(name), help=_text(spec))


def _help(row: Any) -> str:
    parts = [row.text, f"({', '.join(row.choices)})" if row.choices else "", f"[{row.by_hand}]" if row.by_hand else ""]
    return " ".join(part for part in [*parts, "[needed]" if row.needed else ""] if part) + "."


def _text(spec: Any) -> str:
    return f"{spec.title}.\n\n{spec.formula}\n\nA figure may carry its unit, for example 8inwg."


def _common() -> list[click.Parameter]:
    return [
        click.Option(["--gas"], help=f"natural, propane or butane [{BY_HAND_GAS}]."),
        click.Option(["--date", "on"], type=click.DateTime(["%Y-%m-%d"]), help="The day of the test [today]."),
        click.Option(["--edition"], help="The edition that was worked to, where two were in force."),
        click.Option(["--region"], help=f"Whose limits [{BY_HAND_REGION}, or the settings' region]."),
        click.Option(["--limits"], type=click.Path(path_type=Path), help="A file of your own limits."),
        click.Option(["--json", "as_json"], is_flag=True, help="One JSON object."),
    ]


def _callback(name: str) -> Any:
    @click.pass_context
    def run(ctx: click.Context, /, **options: Any) -> None:
        from fieldnote import settings
        from fieldnote.cli import output

        result = _worked_out(name, options, settings.load(ctx.obj))
        if options["as_json"]:
            output.data(_json(result))
        else:
            for line in lines_of(result):
                output.say(line)

    return run


def _worked_out(name: str, options: Mapping[str, Any], chosen: Any) -> Any:
    """The result for what was typed, with what was taken by hand said in its notes."""
    from dataclasses import replace

    from fieldnote import trade
    from fieldnote.trade import catalogue, limits

    spec = catalogue.find(name)
    inputs = {key: text for key in spec.inputs if (text := _typed(options.get(key.replace("-", "_"))))}
    taken = {key: row.by_hand for key, row in spec.inputs.items() if row.by_hand and key not in inputs}
    gas, region = options["gas"], options["region"] or chosen.region
    result = trade.calculate(
        name,
        {**inputs, **taken},
        on=(options["on"] or datetime.now()).date(),
        edition=options["edition"],
        region=region or BY_HAND_REGION,
        gas=gas or BY_HAND_GAS,
        limits=limits.load(options["limits"] or chosen.limits),
    )
    assumed = [f"taken by hand: {key} {value}" for key, value in taken.items()]
    assumed += [] if gas else [f"taken by hand: gas {BY_HAND_GAS}"]
    assumed += [] if region else [f"taken by hand: region {BY_HAND_REGION}"]
    assumed += [f"cv is not used by {name}"] if options.get("cv") and "cv" not in spec.inputs else []
    return replace(result, notes=(*result.notes, *assumed))


def _typed(value: Any) -> str:
    return " ".join(value) if isinstance(value, tuple) else value or ""


def _json(result: Any) -> dict[str, Any]:
    """The result as one JSON object: figures as numbers, everything else as text."""
    from fieldnote.records import to_plain

    plain: dict[str, Any] = to_plain(result)
    plain["results"] = {
        id_: {"value": float(one.value), "unit": one.unit, "plus_minus": _number(one.plus_minus)}
        for id_, one in result.results.items()
    }
    if result.limit:
        plain["limit"] |= {"low": _number(result.limit.low), "high": _number(result.limit.high)}
    return {key: plain[key] for key in plain if key not in ("from_readings", "appliance")}


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def lines_of(result: Any) -> list[str]:
    """The result for people. With a smell of gas the emergency steps stand before everything else."""
    notes = [f"  note: {note}" for note in result.notes]
    first, last = (notes, []) if result.inputs.get("smell") == "yes" else ([], notes)
    lines = [*first, f"{result.name}: {', '.join(f'{key} {value}' for key, value in result.inputs.items())}"]
    lines += [f"  {id_} {one.value} {_unit(one.unit)}{_doubt(one)}" for id_, one in result.results.items()]
    lines += [f"  formula: {result.formula}"]
    if result.limit:
        edition = f", {result.limit.edition}" if result.limit.edition else ""
        lines += [f"  limit: {result.limit.text}{edition} ({result.limit.source}; from {result.limit.from_date})"]
    lines += [f"  verdict: {result.verdict}{f' ({result.reason})' if result.reason else ''}"]
    lines += [f"  to settle it: {result.settle}"] if result.settle else []
    return [*lines, *last, *(f"  source: {line}" for line in result.sources)]


def _unit(unit: str) -> str:
    return "" if unit == "1" else unit


def _doubt(quantity: Any) -> str:
    return f" ± {quantity.plus_minus}" if quantity.plus_minus else ""


def listing() -> list[dict[str, Any]]:
    """Every calculation with its inputs, formula, results and sources."""
    from fieldnote.trade import catalogue, tables

    return [
        {
            "name": name,
            "title": row.title,
            "inputs": {
                key: {"unit": one.unit, "text": one.text, "needed": one.needed} for key, one in row.inputs.items()
            },
            "results": row.results,
            "formula": row.formula,
            "sources": [tables.sources()[id_].line() for id_ in row.sources],
        }
        for name, row in catalogue.calculations().items()
    ]


def listed(row: Mapping[str, Any]) -> str:
    """One calculation of the list for people."""
    inputs = " ".join(f"--{key}" if one["needed"] else f"[--{key}]" for key, one in row["inputs"].items())
    return f"{row['name']}: {row['title']}\n  {inputs}\n  {row['formula']}\n  source: {'; '.join(row['sources'])}"
