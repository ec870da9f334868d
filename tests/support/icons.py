"""The app's icons, made from the mark: ``python -m tests.support.icons FOLDER`` draws them beside it, by Chromium."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from tests.support.chromium import chromium, launched

MARK = Path(__file__).parents[2] / "src/coldmark/web/static/web/mark.svg"
FIELD = "#14263d"


@dataclass(frozen=True)
class Icon:
    """An icon: its size, how much of its height the mark has, and whether its corners are round.

    What a phone cuts to a shape of its own has no corners, and the mark within the middle four fifths.
    """

    name: str
    size: int
    share: float
    round: bool = True


ICONS = (
    Icon("icon-192.png", 192, 0.74),
    Icon("icon-512.png", 512, 0.74),
    Icon("icon-512-inset.png", 512, 0.56, round=False),
)


def page_of(icon: Icon) -> str:
    """A page that shows nothing but the icon."""
    height = round(icon.size * icon.share)
    mark = MARK.read_text(encoding="utf-8").replace('width="20" height="32"', f'height="{height}"')
    corner = round(icon.size * 0.2) if icon.round else 0
    return (
        "<style>html,body{margin:0;background:transparent}"
        f"div{{width:{icon.size}px;height:{icon.size}px;display:grid;place-items:center;background:{FIELD};"
        f"border-radius:{corner}px}}</style><div>{mark}</div>"
    )


def draw(folder: Path) -> None:
    """Draw all icons into a folder."""
    path = chromium()
    if path is None:
        raise SystemExit("no Chromium to draw with")
    with launched(path) as browser:
        for icon in ICONS:
            page = browser.new_page(viewport={"width": icon.size, "height": icon.size})
            page.set_content(page_of(icon))
            page.screenshot(path=folder / icon.name, omit_background=True)
            page.close()


if __name__ == "__main__":
    draw(Path(sys.argv[1]))
