"""Real recordings of a second or less: a browser's own recorder made them, of its pretended microphone and camera.

Chromium 156's MediaRecorder on Debian 12, asked for ``audio/webm;codecs=opus``, ``audio/mp4;codecs=opus`` and
``video/webm``.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

FOLDER = Path(__file__).parent / "recordings"


def recorded(name: str = "voice.webm") -> tuple[str, bytes]:
    """A recording, with its hash."""
    content = (FOLDER / name).read_bytes()
    return hashlib.sha256(content).hexdigest(), content
