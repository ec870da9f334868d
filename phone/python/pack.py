"""Make the two files that a phone's Python imports from: its standard library, and the bench.

Runs inside Pyodide under Node (build.mjs), so that the very Python that will read the bytecode writes it. Modules are
compiled once here and not at each start, without docstrings and asserts. Those of the library carry hash-based headers,
whose source nobody looks for, and are stored and not deflated: the server compresses the whole better than its parts.
What goes in and the order of it hang on nothing but the sources, so the same commit makes the same bytes.
"""

from __future__ import annotations

import ast
import importlib.util
import io
import marshal
import zipfile
from collections.abc import Iterable, Mapping
from importlib._bootstrap_external import _code_to_hash_pyc  # type: ignore[attr-defined]
from pathlib import Path
from types import CodeType

# Imported by a function of some module that is needed, in a case that does not arise on a phone: each would bring its
# own neighbours. With them the library is two thirds larger.
NEVER = (
    "_pyrepl",  # a prompt
    "_sysconfigdata__emscripten_wasm32-emscripten",  # how this Python was built
    "asyncio.proactor_events",  # Windows
    "asyncio.windows_events",
    "asyncio.windows_utils",
    "cProfile",
    "concurrent.interpreters",
    "ctypes",
    "doctest",
    "email",  # what a package says of itself
    "ftplib",
    "html",
    "http",  # the worker fetches nothing by Python
    "idlelib",
    "imaplib",
    "importlib.metadata",
    "multiprocessing",
    "pdb",
    "profile",
    "pstats",
    "pydoc",
    "smtplib",
    "socketserver",
    "sqlite3",
    "sysconfig",
    "tarfile",
    "unittest",
    "urllib",
    "webbrowser",
    "wsgiref",
    "xml",
    "xmlrpc",
)
START = "bench_start.py"
# Found by a name that is put together while running, or from within Python's own core.
BY_NAME = (
    "_pylong",  # whole numbers of thousands of digits
    "_strptime",
    "encodings.ascii",
    "encodings.cp437",  # names in archives
    "encodings.latin_1",
    "encodings.unicode_escape",
    "encodings.utf_8_sig",
)


def write(entries: Mapping[str, bytes]) -> bytes:
    """An archive of these files, in the order of their names and with no time in it."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(entries):
            archive.writestr(zipfile.ZipInfo(name), entries[name])
    return made.getvalue()


def code_of(name: str, source: bytes) -> CodeType:
    """A module's bytecode, without docstrings and asserts."""
    code: CodeType = compile(source, name, "exec", dont_inherit=True, optimize=2)
    return code


def compiled(name: str, source: bytes) -> bytes:
    """The same as it is kept in a .pyc."""
    return bytes(_code_to_hash_pyc(code_of(name, source), importlib.util.source_hash(source), False))


def module_of(name: str) -> str:
    """The dotted name of a module by its file's."""
    return name.removesuffix(".py").replace("/", ".").removesuffix(".__init__")


def imported(name: str, source: bytes) -> set[str]:
    """All that a module imports anywhere in it; ``from a import b`` says a, and a.b, which may be a module too."""
    found = set()
    package = module_of(name).split(".")
    if not name.endswith("/__init__.py"):
        package.pop()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            start = package[: len(package) + 1 - node.level] if node.level else []
            base = ".".join([*start, *([node.module] if node.module else [])])
            found |= {base} | {f"{base}.{alias.name}" for alias in node.names}
    return found


def needed(sources: Mapping[str, bytes], roots: Iterable[str]) -> set[str]:
    """The files of the modules ``roots`` and of all that they import, theirs and so on, in whatever case."""
    file_of = {module_of(name): name for name in sources}
    kept: set[str] = set()
    wanted = [name for name in roots if name in file_of]
    while wanted:
        module = wanted.pop()
        file = file_of[module]
        if file in kept or any(module == one or module.startswith(f"{one}.") for one in NEVER):
            continue
        kept.add(file)
        named = imported(file, sources[file]) | {module.rpartition(".")[0]}
        wanted += [name for name in named if name in file_of]
    return kept


def bench(folder: str) -> tuple[bytes, list[str]]:
    """The bench whose sources lie in ``folder`` as bench_start.py reads it, and all that it imports of others."""
    root = Path(folder)
    modules: dict[str, tuple[bool, bytes]] = {}
    tables: dict[str, bytes] = {}
    outside: set[str] = set()
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        if path.suffix == ".py":
            source = path.read_bytes()
            modules[module_of(name)] = path.name == "__init__.py", marshal.dumps(code_of(name, source))
            outside |= {one for one in imported(name, source) if one.partition(".")[0] != "coldmark"}
        elif path.is_file():
            tables[name] = path.read_bytes()
    return marshal.dumps((modules, tables)), sorted(outside)


def library(archive: str, roots: Iterable[str]) -> bytes:
    """The archive of all in the standard library that the modules ``roots`` need."""
    with zipfile.ZipFile(archive) as whole:
        sources = {name: whole.read(name) for name in whole.namelist() if name.endswith(".py")}
    kept = sorted(needed(sources, [*roots, *BY_NAME]))
    entries = {f"{name}c": compiled(name, sources[name]) for name in kept}
    entries[f"{START}c"] = compiled(START, Path(__file__).with_name(START).read_bytes())
    return write(entries)
