"""What Python on a phone runs before anything else: it learns to import from files that hold many modules at once.

Such a file is marshalled: the bytecode of each module by its name, and the tables that lie beside modules (pack.py).
Python's own way into an archive opens it anew for each module, which costs a third of the time that importing takes
in a browser; only the few modules that Python imports before this one come in an archive.
"""

import gc
import marshal
import sys
from _frozen_importlib import ModuleSpec

gc.disable()  # all that is imported stays, so looking for what does not would be for nothing; bench_start lets it go on

MODULES = {}
TABLES = {}


def take(path):
    """Make what is in a file importable."""
    with open(path, "rb") as file:  # noqa: PTH123  # pathlib is not importable yet
        modules, tables = marshal.loads(file.read())
    MODULES.update(modules)
    TABLES.update(tables)


class Table:
    """A file that lies beside a module, as importlib.resources hands it out."""

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


class Taken:
    """Finds and runs the modules that were taken."""

    def find_spec(self, name, _path=None, _target=None):
        found = MODULES.get(name)
        return found and ModuleSpec(name, self, origin=name, is_package=found[0])

    def create_module(self, _spec):
        return None

    def exec_module(self, module):
        exec(marshal.loads(MODULES[module.__name__][1]), module.__dict__)

    def get_resource_reader(self, name):
        return Tables(name)


sys.meta_path.insert(0, Taken())
take("/lib/library.bin")
