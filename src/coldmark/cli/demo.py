"""``coldmark demo``: an invented business to look around in, loaded into an empty data folder."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from coldmark.bench.errors import Refused
from coldmark.cli import Json, boot, print_json
from coldmark.records.folder import data_folder, demo_mark


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("demo")(demo)


def demo(
    if_empty: Annotated[
        bool, typer.Option("--if-empty", help="Do nothing, instead of refusing, where something is kept already.")
    ] = False,
    today: Annotated[str | None, typer.Option(help="The day the history ends before, like 2026-03-02.")] = None,
    seed: Annotated[int, typer.Option(help="Another number gives another history.")] = 1,
    as_json: Json = False,
) -> None:
    """Load an invented business with two years of history, for looking around on this machine alone."""
    boot.start()
    boot.migrate()
    from django.conf import settings  # heavy, and Django must be ready first

    from coldmark.demo import load as loading

    zone = ZoneInfo(settings.TIME_ZONE)
    day = _day(today, zone)
    folder, held = data_folder(), loading.standing()
    broken_off = demo_mark(folder).exists() and held != "demo"
    if broken_off:
        demo_mark(folder).unlink(missing_ok=True)
    if held == "demo" and not demo_mark(folder).exists():
        loading.renew_sign_in(folder)
    if if_empty and held != "empty":
        if as_json:
            print_json({"loaded": False, "holds": held})
        return
    if broken_off and held == "empty" and not as_json:
        typer.echo("An earlier loading was broken off; nothing of it was kept.")
    found = loading.load(folder, today=day, seed=seed, zone=zone)
    if as_json:
        told = {"loaded": True, "machines": found.machines, "facts": found.facts, "visits": found.visits}
        print_json(told | {"sign_ins": list(found.sign_ins), "password": found.password})
        return
    typer.echo(f"An invented business is loaded: {found.machines} machines, {found.facts} facts over two years.")
    typer.echo(f"  sign in  as {', '.join(found.sign_ins[:-1])} or {found.sign_ins[-1]}, with {found.password}")


def _day(told: str | None, zone: ZoneInfo) -> date:
    if told is None:
        return datetime.now(zone).date()
    try:
        return date.fromisoformat(told)
    except ValueError:
        raise Refused("demo.day", name="today", value=told[:40]) from None
