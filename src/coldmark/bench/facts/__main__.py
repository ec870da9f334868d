"""``python -m coldmark.bench.facts FOLDER`` writes the JSON Schema and the TypeScript types of the facts."""

import sys
from pathlib import Path

from coldmark.bench.facts.contract import write

if __name__ == "__main__":
    if len(sys.argv) != 2 or not Path(sys.argv[1]).is_dir():
        sys.exit("usage: python -m coldmark.bench.facts FOLDER   (an existing one, such as contract)")
    write(Path(sys.argv[1]))
