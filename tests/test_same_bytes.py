"""One commit gives the same bytes on every Python: how floats are added, and CI."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CLASSIFIERS = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"][
    "classifiers"
]
PYTHONS = [re.sub(r".* :: ", "", line) for line in CLASSIFIERS]

WHOLE = {"blocked", "has_effect", "rejected", "specimens", "st_size"}
"""Attributes that hold whole numbers or truths."""

COUNTS = {"len", "bool", "any", "all"}
"""Functions that give them; so do those whose names begin with ``is_``."""


def is_whole(node: ast.expr) -> bool:
    """Whether an expression can be no float, by its form."""
    match node:
        case ast.Constant(value=value):
            return isinstance(value, int)
        case ast.Compare() | ast.UnaryOp(op=ast.Not()):
            return True
        case ast.BoolOp(values=values):
            return all(map(is_whole, values))
        case ast.BinOp(left=left, right=right, op=ast.Add() | ast.Sub()):
            return is_whole(left) and is_whole(right)
        case ast.Call(func=ast.Name(id=name)):
            return name in COUNTS or name.startswith("is_")
        case ast.Call(func=ast.Attribute(attr="endswith" | "count")):
            return True
        case ast.Attribute(attr=attr):
            return attr in WHOLE
    return False


def may_add_floats(call: ast.Call) -> bool:
    """Whether a call of `sum` may add floats: not of whole numbers, nor `Decimal`."""
    match call.args:
        case [_, ast.Call(func=ast.Name(id="Decimal"))]:
            return False
        case [ast.Call(func=ast.Name(id="map"), args=[ast.Name(id="len"), *_])]:
            return False
        case [ast.GeneratorExp(elt=elt)]:
            return not is_whole(elt)
    return True


NAMED = re.compile(r"\bsum\b")


def sums(tree: ast.AST) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id="sum")):
                yield node


def test_floats_are_added_by_fsum() -> None:
    # `sum` of floats compensates since Python 3.12 ("What's New In Python 3.12",
    # built-in functions), so that the last digit depends on the Python; `math.fsum`
    # rounds the exact sum once.
    found = [
        f"{path.relative_to(ROOT)}:{call.lineno}: {ast.unparse(call)}"
        for path in sorted((ROOT / "buildsite").rglob("*.py"))
        if NAMED.search(text := path.read_text("utf-8"))  # the rest need not be parsed
        for call in sums(ast.parse(text))
        if may_add_floats(call)
    ]

    assert found == []


@pytest.mark.parametrize(
    ("text", "floats"),
    [
        ("sum(values)", True),
        ("sum(x * y for x, y in pairs)", True),
        ("sum(gap) / 2", True),
        ("sum(len(waters) - 1 for waters in several)", False),
        ("sum(masses, Decimal(0))", False),
        ("sum(a < b for a in c)", False),
    ],
)
def test_what_may_be_a_float_is_known_by_its_form(text: str, *, floats: bool) -> None:
    [call] = sums(ast.parse(text))

    assert may_add_floats(call) is floats


def test_ci_checks_the_oldest_and_the_newest_python() -> None:
    asked = (ROOT / ".github/workflows/check.yml").read_text("utf-8")
    matrix = re.search(r"python: \[(.*)\]", asked)
    least = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]

    assert matrix is not None
    assert re.findall(r'"(.*?)"', matrix[1]) == [PYTHONS[0], PYTHONS[-1]]
    assert least["requires-python"] == f">={PYTHONS[0]}"
    assert sorted(PYTHONS, key=lambda one: int(one[2:])) == PYTHONS
    assert ".ci/pythons" in (ROOT / ".ci" / "run").read_text("utf-8")
