"""Two directions that the import checker has no contract for: the bench's standard library, and no cycles at all.

Both look at every import in the source: at the top, inside functions and under ``TYPE_CHECKING``.
"""

from __future__ import annotations

import sys

from grimp import ImportGraph
from importlinter import Contract, ContractCheck, fields, output


class StandardLibraryOnly(Contract):
    """Modules of ``package`` import each other and the standard library, nothing else."""

    type_name = "standard_library_only"
    package = fields.StringField()

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Find every import that leaves the package for something Python itself does not bring."""
        package = str(self.package)
        inside = {package} | graph.find_descendants(package)
        found = [
            (module, imported, line_of(graph, module, imported))
            for module in sorted(inside)
            for imported in sorted(graph.find_modules_directly_imported_by(module))
            if imported not in inside and imported.partition(".")[0] not in sys.stdlib_module_names
        ]
        return ContractCheck(kept=not found, metadata={"found": found})

    def render_broken_contract(self, check: ContractCheck) -> None:
        """Print one line an import."""
        for module, imported, line in check.metadata["found"]:
            output.print_error(
                f"{module} line {line} imports {imported}: only the standard library may be imported here"
            )


class NoCycles(Contract):
    """No module of ``package`` is reached from itself by imports."""

    type_name = "no_cycles"
    package = fields.StringField()

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Find the groups of modules that import each other in a ring."""
        package = str(self.package)
        inside = {package} | graph.find_descendants(package)
        imports = {module: graph.find_modules_directly_imported_by(module) & inside for module in inside}
        rings = rings_of(imports)
        return ContractCheck(kept=not rings, metadata={"rings": rings})

    def render_broken_contract(self, check: ContractCheck) -> None:
        """Print one line a ring."""
        for ring in check.metadata["rings"]:
            output.print_error("these import each other in a ring: " + ", ".join(ring))


def line_of(graph: ImportGraph, importer: str, imported: str) -> str:
    """The first line on which the import stands."""
    lines = [detail["line_number"] for detail in graph.get_import_details(importer=importer, imported=imported)]
    return str(min(lines)) if lines else "?"


def rings_of(imports: dict[str, set[str]]) -> list[list[str]]:
    """Return the groups of modules that reach each other, each sorted, by the paths of ``imports``.

    >>> rings_of({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": {"d"}})
    [['b', 'c'], ['d']]
    """
    reached = {module: _reached_from(module, imports) for module in imports}
    rings = {
        tuple(sorted({module, *(other for other in reached[module] if module in reached.get(other, set()))}))
        for module in imports
        if module in reached[module]
    }
    return [list(ring) for ring in sorted(rings)]


def _reached_from(start: str, imports: dict[str, set[str]]) -> set[str]:
    reached: set[str] = set()
    waiting = list(imports[start])
    while waiting:
        module = waiting.pop()
        if module not in reached:
            reached.add(module)
            waiting.extend(imports.get(module, ()))
    return reached
