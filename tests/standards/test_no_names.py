"""A standard is rows: no code of any room asks for one by name."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import buildsite
from buildsite.standards.reading import key
from buildsite.standards.tables import designations

CODE = sorted(Path(buildsite.__file__).parent.rglob("*.py"))
KNOWN = {key(name) for name in designations()}
ESCAPED = re.compile(r"\\[xuUN0-7]")
"""A letter that is written as a number, or by its name."""


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


def named(text: str) -> set[str]:
    """Designations that a module's code compares something with."""
    # Without its blanks and punctuation a module that spells one has it in its text.
    letters = key(text)
    if not any(name in letters for name in KNOWN) and not ESCAPED.search(text):
        return set()
    return {key(word) for word in compared(ast.parse(text))} & KNOWN


def test_no_code_compares_with_a_designation() -> None:
    found = {path: named(path.read_text("utf-8")) for path in CODE}

    assert {path: names for path, names in found.items() if names} == {}
    assert len(found) > 100


def test_the_comparison_is_seen() -> None:
    assert named("if standard == 'ASTM D698': pass") == {"astmd698"}
    assert named("if standard == ('ASTM '\n'D698'): pass") == {"astmd698"}
    assert named("if standard == '\\x41STM D698': pass") == {"astmd698"}
    assert named("standard = 'ASTM D698'") == set()
