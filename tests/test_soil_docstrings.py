"""Every argument of every public function in soil/ is documented, with its unit."""

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from typing import Any

from buildsite import soil

ARGUMENT = re.compile(r"^(\w+(?:, \w+)*) : .+$", re.MULTILINE)
UNIT = re.compile(r"\[[^][]+\]\Z")


def public_functions() -> Iterator[Callable[..., Any]]:
    for found in pkgutil.walk_packages(soil.__path__, "buildsite.soil."):
        module = importlib.import_module(found.name)
        for name, thing in sorted(vars(module).items()):
            ours = inspect.isfunction(thing) and thing.__module__ == found.name
            if ours and not name.startswith("_"):
                yield thing


def test_arguments_are_documented_in_order_and_end_in_a_unit() -> None:
    functions = [*public_functions()]

    assert len(functions) > 50
    for function in functions:
        documented(function)


def documented(function: Callable[..., Any]) -> None:
    wanted = list(inspect.signature(function).parameters)
    text = inspect.getdoc(function) or ""
    section = re.search(r"Parameters\n-+\n(.*?)(?=\n\n\w+\n-+\n|\Z)", text, re.DOTALL)
    body = section.group(1) if section else ""

    starts = [*ARGUMENT.finditer(body)]
    ends = [*(start.start() for start in starts[1:]), len(body)]

    assert [start.group(1) for start in starts] == wanted, function.__qualname__
    for start, end in zip(starts, ends, strict=True):
        assert UNIT.search(body[start.end() : end].strip()), (
            function.__qualname__,
            start.group(1),
        )
