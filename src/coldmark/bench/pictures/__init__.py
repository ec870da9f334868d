"""Drawings as SVG text, the same for phone, page and paper."""

from __future__ import annotations

from coldmark.bench.pictures.glass import glass

__all__ = ["glass"]
