"""What a phone imports first: it makes the bench importable from the one file it came in, and lends out its desk.

The file holds the bytecode of every module and the bench's tables by name (pack.py). Python's own way into an archive
opens it anew for each module, which costs a browser a third of the time in which the bench is imported.
"""

import marshal
import sys
from importlib.machinery import ModuleSpec

PLACE = "/lib/bench.bin"

with open(PLACE, "rb") as file:  # noqa: PTH123  # pathlib would be imported for this alone
    MODULES, TABLES = marshal.loads(file.read())


class Table:
    """A file that lies beside a module, as :mod:`importlib.resources` hands it out."""

    def __init__(self, name):
        self.name = name

    def __truediv__(self, name):
        return Table(f"{self.name}/{name}")

    def read_text(self, encoding):
        try:
            return TABLES[self.name].decode(encoding)
        except KeyError:
            raise FileNotFoundError(self.name) from None


class Tables:
    """The files beside one module."""

    def __init__(self, module):
        self.module = module

    def files(self):
        return Table(self.module.replace(".", "/"))


class Bench:
    """Finds and runs the bench's modules."""

    def find_spec(self, name, _path=None, _target=None):
        found = MODULES.get(name)
        return found and ModuleSpec(name, self, origin=name, is_package=found[0])

    def create_module(self, _spec):
        return None

    def exec_module(self, module):
        exec(marshal.loads(MODULES[module.__name__][1]), module.__dict__)

    def get_resource_reader(self, name):
        return Tables(name)


sys.meta_path.append(Bench())

from coldmark.bench.desk import answer  # noqa: E402

__all__ = ["answer"]
