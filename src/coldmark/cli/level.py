"""``coldmark level SHEET``: what a reading of the oil level says, in two sentences, then the working."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from coldmark.cli import Json
from coldmark.cli.telling import Units, UnitsOption, tell, text_of

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("level")(level)


def _option(text: str, *names: str) -> Any:
    return typer.Option(*names, help=text)


def level(
    sheet: Annotated[Path, typer.Argument(help="The machine's data sheet, a TOML file.")],
    reading: Annotated[str, _option("0 at the lower mark, 1 at the upper; or below, above.", "--reading")],
    oil_c: Annotated[str | None, _option("Temperature of the oil in the tank, °C.", "--oil-c")] = None,
    oil_f: Annotated[str | None, _option("The same, °F.", "--oil-f")] = None,
    warmth: Annotated[str | None, _option("Instead: as_the_air, hand_warm or too_hot_to_hold.", "--warmth")] = None,
    posture: Annotated[str | None, _option("A posture of the sheet.", "--posture")] = None,
    rod: Annotated[list[str] | None, _option("Instead, for each rod: NAME=SHARE, 0 in, 1 out.", "--rod")] = None,
    air_c: Annotated[str | None, _option("Air temperature, °C.", "--air-c")] = None,
    coldest_c: Annotated[str | None, _option("Coldest start to reckon with, °C.", "--coldest-c")] = None,
    hot_c: Annotated[str | None, _option("Working temperature, °C; else the sheet's.", "--hot-c")] = None,
    engine: Annotated[str | None, _option("stopped or idling, while reading.", "--engine")] = None,
    settled_min: Annotated[str | None, _option("Minutes since the engine stopped.", "--settled-min")] = None,
    foam: Annotated[bool, _option("There is foam on the oil.", "--foam")] = False,
    cannot_move: Annotated[bool, _option("The machine cannot be moved.", "--cannot-move")] = False,
    inside: Annotated[Path | None, _option("The oil inside, a TOML file.", "--oil")] = None,
    units: UnitsOption = Units.METRIC,
    as_json: Json = False,
) -> None:
    """Say how much oil to add or drain off, and where it will stand hot."""
    from coldmark.bench import catalogue  # pulls in the whole bench, so only when it is run

    raw: dict[str, object] = {
        "sheet": text_of(sheet, "sheet"),
        "reading": reading,
        "warmth": warmth,
        "posture": posture,
        "air_c": air_c,
        "coldest_c": coldest_c,
        "hot_c": hot_c,
        "engine": engine,
        "settled_min": settled_min,
        "foam": foam,
        "cannot_move": cannot_move,
    }
    raw |= {name: value for name, value in (("oil_c", oil_c), ("oil_f", oil_f)) if value is not None}
    if rod:
        raw["rods"] = [one.partition("=")[::2] for one in rod]
    if inside is not None:
        raw["inside"] = text_of(inside, "oil")
    tell(catalogue.run("level", raw, units.value), units, as_json=as_json, working_first=True)
