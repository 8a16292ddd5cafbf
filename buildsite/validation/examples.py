"""The published examples as they were printed: figures as text, never as floats."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from buildsite.record.flags import Field, Flag
from buildsite.record.source import read_source
from buildsite.values import dataclass

FOLDER = Path(__file__).parents[1] / "published"

HALF_A_DIGIT = "half the last printed digit"
BY_EYE = "spread between readers' curves"
REASONS = (
    BY_EYE,
    "the source truncates its digits",
    "the source continues with rounded figures",
    "the source fitted its rounded points with fifteen digits",
    "the source uses a rounded pi",
    "worked by hand in the source",
    "different formula for the density of water",
    "a nominal figure",
    "a budget is a linear approximation",
)
"""Reasons for a tolerance other than half the last printed digit."""

SOURCE_CLASSES = {
    "standard or agency": "Published by a standards body or an agency",
    "textbook or paper": "Textbook, handbook or paper",
    "course": "Unattributed teaching exercises of courses",
    "open page": "Open pages",
    "memory": "From memory, not yet checked against the text",
}
"""Classes of source, the surest first, with their headings."""

NONE = "none"
"""Written where no value follows from what was given."""


@dataclass(frozen=True)
class Expected:
    """A flag that an example raises, or must not: at these points, or anywhere."""

    flag: str
    points: tuple[int, ...] = ()


@dataclass(frozen=True)
class Example:
    """One published example. `tree` is the whole file, every scalar as printed."""

    tree: Mapping[str, Any]

    @property
    def id(self) -> str:
        return str(self.tree["id"])

    @property
    def title(self) -> str:
        return str(self.tree["title"])

    @property
    def source_class(self) -> str:
        """How sure the source is: one of `SOURCE_CLASSES`."""
        return str(self.tree["source_class"])

    @property
    def source(self) -> str:
        """
        Publication, edition, section and, of an open page, its address.

        A teaching exercise found on a document-sharing or answer site has no address:
        who wrote it is not known there, and the arithmetic shows for itself.
        """
        return "; ".join(self.tree["source"].values())

    @property
    def given(self) -> Mapping[str, Any]:
        found: Mapping[str, Any] = self.tree["given"]
        return found

    @property
    def units(self) -> Mapping[str, str]:
        found: Mapping[str, str] = self.tree["units"]
        return found

    @property
    def notes(self) -> tuple[str, ...]:
        return tuple(self.tree.get("notes", ()))

    def figures(self) -> Iterator[tuple[Field, str]]:
        """Every printed figure that is recomputed, with the way to it."""
        for name, printed in self.tree["published"].items():
            if name not in self.tree.get("not_computed", ()):
                yield from leaves(printed, (name,))

    def places(self, way: Field) -> int:
        """
        Decimals that a figure was printed to: those of its column.

        A zero at the end of a single figure may have been dropped, so the longest
        figure of a list tells.
        """
        printed: Any = self.tree["published"]
        for part in way:
            column, printed = printed, printed[part]
        figures = column if isinstance(column, list) else [printed]
        return max(len(figure.partition(".")[2]) for figure in figures)

    def tolerance_text(self, way: Field) -> str:
        """The tolerance as written: in the figure's own unit, or percent of it."""
        return str(value_over(self.tree["tolerance"], way))

    def tolerance(self, way: Field) -> Fraction:
        """How far a computed figure may be from what is wanted, in its own unit."""
        text = self.tolerance_text(way)
        if text.endswith(" %"):
            printed = Fraction(str(value_over(self.tree["published"], way)))
            return abs(printed) * Fraction(text.removesuffix(" %")) / 100
        return Fraction(text)

    def because(self, way: Field) -> str:
        """Why the tolerance is what it is."""
        reason = value_over(self.tree.get("because", {}), way)
        return reason if isinstance(reason, str) else HALF_A_DIGIT

    def mended(self, way: Field) -> str | None:
        """What follows from the data, where the printed figure does not."""
        slip = value_over(self.tree.get("does_not_follow", {}), way)
        return slip if isinstance(slip, str) else None

    def slip(self, way: Field) -> str:
        """What went wrong in the source."""
        return str(value_over(self.tree.get("slips", {}), way) or "")

    def expected(self, key: str) -> tuple[Expected, ...]:
        """Flags under `raises`, or under `silent`."""
        return tuple(
            Expected(row["flag"], tuple(map(int, row.get("points", ()))))
            for row in self.tree.get(key, ())
        )


Tree = Mapping[str, Any]
"""Quantities by the names of an example, in its units; None where there is none."""


@dataclass(frozen=True)
class Recomputed:
    """What became of an example: its figures, and the flags of its records."""

    figures: Tree
    flags: tuple[Flag, ...] = ()


def leaves(node: Any, way: Field) -> Iterator[tuple[Field, str]]:
    """Every scalar below a node."""
    if isinstance(node, Mapping):
        for name, below in node.items():
            yield from leaves(below, (*way, name))
    elif isinstance(node, list):
        for i, below in enumerate(node):
            yield from leaves(below, (*way, i))
    else:
        yield way, str(node)


def value_over(tree: Any, way: Field) -> Any:
    """
    Follow a way as far as a tree goes: a scalar above holds for all that is below.

    >>> value_over({"a": {"1": "x"}}, ("a", 1)), value_over({"a": "y"}, ("a", 0))
    ('x', 'y')
    >>> value_over({"a": {"1": "x"}}, ("a", 0))
    """
    for part in way:
        if isinstance(tree, str):
            break
        # Members of a list are named by their numbers in a mapping of slips.
        tree = tree.get(str(part)) if isinstance(tree, Mapping) else tree[part]
        if tree is None:
            return None
    return tree


def read_example(path: Path) -> Example:
    """Read one file, by the same strict reader as a laboratory's records."""
    source = read_source(path.name, path.read_bytes())
    if source.faults:
        raise ValueError(f"a published example can't be read: {source.faults[0]}")
    return Example(source.tree)


def examples() -> tuple[Example, ...]:
    """Every example, in the order of their ids."""
    return tuple(read_example(path) for path in sorted(FOLDER.glob("*.yaml")))
