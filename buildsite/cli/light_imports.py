"""
Pydantic and PyYAML loaded without what only their imports cost.

Whoever starts a process for one record pays it each time. Pydantic's types for a type
checker, a hundred typed dicts, are made as plain classes; its data classes share their
methods (`values.dataclass`) instead of compiling each; plugins, which could change what
a record means, are not looked for. PyYAML's patterns, of which our reader needs none,
are compiled when one is asked for. What they do is the same, and a test compares it.
Only the program loads them so, never whoever imports `buildsite` into one of theirs;
and only in the versions in which it was compared: any other is loaded as ever.
"""

import dataclasses
import os
import re
import sys
import typing
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType
from typing import Any

from buildsite.values import dataclass

COMPARED = {"pydantic": "2.14.4", "pyyaml": "6.0.4"}
"""Version of each package that was compared: those of the lock file."""

PARTS = (
    "pydantic_core.core_schema",
    "pydantic",
    "pydantic.types",
    "pydantic.fields",
    "pydantic.functional_validators",
    "pydantic.json_schema",
    "pydantic._internal._generate_schema",
)


class PlainDict(dict[str, Any]):
    """A typed dict whose types nobody asks for while it runs."""

    def __init_subclass__(cls, **options: object) -> None:
        """Take the class as it is."""


class Later:
    """A pattern that is compiled when it is asked for something."""

    def __init__(self, *of: Any) -> None:
        self._of = of

    def __getattr__(self, name: str) -> Any:
        """Compile it, and ask it."""
        return getattr(re.compile(*self._of), name)


STANDARD = dataclasses.dataclass
OURS = {"eq", "frozen", "kw_only", "slots"}
"""What may be asked for of a data class that ours does as well, or can leave out."""


def shared_methods(cls: type | None = None, /, **options: Any) -> Any:
    """Make a data class of somebody else's as one of ours: no slots, no own code."""
    if cls is None:
        return lambda named: shared_methods(named, **options)
    if not options.keys() <= OURS:
        return STANDARD(cls, **options)
    eq, frozen = options.get("eq", True), options.get("frozen", False)
    return dataclass(cls, frozen=frozen, eq=eq)


def without_plugins() -> None:
    """
    Keep pydantic from loading plugins, which could change what a record means.

    The variable forbids it. The module that looks for them is not loaded at all: its
    imports take a tenth of a `check`.
    """
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"
    loader = ModuleType("pydantic.plugin._loader")
    loader.__dict__["get_plugins"] = tuple  # there are none
    sys.modules.setdefault(loader.__name__, loader)


@contextmanager
def in_place_of(module: Any, name: str, other: Any) -> Iterator[None]:
    """Put something in the place of what a module holds, for a while."""
    kept = getattr(module, name)
    setattr(module, name, other)
    try:
        yield
    finally:
        setattr(module, name, kept)


def is_compared(package: str, module: str) -> bool:
    """Whether a package is installed in the version that was compared."""
    found = find_spec(module)
    if found is None or found.origin is None:
        return False
    # By the folder beside it: to ask for a version properly takes longer than it gains.
    place = Path(found.origin).parents[1]
    return (place / f"{package}-{COMPARED[package]}.dist-info").is_dir()


def load_pydantic() -> None:
    """Load pydantic so, if it is not loaded yet."""
    without_plugins()
    if "pydantic" in sys.modules or not is_compared("pydantic", "pydantic"):
        return
    import typing_extensions

    with (
        in_place_of(typing, "TypedDict", PlainDict),
        in_place_of(typing_extensions, "TypedDict", PlainDict),
        in_place_of(dataclasses, "dataclass", shared_methods),
    ):
        for name in PARTS:
            import_module(name)


def load_yaml() -> None:
    """Load PyYAML so, if it is not loaded yet."""
    if "yaml" not in sys.modules and is_compared("pyyaml", "yaml"):
        with in_place_of(re, "compile", Later):
            import_module("yaml")
