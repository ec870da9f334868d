"""What a browser would send of a form as it stands on a page."""

from __future__ import annotations

from html.parser import HTMLParser

__all__ = ["typed_in"]


class _Form(HTMLParser):
    def __init__(self, of_class: str) -> None:
        super().__init__()
        self.of_class = of_class
        self.inside = False
        self.told: dict[str, str] = {}
        self.select: str | None = None
        self.area: str | None = None

    def handle_starttag(self, tag: str, pairs: list[tuple[str, str | None]]) -> None:
        attrs = dict(pairs)
        if tag == "form":
            self.inside = self.of_class in (attrs.get("class") or "").split()
        if not self.inside:
            return
        name = attrs.get("name") or ""
        if tag == "input" and attrs.get("type") not in {"checkbox", "radio"}:
            self.told[name] = attrs.get("value") or ""
        elif tag == "input" and "checked" in attrs:
            self.told[name] = attrs.get("value") or "on"
        elif tag == "select":
            self.select = name
        elif tag == "option" and self.select is not None:
            if self.select not in self.told or "selected" in attrs:
                self.told[self.select] = attrs.get("value") or ""
        elif tag == "textarea":
            self.area = name
            self.told[name] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False
        elif tag == "select":
            self.select = None
        elif tag == "textarea":
            self.area = None

    def handle_data(self, data: str) -> None:
        if self.inside and self.area is not None:
            self.told[self.area] += data


def typed_in(page: str, *, of_class: str) -> dict[str, str]:
    """Return name and value of everything that the form of this class would send."""
    form = _Form(of_class)
    form.feed(page)
    form.close()
    return {name: value for name, value in form.told.items() if name}
