"""Make the files that a phone's Python imports from: its standard library, and the bench.

Runs inside Pyodide under Node (build.mjs), so that the very Python that will read the bytecode writes it. Modules are
compiled once here and not at each start, without docstrings and asserts. What Python imports first is an archive, since
it knows nothing else then: its modules carry hash-based headers, whose source nobody looks for, and are stored and not
deflated, as the server compresses the whole better than its parts. Then sitecustomize.py teaches it the other form.
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
    "_compression",  # packed files other than zip's: those who read them do without where they are not there
    "_pyrepl",  # a prompt
    "_sysconfigdata__emscripten_wasm32-emscripten",  # how this Python was built
    "asyncio.proactor_events",  # Windows
    "asyncio.windows_events",
    "asyncio.windows_utils",
    "bz2",
    "cProfile",
    "compression",
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
    "lzma",
    "multiprocessing",
    "pdb",
    "profile",
    "pstats",
    "pydoc",
    "smtplib",
    "socketserver",
    "sqlite3",
    "ssl",  # asyncio does without where it is not there
    "sysconfig",
    "tarfile",
    "unittest",
    "urllib",
    "webbrowser",
    "wsgiref",
    "xml",
    "xmlrpc",
)
# Imported before Python can be taught anything.
FIRST = (
    "_collections_abc",
    "_sitebuiltins",
    "abc",
    "codecs",
    "encodings",
    "encodings.aliases",
    "encodings.utf_8",
    "genericpath",
    "io",
    "os",
    "posixpath",
    "site",
    "stat",
)
TEACHER = "sitecustomize.py"
OURS = "bench_start.py"
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


def packed(sources: Mapping[str, bytes], tables: Mapping[str, bytes]) -> bytes:
    """Modules and tables as sitecustomize.py takes them."""
    modules = {
        module_of(name): (name.endswith("__init__.py"), marshal.dumps(code_of(name, source)))
        for name, source in sorted(sources.items())
    }
    return marshal.dumps((modules, dict(sorted(tables.items()))))


def bench(folder: str) -> tuple[bytes, list[str]]:
    """The bench whose sources lie in ``folder``, and all that it imports of others."""
    root = Path(folder)
    files = {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}
    sources = {name: content for name, content in files.items() if name.endswith(".py")}
    tables = {name: content for name, content in files.items() if name not in sources}
    outside = {one for name in sources for one in imported(name, sources[name]) if one.split(".")[0] != "coldmark"}
    return packed(sources, tables), sorted(outside)


def library(archive: str, roots: Iterable[str]) -> tuple[bytes, bytes]:
    """All in the standard library that the modules ``roots`` need: what comes first, as an archive, and the rest."""
    with zipfile.ZipFile(archive) as whole:
        sources = {name: whole.read(name) for name in whole.namelist() if name.endswith(".py")}
    kept = {name: sources[name] for name in needed(sources, [*FIRST, *roots, *BY_NAME])}
    first = {name: kept.pop(name) for name in sorted(kept) if module_of(name) in FIRST}
    here = Path(__file__)
    first[TEACHER] = here.with_name(TEACHER).read_bytes()
    kept[OURS] = here.with_name(OURS).read_bytes()
    return write({f"{name}c": compiled(name, source) for name, source in first.items()}), packed(kept, {})
