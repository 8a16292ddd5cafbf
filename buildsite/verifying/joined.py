"""One issued item with what it is compared with."""

from collections.abc import Mapping
from typing import Any

from buildsite.record.issued import LEFT_OUT, Issued, Item, kept_name
from buildsite.record.proof import Fault
from buildsite.values import dataclass

SUFFIXES = {"report": "html", "result": "json", "pdf": "pdf"}
"""Suffix of each kept file."""

CLAIMS = ("report", "preliminary")
"""Kinds of item that report a result."""


def replaces(later: Item, item: Item) -> bool:
    """Whether a later item replaces one: a preliminary report replaces no final one."""
    final = item.kind != "preliminary"
    return later.is_report and not (final and later.kind == "preliminary")


@dataclass(frozen=True)
class Joined:
    """
    One item: where it stands, the commit it came with, and one with all its inputs.

    `path` is the file of issued items, `record` that of the test; `place` counts the
    items before it, whatever number it states; `kept` gives the bytes of a kept file,
    None if it is missing.
    """

    path: str
    record: str
    issued: Issued
    place: int
    came: str
    commit: str
    kept: Mapping[str, bytes | None]

    @property
    def item(self) -> Item:
        """The item as read."""
        return self.issued.items[self.place]

    @property
    def claims(self) -> bool:
        """Whether it reports a result."""
        return self.item.kind in CLAIMS

    @property
    def last(self) -> bool:
        """Whether no later item of its test reports a result in its place."""
        later = self.issued.items[self.place + 1 :]
        return self.claims and not any(
            one.kind in CLAIMS and replaces(one, self.item) for one in later
        )

    @property
    def replaced_by(self) -> int | None:
        """The place of the next item that replaces it; None if none does."""
        items = self.issued.items
        later = range(self.place + 1, len(items))
        return next((n for n in later if replaces(items[n], self.item)), None)

    @property
    def own(self) -> str:
        """The test's record among the inputs: it may have been moved since."""
        end = f"/{self.issued.test}.yaml"
        return next((name for name in self.item.inputs if name.endswith(end)), "")

    @property
    def tree(self) -> Mapping[str, Any]:
        """The item as written, without what is known only after the report."""
        tree = self.issued.trees[self.place]
        return {key: value for key, value in tree.items() if key not in LEFT_OUT}

    @property
    def before(self) -> Issued:
        """The items before it."""
        end, issued = self.place, self.issued
        return Issued(
            issued.source, issued.test, issued.items[:end], issued.trees[:end]
        )

    def fault(self, what: str, mend: str, *, of: str = "") -> Fault:
        """Return a fault of this item, or of its kept report or result."""
        number = self.item.revision
        suffix = SUFFIXES.get(of)
        file = kept_name(self.record, number, suffix) if suffix else self.path
        return Fault(self.issued.test, number, file, self.came, what, mend)
