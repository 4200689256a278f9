"""`fieldnote keys`: the signing key of this engineer, and the keys that others handed over."""

from __future__ import annotations

from pathlib import Path

import click


@click.group(help="The signing key of this engineer, its public part, its end; and keys that others handed over.")
def command() -> None:
    pass


@command.command(help="Make a signing key. The private part stays on this machine, for its owner alone.")
@click.option("--engineer", metavar="NAME", help="Whose key it is; else the engineer of the settings.")
@click.pass_context
def new(ctx: click.Context, engineer: str | None) -> int:
    from datetime import UTC, datetime

    from fieldnote import settings
    from fieldnote.bundle import KeyPair
    from fieldnote.cli import output
    from fieldnote.errors import UsageProblem

    chosen = settings.load(ctx.obj)
    name = engineer or chosen.engineer
    if not name.strip():
        raise UsageProblem("FN-201", what="a key", reason="say whose it is with --engineer NAME")
    if not name.isprintable():
        raise UsageProblem("FN-201", what="a key", reason="a name is one line of plain characters")
    pair = KeyPair.new(chosen.keys, name, datetime.now(UTC))
    output.say(f"key {pair.public.id} of {name}")
    output.say(f"Give this file to the supervisor, by hand: {chosen.keys / 'public-key.json'}")
    return 0


@command.command(help="Show this engineer's public key, and those that were handed over.")
@click.option("--json", "as_json", is_flag=True)
@click.pass_context
def show(ctx: click.Context, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.bundle import read_public
    from fieldnote.cli import output
    from fieldnote.errors import NO
    from fieldnote.records import to_plain

    chosen = settings.load(ctx.obj)
    mine = chosen.keys / "public-key.json"
    own = [read_public(mine)] if mine.exists() else []
    known = [key for key in bootstrap.keyring(chosen).keys.values() if key.id not in {one.id for one in own}]
    for whose, key in [*(("mine", key) for key in own), *(("handed over", key) for key in known)]:
        if as_json:
            output.data({"whose": whose, "id": key.id, **to_plain(key)})
        else:
            end = f", withdrawn {key.withdrawn_at:%d %b %Y}: {key.reason}" if key.withdrawn_at else ""
            output.say(f"{key.id}  {whose}  {key.engineer}, since {key.made_at:%d %b %Y}{end}")
    if not own:
        output.note("there is no key of this engineer here: fieldnote keys new makes one")
    return 0 if own or known else NO


@command.command(help="End this engineer's key: what it signs from now on counts for nothing. Hand over the notice.")
@click.option("--reason", required=True, metavar="TEXT")
@click.pass_context
def withdraw(ctx: click.Context, reason: str) -> int:
    from datetime import UTC, datetime

    from fieldnote import settings
    from fieldnote.bundle import KeyPair
    from fieldnote.cli import output
    from fieldnote.errors import UsageProblem

    if not reason.strip():
        raise UsageProblem("FN-201", what="ending a key", reason="say why with --reason TEXT")
    chosen = settings.load(ctx.obj)
    ended = KeyPair.load(chosen.keys).withdraw(chosen.keys, datetime.now(UTC), reason)
    output.say(f"key {ended.id} is withdrawn")
    output.say(f"Give this notice to the supervisor: {chosen.keys / f'withdrawn-{ended.id}.json'}")
    return 0


@command.command(help="Remember a public key, or a withdrawal, that an engineer handed over in person.")
@click.argument("file", type=click.Path(path_type=Path, readable=False))
@click.pass_context
def trust(ctx: click.Context, file: Path) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.bundle import read_public
    from fieldnote.cli import output

    chosen = settings.load(ctx.obj)
    key = read_public(file)
    bootstrap.keyring(chosen).trusting(key).save(bootstrap.keyring_path(chosen))
    output.say(f"key {key.id} of {key.engineer} is known" + (", and its end" if key.withdrawn_at else ""))
    return 0
