"""What a figure says of itself, for whoever has it without its page."""

from buildsite.values import dataclass


@dataclass(frozen=True)
class FigureName:
    """The title that is read aloud, and the line below the picture ("": none)."""

    title: str = ""
    strip: str = ""


NAMELESS = FigureName()
"""The title of the plot alone."""

BETWEEN = " · "


def figure_name(shown: str, *parts: str) -> FigureName:
    """
    Return the name of a figure: whose it is, standard and laboratory.

    >>> figure_name("Compaction curve", "HF-0117 r1", "ASTM D698, Method A", "")
    ... # doctest: +NORMALIZE_WHITESPACE
    FigureName(title='Compaction curve: HF-0117 r1 · ASTM D698, Method A',
               strip='HF-0117 r1 · ASTM D698, Method A')
    """
    strip = BETWEEN.join(filter(None, parts))
    return FigureName(f"{shown}: {strip}", strip)
