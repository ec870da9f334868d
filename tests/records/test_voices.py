"""Voices: kept when they are one, of two minutes at most; for the firm alone; erased to a tombstone."""

from __future__ import annotations

import hashlib
import struct

import pytest

from coldmark.bench.errors import NotAChoice, OutOfRange, Refused
from coldmark.records import access, queries, services
from coldmark.records.errors import NotFound
from coldmark.records.files import MP4, WEBM
from tests.records.house import House
from tests.records.voices import recorded


def keep(house: House, kind: str, content: bytes) -> services.AttachmentKept:
    return services.keep_attachment(house.mechanic, hashlib.sha256(content).hexdigest(), kind, content)


@pytest.mark.parametrize(
    ("name", "told", "kind"),
    [
        ("voice.webm", "audio/webm", WEBM),
        ("voice.webm", "audio/webm;codecs=opus", WEBM),
        ("voice.webm", "audio/webm; codecs=opus", WEBM),
        ("voice.mp4", "audio/mp4", MP4),
        ("voice.mp4", "audio/mp4;codecs=mp4a.40.2", MP4),
    ],
)
def test_what_a_browser_records_is_kept(house: House, name: str, told: str, kind: str) -> None:
    sha256, content = recorded(name)
    assert keep(house, told, content).answer == "kept"
    read = services.read_attachment(house.office, sha256)
    assert (read.media_type, read.content) == (kind, content)


def _with_time(seconds: int) -> bytes:
    """The recording with its first cluster's time set: two bytes are widened to a whole number of milliseconds."""
    content = recorded()[1]
    at = content.index(b"\x1f\x43\xb6\x75")
    time = content.index(b"\xe7", at)
    size = content[time + 1] & 0x7F
    told = (seconds * 1000).to_bytes(4, "big")
    return content[: time + 1] + b"\x84" + told + content[time + 2 + size :]


def _mp4_of(seconds: int) -> bytes:
    content = recorded("voice.mp4")[1]
    at = content.index(b"mvhd") + 4
    assert content[at] == 1, "its times are of eight bytes"
    (scale,) = struct.unpack(">I", content[at + 20 : at + 24])
    return content[: at + 24] + struct.pack(">Q", scale * seconds) + content[at + 32 :]


def test_two_minutes_are_taken_and_three_are_not(house: House) -> None:
    assert keep(house, WEBM, _with_time(119)).answer == "kept"
    assert keep(house, MP4, _mp4_of(120)).answer == "kept"
    with pytest.raises(Refused, match="at most 120 s"):
        keep(house, WEBM, _with_time(180))
    with pytest.raises(Refused, match="at most 120 s"):
        keep(house, MP4, _mp4_of(180))


def test_a_large_one_is_refused_by_size(house: House) -> None:
    with pytest.raises(OutOfRange) as refused:
        keep(house, WEBM, recorded()[1] + bytes(3_000_000))
    assert refused.value.name == "size"


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        (WEBM, recorded("voice.mp4")[1]),
        (MP4, recorded()[1]),
        (WEBM, recorded("film.webm")[1]),
        (WEBM, recorded()[1].replace(b"A_OPUS", b"A_MPEG")),
        (WEBM, recorded()[1].replace(b"webm", b"webx", 1)),
        (WEBM, recorded()[1][:40]),
        (WEBM, b"\x1a\x45\xdf\xa3"),
        (WEBM, b"\x1a\x45\xdf\xa3" + b"\x00" * 500),
        (WEBM, b"\x1a\x45\xdf\xa3" + b"\xff" * 500),
        (WEBM, b"<script>alert(1)</script>"),
        (MP4, b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 400),
        (MP4, b"\x00\x00\x00\x18ftypmp42" + b"\xff" * 400),
        (MP4, recorded("voice.mp4")[1].replace(b"soun", b"vide")),
    ],
)
def test_what_is_no_voice_is_refused(house: House, kind: str, content: bytes) -> None:
    with pytest.raises(Refused) as refused:
        keep(house, kind, content)
    assert refused.value.name == "content"


@pytest.mark.parametrize("kind", ["audio/ogg", "video/webm", "audio/webm;charset=utf-8", "audio/webm;codecs=opus;x=y"])
def test_another_type_is_refused(house: House, kind: str) -> None:
    with pytest.raises(NotAChoice):
        keep(house, kind, recorded()[1])


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("finding", {"about": "return", "what": "leak", "urgency": "plan_for_it"}),
        ("step_skipped", {"step": "hyd_500.debris", "reason": "no_time_today"}),
        ("gate_opened", {"gate": "hyd_500.close.refitted", "reason": "part_was_missing"}),
        ("part_out", {"place": "return.cover_ring", "count": 0, "state": "missing"}),
    ],
)
def test_no_owner_hears_one_whatever_it_is_said_with(house: House, kind: str, body: dict[str, object]) -> None:
    sha256, content = recorded()
    keep(house, WEBM, content)
    job = None if kind == "finding" else "019ccf2c-4a20-7000-8000-0000000000ee"
    fact = house.phone.fact(kind, body | {"voice": sha256}, at=house.days(1), job=job)
    house.phone.send(fact)
    assert services.read_attachment(house.mechanic, sha256).content == content
    with pytest.raises(NotFound):
        services.read_attachment(house.owner, sha256)
    assert "voice" in access.hidden_fields(kind)
    ours = queries.entry_of(house.mechanic, house.machine, fact.id)
    assert [(one.sha256, one.stands) for one in ours.voices] == [(sha256, "here")]
    theirs = queries.entry_of(house.owner, house.machine, fact.id)
    assert theirs.voices == ()
    assert sha256 not in repr(theirs)
    # Nor by a correction that says it anew.
    corrected = {"of": fact.id, "action": "replace", "reason": "mistyped", "body": dict(fact.body)}
    house.phone.send(house.phone.fact("correction", corrected, at=house.days(2), job=job))
    with pytest.raises(NotFound):
        services.read_attachment(house.owner, sha256)


def test_an_erased_one_stays_as_a_tombstone_and_one_on_its_way_is_told(house: House) -> None:
    sha256, content = recorded()
    body = {"about": "return", "what": "leak", "urgency": "plan_for_it", "voice": sha256}
    fact = house.phone.fact("finding", body, at=house.days(1))
    house.phone.send(fact)

    def stands() -> str:
        return queries.entry_of(house.mechanic, house.machine, fact.id).voices[0].stands

    assert stands() == "coming"
    keep(house, WEBM, content)
    assert stands() == "here"
    services.erase(house.office, "attachment", sha256, "asked for it")
    assert stands() == "erased"
    assert services.read_attachment(house.mechanic, sha256).content is None
