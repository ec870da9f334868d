"""What code can tell of a picture: not blank, nothing cut, no scrolling sideways, all that is pressed large enough."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image, ImageChops

if TYPE_CHECKING:
    from playwright.sync_api import Page

# A gloved finger, 15 mm at 96 px to the inch: what is pressed in the app at the machine is no smaller, either way.
TARGET_PX = 57

# Text is cut where its box is smaller than what is in it and hides the rest, or where the screen's edge goes through it
# and nothing around it scrolls. A box of a pixel is the usual way to have words for screen readers alone.
_CUTS = """(target) => {
  const wide = document.documentElement.clientWidth;
  const named = (element) => element.tagName.toLowerCase() + (element.id ? '#' + element.id : '')
    + [...element.classList].map((name) => '.' + name).join('')
    + ' "' + element.textContent.trim().replace(/\\s+/g, ' ').slice(0, 40) + '"';
  const ownText = (element) => [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
  const scrolls = (element) => {
    for (let box = element.parentElement; box && box !== document.body; box = box.parentElement) {
      if (['auto', 'scroll'].includes(getComputedStyle(box).overflowX)) return true;
    }
    return false;
  };
  // Only a link may be part of a line of text, with more of the sentence around it.
  const inRunningText = (element) => element.tagName === 'A' && getComputedStyle(element).display === 'inline'
    && element.parentElement.textContent.trim().length > element.textContent.trim().length;
  const found = [];
  if (document.documentElement.scrollWidth > wide + 1) {
    found.push(`scrolls sideways: ${document.documentElement.scrollWidth} px in ${wide} px`);
  }
  for (const element of document.body.querySelectorAll('*')) {
    if (!(element instanceof HTMLElement) || !ownText(element) || !element.checkVisibility()) continue;
    const box = element.getBoundingClientRect();
    if (box.width <= 1 || box.height <= 1) continue;
    const style = getComputedStyle(element);
    const hides = (side) => ['hidden', 'clip'].includes(side);
    if ((hides(style.overflowX) && element.scrollWidth > element.clientWidth + 1)
        || (hides(style.overflowY) && element.scrollHeight > element.clientHeight + 1)) {
      found.push('cut: ' + named(element));
    } else if ((box.right > wide + 1 || box.left < -1) && style.position !== 'absolute' && !scrolls(element)) {
      found.push('off the screen: ' + named(element));
    }
  }
  const pressable = 'a[href], button, input, select, textarea, summary, [role=slider]';
  for (const control of document.querySelectorAll(`#app :is(${pressable})`)) {
    // What is ticked, or opens the camera, is pressed by the words beside it.
    const beside = control.matches('[type=checkbox], [type=radio], [type=file]') && control.closest('label');
    const pressed = beside || control;
    if (!pressed.checkVisibility() || inRunningText(pressed)) continue;
    const { width, height } = pressed.getBoundingClientRect();
    if (Math.min(width, height) > 1 && Math.min(width, height) < target - 0.1) {
      found.push(`small: ${named(pressed)} ${width.toFixed(1)} by ${height.toFixed(1)} px`);
    }
  }
  if (!document.body.innerText.trim()) found.push('blank: not a word on it');
  return found;
}"""


def page_faults(page: Page) -> list[str]:
    """What is wrong with the page as it stands in the browser: blank, cut, wider than the screen, or hard to press."""
    return [str(fault) for fault in page.evaluate(_CUTS, TARGET_PX)]


def picture_faults(png: bytes) -> list[str]:
    """What is wrong with a picture of a screen: nothing but one colour."""
    return ["blank: one colour all over"] if _ink(Image.open(io.BytesIO(png))) is None else []


def sheet_faults(sheet: Image.Image, *, margin_px: int) -> list[str]:
    """What is wrong with a picture of a sheet of paper: blank, or with something in the margin, where it is cut."""
    ink = _ink(sheet)
    if ink is None:
        return ["blank: one colour all over"]
    left, top, right, bottom = ink
    inside = left >= margin_px and top >= margin_px and right <= sheet.width - margin_px
    return [] if inside and bottom <= sheet.height - margin_px else [f"reaches into the margin: {ink}"]


def _ink(image: Image.Image) -> tuple[int, int, int, int] | None:
    """The box of all that differs from the picture's first corner; nothing when all is one colour."""
    plain = image.convert("RGB")
    corner = plain.getpixel((0, 0))
    if not isinstance(corner, tuple):
        raise TypeError("an RGB picture has three values a pixel")
    return ImageChops.difference(plain, Image.new("RGB", plain.size, tuple(map(int, corner)))).getbbox()
