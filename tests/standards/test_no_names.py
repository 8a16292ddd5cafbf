"""A standard is rows: no code of any room asks for one by name."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import buildsite
from buildsite.standards.reading import key
from buildsite.standards.tables import designations

CODE = sorted(Path(buildsite.__file__).parent.rglob("*.py"))
KNOWN = {key(name) for name in designations()}


def compared(tree: ast.AST) -> Iterator[str]:
    """Yield every word that the code compares something with."""
    for node in ast.walk(tree):
        parts: list[ast.AST] = []
        if isinstance(node, ast.Compare):
            parts = [node.left, *node.comparators]
        elif isinstance(node, ast.MatchValue):
            parts = [node.value]
        for part in parts:
            for inner in ast.walk(part):
                if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
                    yield inner.value


@pytest.mark.parametrize("path", CODE, ids=lambda path: path.stem)
def test_no_code_compares_with_a_designation(path: Path) -> None:
    words = {key(word) for word in compared(ast.parse(path.read_text("utf-8")))}

    assert not words & KNOWN


def test_the_comparison_is_seen() -> None:
    tree = ast.parse("if standard == 'ASTM D698': pass")

    assert {key(word) for word in compared(tree)} & KNOWN
