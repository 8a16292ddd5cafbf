"""
The shape of a kept result, before anything of it is drawn.

A kept result may be of any program. Its digest shows that it is as issued, not that its
values are of the sort that a page expects.
"""

from collections.abc import Callable, Mapping
from typing import Any

LARGEST = 1e12
"""Beyond every value of a test, in SI units."""

Shape = Callable[[Any], bool]


def is_text(value: object) -> bool:
    """Whether a value is a text."""
    return isinstance(value, str)


def is_number(value: object) -> bool:
    """Whether a value is a number of a usual size: no truth value, no infinity."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) < LARGEST


def is_positive(value: Any) -> bool:
    """Whether a value is a number above zero."""
    return is_number(value) and value > 0


def absent_or(shape: Shape) -> Shape:
    """Return the shape of a value that may be absent."""
    return lambda value: value is None or shape(value)


def list_of(shape: Shape) -> Shape:
    """Return the shape of a list."""
    return lambda value: isinstance(value, list) and all(map(shape, value))


def mapping_of(shape: Shape) -> Shape:
    """Return the shape of a mapping whose values are alike."""
    return lambda value: isinstance(value, dict) and all(map(shape, value.values()))


def having(**shapes: Shape) -> Shape:
    """Return the shape of a mapping by some of its keys; others may be anything."""
    return lambda value: (
        isinstance(value, dict)
        and all(shape(value.get(key)) for key, shape in shapes.items())
    )


def is_pair(value: object) -> bool:
    """Whether a value is a point: two numbers."""
    return isinstance(value, list) and len(value) == 2 and all(map(is_number, value))


SHAPE = having(
    results=absent_or(
        mapping_of(having(value=is_number, unit=is_text, reported=is_text))
    ),
    flags=absent_or(list_of(having(flag=is_text, field=is_text))),
    points=absent_or(
        list_of(
            having(water_content=absent_or(is_number), dry_density=absent_or(is_number))
        )
    ),
    curve=absent_or(
        having(
            line=absent_or(list_of(is_pair)),
            density_unit=absent_or(is_text),
            specific_gravity=absent_or(is_positive),
            water_density=absent_or(is_positive),
        )
    ),
)


def is_a_result(found: object) -> bool:
    """
    Whether what a kept result states can be drawn.

    >>> is_a_result({"curve": {"line": [[12.3, 1944.7]]}})
    True
    >>> is_a_result({"curve": {"line": "12.3"}}), is_a_result({"results": {"a": 1}})
    (False, False)
    """
    return SHAPE(found)


def shaped(found: object) -> Mapping[str, Any]:
    """Return a kept result without its blank parts; empty if it has not the shape."""
    if not isinstance(found, dict) or not is_a_result(found):
        return {}
    return {key: value for key, value in found.items() if value is not None}
