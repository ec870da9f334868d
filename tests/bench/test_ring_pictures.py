"""Rings drawn: to scale, with their measures, and pressed without losing rubber."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import pictures
from coldmark.bench.errors import NotAChoice, OutOfRange

SVG = "{http://www.w3.org/2000/svg}"
KINDS = ("face_inside", "face_outside", "spigot", "bore")


def found(drawn: str, class_: str) -> dict[str, float]:
    root = ET.fromstring(drawn)
    (one,) = [part for part in root.iter() if (part.get("class") or "").split()[:1] == [class_]]
    return {name: float(value) for name, value in one.attrib.items() if re.fullmatch(r"-?[0-9.]+", value)}


@pytest.mark.parametrize(
    ("units", "inner", "section"), [("metric", "18.64 mm", "3.53 mm"), ("us", "0.734 in", "0.139 in")]
)
def test_a_ring_carries_its_two_measures_in_the_readers_units(units: str, inner: str, section: str) -> None:
    drawn = pictures.ring(18.64, 3.53, size="210", units=units)  # type: ignore[arg-type]
    assert f"{inner} inside" in drawn
    assert f"{section} thick" in drawn
    assert "Size 210" in drawn


@given(st.floats(1, 600), st.floats(0.5, 20))
def test_a_ring_is_to_scale_unless_it_would_be_too_thin_to_see(inner: float, section: float) -> None:
    body = found(pictures.ring(inner, section), "ring-body")
    outer = 2 * body["r"] + body["stroke-width"]
    share = section / (inner + 2 * section)
    assert body["stroke-width"] / outer == pytest.approx(max(share, 6 / outer), rel=0.01)


@given(st.floats(1, 7), st.floats(0.65, 0.95), st.floats(1.3, 2.5), st.sampled_from(KINDS))
def test_a_pressed_ring_keeps_the_area_that_it_had_when_it_was_round(
    section: float, depth: float, width: float, kind: str
) -> None:
    drawn = pictures.ring_in_groove(section, section * depth, section * width, kind)
    ring, free = found(drawn, "groove-ring"), found(drawn, "groove-free")
    high, broad = ring["height"], ring["width"]
    flat = broad * high - (4 - pi) * (high / 2) ** 2
    if 'groove-ring full"' not in drawn:
        assert flat == pytest.approx(pi * free["r"] ** 2, rel=0.01)
    assert high == pytest.approx(2 * free["r"] * depth, rel=0.01)


def test_a_ring_lies_against_the_wall_that_the_pressure_presses_it_to() -> None:
    at = {kind: found(pictures.ring_in_groove(3.53, 2.6, 5.5, kind), "groove-free")["cx"] for kind in KINDS}
    assert at["face_outside"] < at["spigot"] < at["face_inside"]
    assert at["spigot"] == pytest.approx(at["bore"])


def test_a_groove_without_room_is_drawn_full() -> None:
    assert 'groove-ring full"' in pictures.ring_in_groove(3.53, 2.6, 3.6, "spigot")
    assert 'groove-ring full"' not in pictures.ring_in_groove(3.53, 2.6, 4.6, "spigot")


def test_a_ring_that_does_not_touch_is_said_not_to() -> None:
    drawn = pictures.ring_in_groove(3.53, 3.9, 4.6, "bore")
    assert "it does not touch the other side" in drawn
    assert found(drawn, "groove-ring")["height"] == pytest.approx(2 * found(drawn, "groove-free")["r"], abs=0.02)


def test_what_cannot_be_drawn_is_refused_by_name() -> None:
    with pytest.raises(OutOfRange, match="section"):
        pictures.ring(18, 0)
    with pytest.raises(OutOfRange, match="depth"):
        pictures.ring_in_groove(3.5, -1, 4, "bore")
    with pytest.raises(NotAChoice, match="spigot"):
        pictures.ring_in_groove(3.5, 2.6, 4, "plug")
