"""Space of a figure that labels must not cover: lines, marks, labels already placed."""

from collections.abc import Iterator, Sequence
from dataclasses import field

from buildsite.pages.figure.boxes import Box, Edges, Size, Spot, crosses
from buildsite.pages.figure.offered_boxes import AXES, GAP, STRIP, box_anywhere, grid
from buildsite.values import dataclass


@dataclass
class Taken:
    """Space that labels must not cover; lines stay while labels are placed."""

    lines: list[tuple[Box, Sequence[Spot]]]  # short pieces, each in the box around it
    boxes: list[Box]  # marks, and labels already placed
    clear: set[Edges] = field(default_factory=set)  # places that no line crosses
    left: dict[Size, set[Edges]] = field(default_factory=dict)
    """By the size of a label, its places all over the figure that may still be free."""

    def free(self, box: Edges) -> bool:
        """Whether a label fits there."""
        if not (AXES.holds(box) or STRIP.holds(box)):
            return False
        left, bottom, right, top = box
        left, bottom, right, top = left - GAP, bottom - GAP, right + GAP, top + GAP
        # The next box tried is near and crosses the same obstacle, so test that first.
        for i, (a, b, c, d) in enumerate(self.boxes):
            if a < right and c > left and b < top and d > bottom:
                if i:
                    self.boxes.insert(0, self.boxes.pop(i))
                return False
        if box in self.clear:
            return True
        if self.crossed((left, bottom, right, top)):
            return False
        self.clear.add(box)
        return True

    def crossed(self, box: Edges) -> bool:
        """Whether a line crosses a box."""
        left, bottom, right, top = box
        for i, ((a, b, c, d), way) in enumerate(self.lines):
            if a >= right or c <= left or b >= top or d <= bottom:
                continue
            if crosses(way, box):
                self.lines.insert(0, self.lines.pop(i))
                return True
        return False

    def anywhere(self, targets: Sequence[Spot], size: Size) -> Iterator[Edges]:
        """Yield the nearest place on the whole figure, if there is one."""
        if size not in self.left:
            self.left[size] = set(grid(*size))
        yield from box_anywhere(targets, self.left[size], self.free)
