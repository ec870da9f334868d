"""Turn plain data and a Typst template into PDF bytes: same data and moment, same bytes."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import asdict, is_dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coldmark.papers.letters import printable

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

__all__ = ["pdf"]

HERE = Path(__file__).parent


def pdf(
    template: str,
    data: DataclassInstance,
    *,
    labels: Mapping[str, str],
    pictures: Mapping[str, bytes] | None = None,
    issued: datetime,
) -> bytes:
    """Return the PDF of ``template`` filled with ``data``, accessible and fit for keeping (PDF/UA-1, PDF/A-2a).

    Parameters
    ----------
    template
        Name of a file in ``templates``, without its ending.
    data
        A frozen dataclass; the template reads it as JSON.
    labels
        The fixed words of the paper in the reader's language.
    pictures
        Photos by name, JPEG bytes; the data speaks of them by these names. One that cannot be drawn is left out, so
        that a damaged photo keeps nobody from a report.
    issued
        The moment of issue; it is the only time in the file.
    """
    import typst  # 3 ms, and only who prints pays it

    if not is_dataclass(data):
        raise TypeError(f"a paper is made from a dataclass, not from {type(data).__name__}")
    content: dict[str, Any] = {"data": printable(asdict(data)), "labels": dict(labels)}
    photos = dict(pictures or {})
    try:
        return _set(template, content, photos, issued)
    except typst.TypstError:
        bad = {name for name, photo in photos.items() if not _draws(photo, issued)}
        if not bad:
            raise
    good = {name: photo for name, photo in photos.items() if name not in bad}
    return _set(template, _without(content, bad), good, issued)


def _draws(photo: bytes, issued: datetime) -> bool:
    """Whether a paper with this photo alone can be set."""
    import typst  # as above

    try:
        _set("photo", {}, {"photo.jpg": photo}, issued)
    except typst.TypstError:
        return False
    return True


def _without(value: Any, names: set[str]) -> Any:
    """Plain data without these names wherever it lists them."""
    if isinstance(value, Mapping):
        return {key: _without(one, names) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_without(one, names) for one in value if not (isinstance(one, str) and one in names)]
    return value


def _set(template: str, content: Mapping[str, Any], photos: Mapping[str, bytes], issued: datetime) -> bytes:
    import typst  # as above

    with tempfile.TemporaryDirectory(prefix="coldmark-paper-") as folder:
        root = Path(folder)
        for source in (HERE / "templates").glob("*.typ"):
            shutil.copy(source, root / source.name)
        (root / "data.json").write_text(json.dumps(content, ensure_ascii=False), encoding="utf-8")
        for name, photo in photos.items():
            (root / name).write_bytes(photo)
        made = typst.compile(
            str(root / f"{template}.typ"),
            root=str(root),
            font_paths=[str(HERE / "fonts")],
            ignore_system_fonts=True,
            format="pdf",
            pdf_standards=["a-2a", "ua-1"],
            timestamp=int(issued.timestamp()),
        )
    if not isinstance(made, bytes):
        raise TypeError("a paper comes as one file")
    return made
