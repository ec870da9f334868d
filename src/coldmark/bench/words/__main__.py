"""``python -m coldmark.bench.words FOLDER`` writes the labels of the phone's app, which are built into it."""

import json
import sys
from pathlib import Path

from coldmark.bench.words import labels

if __name__ == "__main__":
    if len(sys.argv) != 2 or not Path(sys.argv[1]).is_dir():
        sys.exit("usage: python -m coldmark.bench.words FOLDER   (an existing one, such as contract)")
    text = json.dumps(labels("app."), indent=1, ensure_ascii=False, sort_keys=True) + "\n"
    (Path(sys.argv[1]) / "app_words.json").write_text(text, encoding="utf-8")
