"""Figures of the house: how small files and functions are, cycles of imports, what docstrings of physics tell.

``python -m tests.promises.house`` prints them; `./test` prints them at its end, and a test holds the aims.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.promises.physics_sources import PLUMBING, without_source
from tests.promises.tree import ROOT, kept_files

LINES_OF_A_FILE, LINES_OF_A_FUNCTION = 300, 33
AIM = 0.95
UNIT = re.compile(
    r"_(pa|bar|k|c|m|mm|km|m2|mm2|m3|l|s|ms|h|kg|t|kg_s|m_s|kmh|m_s2|n|kn|j|kj|percent|share|per_mille|n_per_m|pa_per_s|kg_m3|j_kgk|a)$"
)
"""The unit at the end of a name; a share and a percentage are units here."""
FIGURE = re.compile(r"\bfloat|Floats|NDArray")
IN_BRACKETS = re.compile(r"\[[^\]]{1,40}\]")
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Share:
    """So many of so many, and those that are not."""

    name: str
    of: int
    lacking: tuple[str, ...]

    @property
    def share(self) -> float:
        """From 0 to 1."""
        return 1.0 - len(self.lacking) / self.of

    def line(self) -> str:
        """As it is printed."""
        return f"{self.name}: {self.share:.1%} ({self.of - len(self.lacking)} of {self.of})"


@dataclass(frozen=True)
class House:
    """All figures."""

    shares: tuple[Share, ...]
    cycles: tuple[tuple[str, ...], ...]

    def lines(self) -> Iterator[str]:
        """As they are printed."""
        yield from (share.line() for share in self.shares)
        yield f"import cycles: {len(self.cycles) or 'none'}"

    def short_of(self) -> list[str]:
        """What is below its aim."""
        below = [f"{share.line()}: {', '.join(share.lacking[:20])}" for share in self.shares if share.share < AIM]
        return below + [f"import cycle: {' -> '.join(cycle)}" for cycle in self.cycles]


def house() -> House:
    """The figures of the tree as it is."""
    modules = {path: path.read_text(encoding="utf-8") for path in kept_files() if path.suffix == ".py"}
    trees = {path.relative_to(ROOT).as_posix(): ast.parse(text) for path, text in modules.items()}
    files = {path.relative_to(ROOT).as_posix(): len(text.splitlines()) for path, text in modules.items()}
    physics = {Path(name).stem: tree for name, tree in trees.items() if name.startswith("src/headstock/physics/")}
    return House((small_files(files), small_functions(trees), *told_of_physics(physics)), cycles_of(imports_of("headstock")))


def small_files(lines: dict[str, int]) -> Share:
    """Files under 300 lines."""
    long = tuple(f"{name} ({count})" for name, count in lines.items() if count >= LINES_OF_A_FILE)
    return Share(f"files under {LINES_OF_A_FILE} lines", len(lines), long)


def small_functions(trees: dict[str, ast.Module]) -> Share:
    """Functions under 33 lines, with signature and docstring."""
    found = [(name, node) for name, tree in trees.items() for node in ast.walk(tree) if isinstance(node, Function)]
    long = [f"{name}:{node.lineno} {node.name}" for name, node in found if _lines(node) >= LINES_OF_A_FUNCTION]
    return Share(f"functions under {LINES_OF_A_FUNCTION} lines", len(found), tuple(long))


def _lines(node: Function) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1


def told_of_physics(trees: dict[str, ast.Module]) -> tuple[Share, Share, Share]:
    """Public functions of physics whose units, errors and source are told; what only orders figures is left out."""
    public = {
        f"{module}.{node.name}": (node, tree)
        for module, tree in trees.items()
        if not module.startswith("_")
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and f"{module}.{node.name}" not in PLUMBING
    }
    units = tuple(name for name, (node, tree) in public.items() if not tells_units(node, ast.get_docstring(tree) or ""))
    errors = tuple(name for name, (node, _) in public.items() if not tells_errors(node))
    bare = {f"{module}.{name}" for module, tree in trees.items() for name in without_source(module, tree)}
    return (Share("physics, units told", len(public), units), Share("physics, errors told", len(public), errors),
            Share("physics, source told", len(public), tuple(sorted(bare & set(public)))))  # fmt: skip


def tells_units(node: ast.FunctionDef, of_module: str) -> bool:
    """Whether every figure has its unit in its name, or the docstring, or that of the module, says it in brackets."""
    said = ast.get_docstring(node) or ""
    if not said:
        return False
    given = [one for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs) if _is_figure(one.annotation)]
    unnamed = [one.arg for one in given if not UNIT.search(one.arg)]
    gives = _is_figure(node.returns) and not UNIT.search(node.name)
    return bool(IN_BRACKETS.search(said) or "SI units [" in of_module) or not (unnamed or gives)


def _is_figure(annotation: ast.expr | None) -> bool:
    return annotation is not None and FIGURE.search(ast.unparse(annotation)) is not None


def tells_errors(node: ast.FunctionDef) -> bool:
    """Whether every error that it raises itself stands in its docstring."""
    said = ast.get_docstring(node) or ""
    raised = [one.exc for one in ast.walk(node) if isinstance(one, ast.Raise) and one.exc is not None]
    named = {ast.unparse(one.func if isinstance(one, ast.Call) else one) for one in raised}
    return all(name in said for name in named)


def imports_of(package: str) -> dict[str, set[str]]:
    """Each module with those that it imports, inside functions too, but not for types alone.

    Without the one edge that the floors leave out as well: the root hands on the notebook's names when one is asked for (0042).
    """
    import grimp

    graph = grimp.build_graph(package, exclude_type_checking_imports=True, cache_dir=None)
    found = {module: set(graph.find_modules_directly_imported_by(module)) for module in graph.modules}
    found[package].discard(f"{package}.notebook")
    return found


def cycles_of(imports: dict[str, set[str]]) -> tuple[tuple[str, ...], ...]:
    """Modules that import one another round about: what is left when modules without an import left are taken away."""
    left = {module: imported & set(imports) for module, imported in imports.items()}
    while True:
        leaves = {module for module, imported in left.items() if not imported}
        if not leaves:
            break
        left = {module: imported - leaves for module, imported in left.items() if module not in leaves}
    return tuple(sorted({_round(module, left) for module in left}))


def _round(module: str, left: dict[str, set[str]]) -> tuple[str, ...]:
    """A cycle reached from a module, beginning at its first name."""
    way = [module]
    while way[-1] not in way[:-1]:
        way.append(min(left[way[-1]]))
    cycle = way[way.index(way[-1]) : -1]
    first = cycle.index(min(cycle))
    return tuple(cycle[first:] + cycle[:first])


if __name__ == "__main__":
    print("\n".join(house().lines()))
