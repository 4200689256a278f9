"""`fieldnote audit`: many notebooks and bundles side by side, read only."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from fieldnote.audit.batch import Done, Listed
    from fieldnote.audit.gather import Progress
    from fieldnote.audit.picture import Picture
    from fieldnote.audit.worklist import Worklist

TABLES = (
    "bad gaps dangers questions outside contradictions unsaid unsaid-visits overdue parts unreviewed by-field by-engineer "
    "by-condition by-confidence agreement agreement-by-engineer faults review-time left-out"
).split()

PAGE = "Also write one page with pictures, for a browser."
WHOLE = "Also write every table whole: a workbook (.xlsx), or a folder of CSV."


class _Picture(click.Group):
    """`audit PATH...` without a name of its own is `audit picture PATH...`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if args and args[0] not in self.commands and args[0] not in ("-h", "--help"):
            args = ["picture", *args]
        return super().parse_args(ctx, args)


@click.group(cls=_Picture)
def command() -> None:
    """Many notebooks and bundles side by side. Nothing of them is ever written to.

    fieldnote audit PATH... looks at notebooks, bundles and folders of them; sample draws a fair sample; compare sets two
    runs of the machine beside each other. Exit 1 when something needs a person.
    """


@command.command(help="The whole picture: damage first, then danger, then everything else that needs a person.")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.option("--page", type=click.Path(path_type=Path), metavar="FILE", help=PAGE)
@click.option(
    "--tables",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help=WHOLE,
)
@click.option(
    "--parquet",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Also write visits, findings, readings as Parquet files.",
)
@click.option("--table", type=click.Choice(TABLES), help="One table, whole, instead of the picture.")
@click.option(
    "--most",
    type=click.IntRange(1),
    default=20,
    show_default=True,
    help="Rows of a long table; with --json, 200 or more.",
)
@click.option("--afresh", is_flag=True, help="Read everything again, whatever the index knows.")
@click.pass_context
def picture(
    ctx: click.Context,
    paths: tuple[Path, ...],
    as_json: bool,
    page: Path | None,
    tables: Path | None,
    parquet: Path | None,
    table: str | None,
    most: int,
    afresh: bool,
) -> int:
    from dataclasses import replace

    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.errors import INPUT

    with bootstrap.audit(settings.load(ctx.obj), paths, afresh=afresh, progress=_progress()) as made:
        drawn = made.picture(max(most, 200))
        for path in made.gathered.missing:
            output.complain(f"FN-301: {path}: there is no notebook and no bundle")
        if tables:
            bootstrap.audit_tables([made.table(name) for name in TABLES], tables)
        if parquet:
            bootstrap.audit_parquet(made, parquet, _progress())
        if table:
            drawn = replace(drawn, tables=(made.table(table),))
            most = drawn.tables[0].total
    if page:
        bootstrap.audit_page(drawn, page, "Audit")
    status = _show(drawn, most, as_json, cut=table is None)
    for written in (page, tables, parquet):
        if written:
            output.note(f"written: {written}")
    return INPUT if made.gathered.missing else status


def _show(drawn: Picture, most: int, as_json: bool, *, cut: bool = True) -> int:
    from fieldnote.audit import text
    from fieldnote.cli import output
    from fieldnote.errors import DONE, NO
    from fieldnote.records import to_plain

    if as_json:
        output.data(to_plain(drawn))
    else:
        for line in text.lines(drawn, most, cut=cut):
            output.say(output.one_line(line))
    return NO if drawn.attention else DONE


