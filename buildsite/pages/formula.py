"""
Formulas as HTML: in symbols (MathML Core), and with the values put in (plain text).

A formula is arithmetic in Python's notation, as `soil/formulas.py` has it. It is read
once; a page fills in its values.
"""

import ast
from collections.abc import Callable, Mapping
from functools import cache

GREEK = {"rho": "ρ"}
"""Names of symbols that are printed as a letter."""

SUM, PRODUCT, POWER = 1, 2, 3
"""How strongly an operation binds: a weaker one within a stronger needs brackets."""

SIGNS: dict[type[ast.operator], tuple[str, int]] = {
    ast.Add: ("+", SUM),
    ast.Sub: ("−", SUM),
    ast.Mult: ("×", PRODUCT),
    ast.Div: ("/", PRODUCT),
}

Part = tuple[str, bool]
"""HTML, or the name of a symbol: then the second is true."""


def split_name(name: str) -> tuple[str, str]:
    """
    Return the letter of a symbol and its index.

    >>> split_name("rho_d"), split_name("w"), split_name("w_opt_t")
    (('ρ', 'd'), ('w', ''), ('w', 'opt, t'))
    """
    letter, _, index = name.partition("_")
    return GREEK.get(letter, letter), index.replace("_", ", ")


@cache
def symbol_html(name: str) -> str:
    """
    Return a symbol as HTML.

    >>> symbol_html("rho_d")
    '<var>ρ<sub>d</sub></var>'
    """
    letter, index = split_name(name)
    return f"<var>{letter}{f'<sub>{index}</sub>' if index else ''}</var>"


@cache
def formula_math(symbol: str, text: str) -> str:
    """Return a formula in symbols, as MathML."""
    left = f"{name_math(symbol)}<mo>=</mo>" if symbol else ""
    return f'<math display="block"><mrow>{left}{math_of(body(text))}</mrow></math>'


def body(text: str) -> ast.expr:
    """Return a formula as a tree."""
    return ast.parse(text, mode="eval").body


def name_math(name: str) -> str:
    """Return a symbol as MathML."""
    letter, index = split_name(name)
    if not index:
        return f"<mi>{letter}</mi>"
    return f"<msub><mi>{letter}</mi><mtext>{index}</mtext></msub>"


def math_of(node: ast.expr) -> str:
    """Return a part of a formula as MathML."""
    if isinstance(node, ast.Name):
        return name_math(node.id)
    if isinstance(node, ast.Constant):
        return f"<mn>{node.value!r}</mn>"
    if isinstance(node, ast.UnaryOp):
        return f"<mrow><mo>−</mo>{math_in(node.operand, PRODUCT)}</mrow>"
    if isinstance(node, ast.Call):
        return call_math(node)
    if not isinstance(node, ast.BinOp):
        raise TypeError(f"no part of a formula: {ast.unparse(node)}")
    if isinstance(node.op, ast.Div):
        above, below = math_of(node.left), math_of(node.right)
        return f"<mfrac><mrow>{above}</mrow><mrow>{below}</mrow></mfrac>"
    if isinstance(node.op, ast.Pow):
        power = math_of(node.right)
        return f"<msup>{math_in(node.left, POWER)}<mrow>{power}</mrow></msup>"
    sign, weight = SIGNS[type(node.op)]
    after = weight + 1 if isinstance(node.op, ast.Sub) else weight
    return f"{math_in(node.left, weight)}<mo>{sign}</mo>{math_in(node.right, after)}"


def math_in(node: ast.expr, weight: int) -> str:
    """Return a part within an operation, in brackets where it binds more weakly."""
    # A fraction stands by itself.
    own = POWER if is_fraction(node) and weight < POWER else binding(node)
    text = math_of(node)
    if own < weight:
        return f"<mrow><mo>(</mo>{text}<mo>)</mo></mrow>"
    return f"<mrow>{text}</mrow>"


def is_fraction(node: ast.expr) -> bool:
    """Return whether a part is a quotient."""
    return isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div)


def call_math(node: ast.Call) -> str:
    """Return a root, a power of e, or another function."""
    name, inside = function_name(node), math_of(node.args[0])
    if name == "sqrt":
        return f"<msqrt><mrow>{inside}</mrow></msqrt>"
    return f"<mi>{name}</mi><mrow><mo>(</mo>{inside}<mo>)</mo></mrow>"


def function_name(node: ast.Call) -> str:
    """Return the name of a function."""
    if not isinstance(node.func, ast.Name):
        raise TypeError(f"no part of a formula: {ast.unparse(node)}")
    return node.func.id


def binding(node: ast.expr) -> int:
    """Return how strongly a part binds."""
    if isinstance(node, ast.UnaryOp):
        return SUM
    if isinstance(node, ast.BinOp):
        return POWER if isinstance(node.op, ast.Pow) else SIGNS[type(node.op)][1]
    return POWER + 1


@cache
def text_parts(text: str) -> tuple[Part, ...]:
    """Return a formula on one line, in parts: HTML, and symbols to be filled in."""
    found: list[Part] = []
    write(body(text), found.append)
    return tuple(found)


def write(node: ast.expr, put: Callable[[Part], None]) -> None:
    """Write a part of a formula on one line."""
    if isinstance(node, ast.Name):
        put((node.id, True))
    elif isinstance(node, ast.Constant):
        put((repr(node.value), False))
    elif isinstance(node, ast.UnaryOp):
        put(("−", False))
        write_in(node.operand, PRODUCT, put)
    elif isinstance(node, ast.Call):
        name = function_name(node)
        put(("√(" if name == "sqrt" else f"{name}(", False))
        write(node.args[0], put)
        put((")", False))
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        write_in(node.left, POWER + 1, put)
        put(("<sup>", False))
        write(node.right, put)
        put(("</sup>", False))
    elif isinstance(node, ast.BinOp):
        sign, weight = SIGNS[type(node.op)]
        write_in(node.left, weight, put)
        put((f" {sign} ", False))
        stronger = isinstance(node.op, ast.Sub | ast.Div)
        write_in(node.right, weight + 1 if stronger else weight, put)
    else:
        raise TypeError(f"no part of a formula: {ast.unparse(node)}")


def write_in(node: ast.expr, weight: int, put: Callable[[Part], None]) -> None:
    """Write a part within an operation, in brackets where it binds more weakly."""
    brackets = binding(node) < weight
    if brackets:
        put(("(", False))
    write(node, put)
    if brackets:
        put((")", False))


def put_in(text: str, values: Mapping[str, str]) -> str:
    """
    Return a formula with values, given as HTML, in place of its symbols.

    >>> put_in("m / (V - v)", {"m": "2 g", "V": "3 cm³", "v": "1 cm³"})
    '2 g / (3 cm³ − 1 cm³)'
    >>> put_in("a - b**2", {"a": "−1", "b": "−2"})
    '−1 − (−2)<sup>2</sup>'
    """
    parts = text_parts(text)
    found = []
    for i, (part, named) in enumerate(parts):
        value = (values.get(part) or symbol_html(part)) if named else part
        first = i == 0 and not (len(parts) > 1 and parts[1][0] == "<sup>")
        found.append(
            f"({value})" if named and is_negative(value) and not first else value
        )
    return "".join(found)


def is_negative(value: str) -> bool:
    """Return whether a value, as text or as a link, begins with a minus."""
    return value.startswith("−") or ">−" in value
