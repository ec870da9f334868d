"""What of the standard library goes to a phone, and how it is packed: phone/python/pack.py, which runs there."""

from __future__ import annotations

import io
import marshal
import zipfile
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType

import pytest

PACK = Path(__file__).parents[2] / "phone" / "python" / "pack.py"


@pytest.fixture(scope="module")
def pack() -> ModuleType:
    spec = spec_from_loader("pack", SourceFileLoader("pack", str(PACK)))
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SOURCES = {
    "top.py": b"import low\ndef late():\n    from box import lid\n",
    "low.py": b"try:\n    import pdb\nexcept ImportError:\n    pass\n",
    "box/__init__.py": b"from . import hinge as h\nfrom .lid import shut\n",
    "box/hinge.py": b"import pathless.things\n",
    "box/lid.py": b"from .. import nothing\nfrom .deep.down import x\n",
    "box/deep/__init__.py": b"",
    "box/deep/down.py": b"import http.client",
    "box/unused.py": b"",
    "pdb.py": b"import cmd",
    "cmd.py": b"",
    "http/__init__.py": b"",
    "http/client.py": b"import ssl",
    "ssl.py": b"",
}


def test_all_that_is_imported_goes_along_in_whatever_case_it_is_imported(pack: ModuleType) -> None:
    kept = pack.needed(SOURCES, ["top"])
    assert kept == {"top.py", "low.py", "box/__init__.py", "box/hinge.py", "box/lid.py"} | {
        "box/deep/__init__.py",
        "box/deep/down.py",
    }


def test_what_never_is_needed_stays_with_all_that_it_alone_would_bring(pack: ModuleType) -> None:
    assert {"pdb.py", "cmd.py", "http/client.py", "ssl.py"}.isdisjoint(pack.needed(SOURCES, ["low", "box", "http"]))


def test_a_module_brings_its_packages(pack: ModuleType) -> None:
    assert pack.needed(SOURCES, ["box.deep.down"]) >= {"box/__init__.py", "box/deep/__init__.py"}


def test_an_archive_has_no_time_in_it_and_no_order_but_that_of_names(pack: ModuleType) -> None:
    made = pack.write({"b": b"2", "a": b"1"})
    assert made == pack.write({"a": b"1", "b": b"2"})
    with zipfile.ZipFile(io.BytesIO(made)) as archive:
        assert [(one.filename, one.date_time[0], one.compress_type) for one in archive.infolist()] == [
            ("a", 1980, zipfile.ZIP_STORED),
            ("b", 1980, zipfile.ZIP_STORED),
        ]


def test_the_bench_is_bytecode_by_name_with_its_tables_beside_it(pack: ModuleType, tmp_path: Path) -> None:
    oil = tmp_path / "coldmark" / "oil"
    oil.mkdir(parents=True)
    (tmp_path / "coldmark" / "__init__.py").write_text(
        '"""Words."""\nimport json\nassert False\nfrom coldmark import oil\n'
    )
    (oil / "__init__.py").write_text('def thin():\n    """Words."""\n    import csv\n')
    (oil / "grades.csv").write_bytes(b"grade\n46\n")
    made, outside = pack.bench(str(tmp_path))
    modules, tables = marshal.loads(made)
    assert {name: package for name, (package, _code) in modules.items()} == {"coldmark": True, "coldmark.oil": True}
    assert tables == {"coldmark/oil/grades.csv": b"grade\n46\n"}
    assert outside == ["csv", "json"]
    code = marshal.loads(modules["coldmark.oil"][1])
    found: dict[str, object] = {}
    exec(code, found)
    assert getattr(found["thin"], "__doc__", "?") is None
    assert code.co_filename == "coldmark/oil/__init__.py"


def test_what_python_imports_first_is_an_archive_and_the_rest_is_not(pack: ModuleType, tmp_path: Path) -> None:
    archive = tmp_path / "whole.zip"
    files = {"os.py": b"import stat", "stat.py": b"", "json/__init__.py": b"import re", "re.py": b"", "wave.py": b""}
    archive.write_bytes(pack.write(files))
    first, rest = pack.library(str(archive), ["json"])
    with zipfile.ZipFile(io.BytesIO(first)) as found:
        assert found.namelist() == ["os.pyc", "sitecustomize.pyc", "stat.pyc"]
    modules, tables = marshal.loads(rest)
    assert sorted(modules) == ["bench_start", "json", "re"]
    assert tables == {}
