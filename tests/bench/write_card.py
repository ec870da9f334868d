"""Write the golden card anew: ``python -m tests.bench.write_card``."""

from __future__ import annotations

import json

from tests.bench.card_cases import GOLDEN_CARD, demo_card

if __name__ == "__main__":
    text = json.dumps(demo_card(), indent=1, ensure_ascii=False)
    GOLDEN_CARD.write_text(text + "\n", encoding="utf-8")