@command.command(help="Draw a fair sample of visits to look at, spread over engineers and risks.")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(path_type=Path))
@click.option("--size", type=click.IntRange(1), default=20, show_default=True, help="How many visits.")
@click.option(
    "--aql", metavar="PERCENT", help="Draw by an acceptance plan for this quality level (ISO 2859-1) instead."
)
@click.option("--level", default="II", show_default=True, help="General inspection level of the plan: I, II, III.")
@click.option("--each-engineer", is_flag=True, help="With --aql: each engineer's visits are a lot of their own.")
@click.option("--seed", type=click.IntRange(0), help="Draw as this number says; without it, by chance.")
@click.option("--since", type=click.DateTime(["%Y-%m-%d"]), help="Visits from this day on.")
@click.option("--until", type=click.DateTime(["%Y-%m-%d"]), help="Visits up to and with this day.")
@click.option("--keep", is_flag=True, help="Keep the list in your own notebook, so that decisions can be made on it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.pass_context
def sample(
    ctx: click.Context,
    paths: tuple[Path, ...],
    size: int,
    aql: str | None,
    level: str,
    each_engineer: bool,
    seed: int | None,
    since: datetime | None,
    until: datetime | None,
    keep: bool,
    as_json: bool,
) -> int:
    import secrets

    from fieldnote import bootstrap, settings
    from fieldnote.audit import sample, worklist

    chosen, seed = settings.load(ctx.obj), secrets.randbelow(10**9) if seed is None else seed
    with bootstrap.audit(chosen, paths, progress=_progress()) as made:
        days = (since.date() if since else None, until.date() if until else None)
        visits = sample.candidates(made.asking(), *days)
        if aql is None:
            drawn = sample.draw_size(visits, size, seed)
        else:
            drawn = sample.draw_plan(visits, aql, level, seed, each_engineer=each_engineer)
        audited = [one.path for one in made.gathered.found]
    listed = worklist.Worklist("", "", drawn, {})
    if keep:
        worklist.not_among(chosen.notebook, audited)
        with bootstrap.notebook(chosen, create=True) as own:
            listed = worklist.keep(own, drawn)
    return _list(listed, as_json)


@command.command(help="The sample that was kept last, with what was decided.")
@click.option("--sample", "wanted", metavar="ID", help="An earlier sample; the beginning of its id is enough.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.pass_context
def worklist(ctx: click.Context, wanted: str | None, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.audit.worklist import newest

    with bootstrap.notebook(settings.load(ctx.obj), write=False) as own:
        return _list(newest(own, wanted), as_json)


@command.command(
    help="Decide about one visit of a sample: its record is right, wrong or unclear. Kept in your own notebook."
)
@click.argument("number", type=int)
@click.argument("answer", type=click.Choice(["right", "wrong", "unclear"]))
@click.option("--note", default="", help="Why.")
@click.option("--by", help="Who decides; your name in the settings when not given.")
@click.option("--sample", "wanted", metavar="ID", help="An earlier sample; the beginning of its id is enough.")
@click.pass_context
def decide(ctx: click.Context, number: int, answer: str, note: str, by: str | None, wanted: str | None) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.audit import text
    from fieldnote.audit.worklist import decide, newest, outcomes
    from fieldnote.cli import output

    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen) as own:
        listed = decide(own, newest(own, wanted), number, answer, by or chosen.engineer, note)
    for one in outcomes(listed):
        output.say(text.outcome_line(one))
    return 0


@command.command(
    help="Two runs of the machine on the same recordings: what changed, finding by finding. Without NEW, the first reading of "
    "each visit in OLD is held beside its last."
)
@click.argument("old", metavar="OLD", type=click.Path(path_type=Path))
@click.argument("new", metavar="[NEW]", required=False, type=click.Path(path_type=Path))
@click.option("--most", type=click.IntRange(1), default=20, show_default=True, help="Rows of a long table.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, with every row.")
@click.option("--page", type=click.Path(path_type=Path), metavar="FILE", help=PAGE)
@click.option("--tables", type=click.Path(path_type=Path), metavar="FILE", help=WHOLE)
@click.pass_context
def compare(
    ctx: click.Context, old: Path, new: Path | None, most: int, as_json: bool, page: Path | None, tables: Path | None
) -> int:
    from fieldnote import bootstrap, settings

    drawn = bootstrap.audit_compare(settings.load(ctx.obj), old, new, _progress())
    if page:
        bootstrap.audit_page(drawn, page, "Two runs side by side")
    if tables:
        bootstrap.audit_tables(drawn.tables, tables)
    return _show(drawn, most, as_json)


@command.command(
    help="Sound to words for everything in notebooks, bundles and folders, in several processes or on several machines. What was "
    "done is never done again; it can be stopped and started at any moment. Nothing is put into the notebooks: fieldnote process "
    "--transcripts DIR does that, for each."
)
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(path_type=Path))
@click.option(
    "--output", required=True, type=click.Path(path_type=Path), metavar="DIR", help="Where results go, a file each."
)
@click.option("--model", metavar="M", help="Which weights: see fieldnote models.")
@click.option("--workers", type=click.IntRange(1), default=2, show_default=True, help="Processes on this machine.")
@click.option(
    "--fleet", "address", metavar="ADDRESS", help="A Dask scheduler: tls://HOST:PORT, or tcp:// on this machine."
)
@click.option(
    "--ca", type=click.Path(path_type=Path, exists=True), metavar="PEM", help="For --fleet: who signs certificates."
)
@click.option(
    "--cert", type=click.Path(path_type=Path, exists=True), metavar="PEM", help="For --fleet: your certificate."
)
@click.option("--key", type=click.Path(path_type=Path, exists=True), metavar="PEM", help="For --fleet: its key.")
@click.option("--again", is_flag=True, help="Take up again what failed.")
@click.pass_context
def transcribe(
    ctx: click.Context,
    paths: tuple[Path, ...],
    output: Path,
    model: str | None,
    workers: int,
    address: str | None,
    ca: Path | None,
    cert: Path | None,
    key: Path | None,
    again: bool,
) -> int:
    from dataclasses import replace

    from fieldnote import bootstrap, settings
    from fieldnote.audit.fleet import Link

    chosen = settings.load(ctx.obj)
    chosen = replace(chosen, model=model) if model else chosen
    link = Link(address, ca, cert, key) if address else None
    listed = bootstrap.batch_jobs(chosen, paths)
    left, done = bootstrap.batch(chosen, listed, output, workers=workers, link=link, again=again)
    return _follow(listed, left, done)


def _follow(listed: Listed, left: int, done: Iterable[Done]) -> int:
    from collections import Counter

    from fieldnote.cli import output
    from fieldnote.errors import DONE, INPUT

    for path, why in listed.left_out:
        output.complain(f"FN-301: {path}: {why}")
    counts, show, every = Counter[str](), _progress(), len(listed.jobs)
    for one in done:
        counts[one.status] += 1
        if one.status == "failed":
            output.complain(f"FN-301: {one.job.member or one.job.path}: {one.reason}")
        if show:
            show(counts.total(), left)
    before = every - left + counts["already"]
    output.say(f"{every} recordings: {counts['done']} done now, {before} before, {counts['failed']} failed")
    return INPUT if counts["failed"] or listed.left_out else DONE


def _list(listed: Worklist, as_json: bool) -> int:
    from fieldnote.audit import text
    from fieldnote.audit.worklist import outcomes
    from fieldnote.cli import output
    from fieldnote.records import to_plain

    if as_json:
        output.data(to_plain(listed) | {"outcomes": to_plain(outcomes(listed))})
        return 0
    for line in text.worklist_lines(listed):
        output.say(output.one_line(line))
    return 0


def _progress() -> Progress | None:
    """A counter on a terminal, nothing elsewhere."""
    import sys

    from fieldnote.cli import output

    if not (output.colourful() and output.lively()):
        return None

    def show(done: int, total: int) -> None:
        end = "\n" if done == total else ""
        print(f"\r{done} of {total} read", end=end, file=sys.stderr, flush=True)

    return show
