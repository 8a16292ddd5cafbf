"""A general units library, against which ours is held."""

from functools import cache
from typing import Any


@cache
def library() -> Any:
    """Make the library's own table when it is first asked: that takes a second."""
    import pint

    return pint.UnitRegistry()
