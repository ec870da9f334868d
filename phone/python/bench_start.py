"""What a phone imports of its own accord: it takes the bench in and lends out its desk."""

import gc

from sitecustomize import take

take("/lib/bench.bin")

from coldmark.bench.desk import answer  # noqa: E402

gc.freeze()
gc.enable()

__all__ = ["answer"]
