"""``python -m coldmark.bench.words FOLDER`` writes the labels of the phone's app, and the units that it keeps together
with their numbers; both are built into it.
"""

import json
import sys
from pathlib import Path

from coldmark.bench.words import labels, unit_words

if __name__ == "__main__":
    if len(sys.argv) != 2 or not Path(sys.argv[1]).is_dir():
        sys.exit("usage: python -m coldmark.bench.words FOLDER   (an existing one, such as contract)")
    for name, made in (("app_words.json", labels("app.")), ("unit_words.json", list(unit_words()))):
        text = json.dumps(made, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
        (Path(sys.argv[1]) / name).write_text(text, encoding="utf-8")
