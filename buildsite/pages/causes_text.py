"""What changed a result, and whether it matters, in words for pages and terminal."""

from collections.abc import Iterator, Sequence

from buildsite.archive.causes import Cause
from buildsite.archive.differences import NOT_STATED
from buildsite.kinds.follows import Follow
from buildsite.kinds.significance import MovedTarget, Significance, Uncertainty
from buildsite.record.messages import counted

MOST_CAUSES = 4
"""Changed values told one by one; the others are in the table below."""


def capital(text: str) -> str:
    """Return a text with a capital first letter."""
    return text[:1].upper() + text[1:]


def from_to(old: str, new: str) -> str:
    """
    Return two figures as a change, the unit once where it is the same.

    >>> from_to("8.64 lb", "8.46 lb"), from_to("108.7 lb/ft³", "108.0 lbf/ft³")
    ('8.64 → 8.46 lb', '108.7 lb/ft³ → 108.0 lbf/ft³')
    >>> from_to("", "auto"), from_to("assumed", "measured")
    ('not stated → auto', 'assumed → measured')
    """
    (number, _, unit), (_, _, other) = old.partition(" "), new.partition(" ")
    same = unit == other and " " not in unit and number[-1:].isdigit()
    return f"{number if same else old or NOT_STATED} → {new or NOT_STATED}"


def cause_line(one: Cause) -> str:
    """
    Return a changed value in words, with how it was miswritten where that shows.

    >>> cause_line(Cause("mold M-02", "volume", "945.2 cm³", "951.9 cm³"))
    'Mold M-02, volume: 945.2 → 951.9 cm³ (+0.7 %)'
    >>> cause_line(Cause("", "point 4, mold and wet soil", "8.64 lb", "8.46 lb"))
    'Point 4, mold and wet soil: 8.64 → 8.46 lb (−2.1 %), two digits exchanged'
    """
    share = f" ({one.percent})" if one.percent else ""
    how = f", {one.slip}" if one.slip else ""
    return f"{capital(one.subject)}: {from_to(one.old, one.new)}{share}{how}"


def leading(causes: Sequence[Cause]) -> tuple[Cause, ...]:
    """Return the values told as the cause: what moved a result, else what changed."""
    movers = tuple(one for one in causes if one.moves)
    return (movers or tuple(causes))[:MOST_CAUSES]


def cause_lines(causes: Sequence[Cause]) -> Iterator[str]:
    """Return the causes, a line each, and how many more values changed with them."""
    told = leading(causes)
    yield from map(cause_line, told)
    movers = len([one for one in causes if one.moves]) or len(causes)
    if movers > len(told):
        yield f"{counted(movers - len(told), 'more value')} changed in the same way."


def flip_sentence(follows: Sequence[Follow]) -> Iterator[str]:
    """
    Return which verdicts of field tests change.

    >>> a = Follow("F-1", "", "95.0 %", "93.9 %", "pass", "fail")
    >>> b = Follow("F-2", "", "98.0 %", "97.0 %", "pass", "pass")
    >>> list(flip_sentence([a, a, b]))
    ['2 of 3 field verdicts change: F-1, F-1 pass → fail.']
    >>> list(flip_sentence([b]))
    ['No field verdict changes (1).']
    """
    flips: dict[str, list[str]] = {}
    for one in follows:
        if one.flipped:
            flips.setdefault(one.verdicts, []).append(one.id)
    if flips:
        names = "; ".join(f"{', '.join(ids)} {how}" for how, ids in flips.items())
        many = sum(map(len, flips.values()))
        verb = "changes" if many == 1 else "change"
        whole = counted(len(follows), "field verdict")
        yield f"{many} of {whole} {verb}: {names}."
    elif follows:
        yield f"No field verdict changes ({len(follows)})."


def significance_lines(found: Significance) -> Iterator[str]:
    r"""
    Return whether a difference is within the precision, and which targets move.

    >>> from buildsite.kinds.significance import Precision
    >>> one = Precision("d", "dry density", "0.7 lb", "2.2 lb", "", within=True)
    >>> two = Precision("w", "water content", "2 points", "1 point", "", within=False)
    >>> (line,) = significance_lines(Significance((one, two)))
    >>> print(line.replace("; ", "\n"))
    Dry density: 0.7 lb, less than the single-operator repeatability of 2.2 lb
    water content: 2 points, more than its 1 point.
    """
    parts = [f"{one.label}: {one.difference}, {one.words}" for one in found.precision]
    for i, one in enumerate(found.precision[1:], start=1):
        parts[i] = f"{one.label}: {one.difference}, {one.how} its {one.limit}"
    if parts:
        yield f"{capital('; '.join(parts))}."
    if found.uncertainties:
        yield uncertainty_line(found.uncertainties)
    if found.not_known:
        yield f"{found.not_known}."
    zones: dict[str, list[MovedTarget]] = {}
    for target in found.targets:
        zones.setdefault(target.zone, []).append(target)
    for zone, targets in zones.items():
        going = [one for one in targets if one.moves]
        verb = "moves: " if going else "stays: "
        words = "; ".join(one.words for one in going or targets)
        yield f"The target of zone {zone} {verb}{words}."


def uncertainty_line(found: Sequence[Uncertainty]) -> str:
    r"""
    Return which differences are inside the uncertainty that the report states.

    >>> one = Uncertainty("d", "dry density", "0.7 lb", "1.2 lb", within=True)
    >>> two = Uncertainty("w", "water content", "2 points", "1 point", within=False)
    >>> print(uncertainty_line((one, two)).replace("; ", "\n"))
    Dry density: 0.7 lb, inside the result's own expanded uncertainty, ± 1.2 lb
    water content: 2 points, outside its ± 1 point.
    """
    parts = [f"{one.label}: {one.difference}, {one.words}" for one in found]
    for i, one in enumerate(found[1:], start=1):
        parts[i] = f"{one.label}: {one.difference}, {one.how} its ± {one.expanded}"
    return f"{capital('; '.join(parts))}."


def basis_line(found: Significance) -> Iterator[str]:
    """Return where the repeatability is from."""
    for basis in dict.fromkeys(one.basis for one in found.precision):
        yield f"Repeatability, two results of one operator: {basis}."
