"""``python -m coldmark.cli`` is the ``coldmark`` command."""

from __future__ import annotations

from coldmark.cli import main

if __name__ == "__main__":
    main()
