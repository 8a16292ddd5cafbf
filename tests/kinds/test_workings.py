"""
A working computes nothing: it shows the outcome's values, and asks what computed them.

Its modules may convert units, round for printing and move an index by one; any other
arithmetic in them would be a second computation, which could say another thing.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import buildsite

PACKAGE = Path(buildsite.__file__).parent
KINDS = PACKAGE / "kinds"
MODULES = sorted(
    path
    for path in KINDS.rglob("*.py")
    if "working" in path.relative_to(KINDS).with_suffix("").parts
)
COMPUTING = {"sum", "max", "min", "abs", "round", "pow", "divmod", "fsum", "prod"}
ASKED = ("buildsite.soil.formulas", "buildsite.soil.rounding", "buildsite.soil.curves")
"""Formulas as text, rounding for print, and the curves, which are asked for places."""


def is_one(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value == 1 and node.value is not True


def is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def is_index(node: ast.BinOp) -> bool:
    return isinstance(node.op, ast.Add | ast.Sub) and is_one(node.right)


def is_text_or_none(node: ast.BinOp) -> bool:
    """A text that stands where a condition holds."""
    return isinstance(node.op, ast.Mult) and is_text(node.left)


def computes(node: ast.AST) -> bool:
    """Whether a node is arithmetic, or imports what is."""
    if isinstance(node, ast.BinOp):
        joins = isinstance(node.op, ast.BitOr)  # types, dicts
        return not (joins or is_index(node) or is_text_or_none(node))
    if isinstance(node, ast.UnaryOp):
        return isinstance(node.op, ast.USub)
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in COMPUTING
    if isinstance(node, ast.ImportFrom):
        module = node.module or ""
        physics = module.startswith("buildsite.soil") and not module.startswith(ASKED)
        return physics or module in ("math", "statistics", "operator", "numpy")
    return isinstance(node, ast.AugAssign | ast.Import)


def arithmetic(tree: ast.AST) -> Iterator[str]:
    """Yield what computes, but for the place of an item in a list."""
    in_subscripts = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.Subscript)
        for inner in ast.walk(node.slice)
    }
    for node in ast.walk(tree):
        if computes(node) and node not in in_subscripts:
            yield ast.unparse(node)


def test_the_workings_are_found() -> None:
    names = {
        path.relative_to(KINDS).parts[1]
        for path in MODULES
        if "tests" in path.relative_to(KINDS).parts
    }

    assert {"moisture_density", "field_density", "shared", "coarse_fraction"} <= names
    assert len(MODULES) > 15


@pytest.mark.parametrize(
    "module", MODULES, ids=lambda path: path.relative_to(KINDS).as_posix()
)
def test_a_working_computes_nothing(module: Path) -> None:
    assert list(arithmetic(ast.parse(module.read_text("utf-8")))) == []


@pytest.mark.parametrize(
    "code",
    [
        "x = peak - start",
        "x = 100 - share",
        "x = mass / volume",
        "x = a * b",
        "x = -b",
        "x = 2 * c",
        "total += one",
        "x = sum(found)",
        "x = max(u, 0.0)",
        "from math import fsum",
        "import math",
        "from buildsite.soil.phase import dry_density",
    ],
)
def test_a_computation_is_seen(code: str) -> None:
    assert list(arithmetic(ast.parse(code)))


@pytest.mark.parametrize(
    "code",
    [
        "x = places[i + 1]",
        "x = text[:-1]",
        "x = 'rejected' * one.rejected",
        "x: int | None = None",
        "from buildsite.soil.formulas import WET_DENSITY",
    ],
)
def test_printing_is_no_computation(code: str) -> None:
    assert list(arithmetic(ast.parse(code))) == []
