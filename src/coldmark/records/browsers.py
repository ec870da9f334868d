"""What a browser and its device are called in plain words, from what it calls itself."""

from __future__ import annotations

__all__ = ["browser_name"]

# In this order: nearly every browser also calls itself by the names of others that come after it here.
_BROWSERS = (
    ("Edg/", "Edge"),
    ("EdgA/", "Edge"),
    ("EdgiOS/", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser/", "Samsung's browser"),
    ("FxiOS/", "Firefox"),
    ("Firefox/", "Firefox"),
    ("CriOS/", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
)
_DEVICES = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("CrOS", "Chromebook"),
    ("Windows", "Windows"),
    ("Macintosh", "Mac"),
    ("Linux", "Linux"),
)
LONGEST = 120


def browser_name(told: str) -> str:
    """Return ``Chrome on Android`` for what a browser sends along as its name; what is no such line stays as it is.

    >>> browser_name("Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 Chrome/140.0.0.0 Mobile Safari/537.36")
    'Chrome on Android'
    >>> browser_name("Chrome on Android")
    'Chrome on Android'
    """
    told = told.strip()
    if not told.startswith(("Mozilla/", "Opera/")):
        return told[:LONGEST]
    browser = next((name for mark, name in _BROWSERS if mark in told), "A browser")
    device = next((name for mark, name in _DEVICES if mark in told), "")
    return f"{browser} on {device}" if device else browser
