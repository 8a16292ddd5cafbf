"""The house's plan of imports: who may use whom, and who alone touches the world."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import import_module
from pathlib import Path

import pytest

from buildsite.kinds import KIND_FILES

PACKAGE = Path(__file__).parents[1] / "buildsite"

CORE = {"record", "standards", "soil", "kinds"}
ARCHIVE = CORE | {"archive", "exports", "software"}
EVERYWHERE = {"values", "asked"}  # how a data class is made; what a value asked for
SHOWN = ARCHIVE | {"pages"}  # for those who draw pages: what people do needs none
WORLD = {"files", "history", "errors"}

# room: the rooms of ours that it may import. Every module belongs to a room.
ROOMS: dict[str, set[str]] = {
    "errors": set(),
    "progress": set(),
    "software": set(),
    "values": set(),
    "asked": set(),
    "record": {"record"},
    "standards": {"standards", "record"},
    "soil": {"soil"},
    "kinds": CORE,
    "exports": {"exports", "kinds", "record"},
    "archive": {"archive", "exports", "kinds", "record"},
    "archive.states": ARCHIVE | WORLD,  # the edge of its room: it meets files and git
    "archive.signatures": ARCHIVE | WORLD,  # likewise
    "pages": {"pages", "archive", "exports", "kinds", "record"},
    "validation": CORE | {"archive", "validation"},
    "starting": CORE | {"archive", "exports", "starting"},
    "published": set(),  # data alone
    "files": {"files", "record", "errors"},
    "history": {"history", "files", "record", "errors"},
    "issuing": SHOWN | WORLD | {"issuing"},
    "entering": ARCHIVE | WORLD | {"entering"},
    "verifying": SHOWN | WORLD | {"issuing", "build", "cache", "progress", "verifying"},
    "workers": set(),
    "cluster": {"workers", "software", "errors"},
    "cache": {"cache"},
    "building": SHOWN | WORLD | {"workers", "cluster", "building", "cache", "progress"},
    "build": SHOWN | WORLD | {"build", "building", "cache", "progress"},
    "shards": SHOWN | WORLD | {"workers", "build", "building", "cache", "progress"},
    "serve": set(),
    "notebook": ARCHIVE | WORLD,
    "cli": SHOWN
    | WORLD
    | {"issuing", "entering", "verifying"}
    | {
        "build",
        "cache",
        "shards",
        "serve",
        "validation",
        "starting",
        "notebook",
        "progress",
        "cli",
    },
}

# What a kind of test is reaches others through `Kind` alone. `validation` computes the
# published examples step by step, by the functions of the kinds themselves.
TESTS, MEET_TESTS = "buildsite.kinds.tests.", {"kinds", "validation"}

# library: the rooms, or single modules, that may touch it.
KEEPERS: dict[str, set[str]] = {
    "yaml": {"record", "standards"},
    "pydantic": {"record", "standards", "kinds"},
    "numpy": {"soil", "kinds", "notebook"},
    "scipy": {"soil"},
    "matplotlib": {"pages.revisions.kept_pdf"},
    "jinja2": {"pages.render", "pages.templates"},
    "segno": {"pages.qr_code"},
    "weasyprint": {"pages.revisions.kept_pdf"},
    "fontTools": {"pages.revisions.kept_pdf"},
    "subprocess": {"history"},
    "http": {"serve"},
    "click": {"cli"},
    "sqlite3": {"cache"},
    "concurrent": {"workers"},
    "distributed": {"cluster"},
    "multiprocessing": {"workers"},
    "time": {"serve", "history.lock", "cli.progress"},  # to wait; no day comes from it
}

# Start-up is measured: these are imported inside functions, but for the modules whose
# only job they are, and which are themselves imported late.
HEAVY = {"numpy", "scipy", "matplotlib", "jinja2", "segno", "weasyprint", "fontTools"}
LATE = ("pages.render", "pages.templates")


@dataclass(frozen=True)
class Import:
    """One imported module, and whether importing the importer imports it too."""

    name: str
    at_once: bool


def imports(tree: ast.AST, *, at_once: bool = True) -> Iterator[Import]:
    """Every import below `tree`; those for the type checker alone are no imports."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.expr):
            continue  # which holds no statement, and is most of a module
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        if isinstance(node, ast.Import):
            yield from (Import(alias.name, at_once) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module == "buildsite":
            yield from (Import(f"buildsite.{a.name}", at_once) for a in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield Import(node.module or "", at_once)
        inside = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        yield from imports(node, at_once=at_once and not inside)


@lru_cache(maxsize=1)
def nodes(tree: ast.AST) -> list[ast.AST]:
    """All of a module, walked through once for several questions."""
    return [*ast.walk(tree)]


def name_of(path: Path) -> str:
    """`pages.render` of pages/render.py, `pages` of pages/__init__.py."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(module: str) -> str:
    """The room of a module: its own line of the plan, else that of its folder."""
    return module if module in ROOMS else module.partition(".")[0]


def faults(module: str, tree: ast.AST) -> Iterator[str]:
    """What the module imports against the plan."""
    room = room_of(module)
    for found in imports(tree):
        top, _, rest = found.name.partition(".")
        if f"{found.name}.".startswith(TESTS) and room not in MEET_TESTS:
            yield f"{module} imports {found.name}: {room} may know no kind of test"
        ours = rest.partition(".")[0]
        if top == "buildsite" and ours.isidentifier() and not ours.startswith("__"):
            if ours not in ROOMS[room] | EVERYWHERE:
                yield f"{module} imports {found.name}: {room} may not use {ours}"
            continue
        keepers = KEEPERS.get(top)
        if keepers is not None and not any(
            module == keeper or module.startswith(f"{keeper}.") for keeper in keepers
        ):
            yield f"{module} imports {found.name}: only {sorted(keepers)} may"
        if top in HEAVY and found.at_once and not f"{module}.".startswith(LATE):
            yield f"{module} imports {found.name} when it is itself imported"


MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE) + [
    path for path in sorted(PACKAGE.glob("*.py")) if not path.stem.startswith("__")
]


@dataclass(frozen=True)
class Told:
    """What a module's text tells of its imports."""

    faults: list[str]
    named: set[str]
    kinds: list[str]


@cache
def told() -> dict[str, Told]:
    """Every module, read once for all tests, by name."""
    found = {}
    for path in PACKAGE.rglob("*.py"):
        name, tree = name_of(path), ast.parse(path.read_bytes())
        wrong = [*faults(name, tree)] if path in MODULES else []
        found[name] = Told(wrong, named_modules(name, tree), kinds_named(tree))
    return found


KIND = re.compile(
    rf"(?<![\w-])({'|'.join(n for n in KIND_FILES if '-' in n)})(?![\w-])"
)
EXAMPLE = "such as"
"""A message may name a kind as an example of a line."""


def kinds_named(tree: ast.AST) -> list[str]:
    """Texts of a module that name a kind of record; what documents it is none."""
    documents = {
        id(node.value)
        for node in nodes(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    return [
        node.value
        for node in nodes(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in documents
        and EXAMPLE not in node.value
        and KIND.search(node.value)
    ]


def test_no_kind_is_named_outside_the_kinds() -> None:
    # A new kind needs nothing but its own files and what DEVELOPERS.md names.
    named = {
        name: one.kinds
        for name, one in told().items()
        if one.kinds and name.partition(".")[0] not in MEET_TESTS
    }

    assert named == {}
    assert kinds_named(ast.parse('if kind == "field-density":\n    pass'))
    assert not kinds_named(ast.parse('def f():\n    "Of a field-density."'))


def test_a_module_can_be_imported_by_itself() -> None:
    for name in told():
        import_module(f"buildsite.{name}".removesuffix("."))


def test_a_module_keeps_to_its_room() -> None:
    names = [name_of(path) for path in MODULES]
    assert [name for name in names if name.partition(".")[0] not in ROOMS] == []

    assert [fault for name in names for fault in told()[name].faults] == []
    assert len(names) > 100


@pytest.mark.parametrize(
    ("module", "text"),
    [
        ("soil.phase", "from buildsite.record.units import FACTORS"),
        ("soil.phase", "from buildsite import record"),
        ("kinds.mold", "def f():\n    import subprocess"),
        ("pages.page", "from jinja2 import Environment"),
        ("soil.phase", "class A:\n    import numpy as np"),
        ("soil.phase", "import numpy.linalg"),
        ("cli.next", "from buildsite.kinds.tests.water_content import KIND"),
    ],
)
def test_a_stranger_is_seen(module: str, text: str) -> None:
    assert [*faults(module, ast.parse(text))] != []


@pytest.mark.parametrize(
    ("module", "text"),
    [
        ("soil.phase", "def f():\n    import numpy as np"),
        ("soil.phase", "if TYPE_CHECKING:\n    import numpy as np"),
        ("kinds.mold", "from buildsite.soil.water import water_density"),
        ("pages.render", "from jinja2 import Environment"),
    ],
)
def test_a_guest_is_let_in(module: str, text: str) -> None:
    assert [*faults(module, ast.parse(text))] == []


def test_no_room_reaches_itself_through_others() -> None:
    # Without cycles a module can be read knowing only the rooms before its own.
    open_rooms = {room: uses - {room} for room, uses in ROOMS.items()}

    while free := {room for room, uses in open_rooms.items() if not uses}:
        open_rooms = {r: uses - free for r, uses in open_rooms.items() if r not in free}

    assert open_rooms == {}


NAMES = {name_of(path) for path in PACKAGE.rglob("*.py")}


def named_modules(module: str, tree: ast.AST) -> set[str]:
    """Modules of ours that a module imports anywhere, for the type checker too."""
    found: set[str] = set()
    for node in nodes(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            inner = {f"{node.module}.{alias.name}" for alias in node.names}
            modules = {one for one in inner if one.removeprefix("buildsite.") in NAMES}
            found |= modules or {node.module or ""}
    ours = {name.removeprefix("buildsite.") for name in found if "buildsite." in name}
    return (ours & NAMES) - {module}


def circle(imports: dict[str, set[str]]) -> set[str]:
    """Modules that import each other in a circle, and those that lead to them."""
    left = dict(imports)
    while free := {name for name, uses in left.items() if not uses & left.keys()}:
        left = {name: uses for name, uses in left.items() if name not in free}
    return set(left)


def test_no_modules_import_each_other_in_a_circle() -> None:
    # Imports inside functions and for the type checker count: who reads one module
    # needs only those that it names.
    assert circle({name: one.named for name, one in told().items()}) == set()


def test_a_circle_is_seen_however_it_is_imported() -> None:
    lazily = ast.parse("def f():\n    from buildsite.archive import records")
    for_types = ast.parse(
        "if TYPE_CHECKING:\n    from buildsite.archive.archive import Archive"
    )

    found = {
        "archive.archive": named_modules("archive.archive", lazily),
        "archive.records": named_modules("archive.records", for_types),
        "archive.drift": set[str](),
    }

    assert circle(found) == {"archive.archive", "archive.records"}


EDGES = {"archive.states", "archive.signatures"}
"""Modules of a pure room that meet files and git."""


def test_no_pure_module_of_the_archive_uses_its_edge() -> None:
    pure = [name for name in told() if name.startswith("archive.")]
    assert {*pure} > EDGES

    for module in {*pure} - EDGES:
        used = told()[module].named
        assert used & EDGES == set(), module
        assert {one for one in used if one.partition(".")[0] in WORLD} == set(), module
