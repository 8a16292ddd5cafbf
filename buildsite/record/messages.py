"""Parts of messages: a text in quotes, a list of choices, a count, a suggestion."""

import re
from collections.abc import Iterable, Sequence


def nearest(word: str, known: Iterable[str]) -> str:
    """
    Return the known word most like another, ignoring case; blank if none is like it.

    >>> nearest("mold_mas", ["mold_mass", "mold_volume"])
    'mold_mass'
    >>> nearest("colour", ["mold_mass"])
    ''
    """
    from difflib import get_close_matches  # late: few need it

    lowered = {name.casefold(): name for name in known}
    near = get_close_matches(word.casefold()[:200], list(lowered), n=1)
    return lowered[near[0]] if near else ""


def quoted(text: str, most: int = 60) -> str:
    """
    Return a text in quotes on one line, shortened, with hidden characters escaped.

    >>> quoted("no way")
    "'no way'"
    """
    return repr(text if len(text) <= most else text[: most - 1] + "…")


COMMA = re.compile(r"(-?[0-9]+),([0-9]+)")


def about_comma(text: str) -> str:
    """
    Return what to write for a number with a decimal comma; blank for any other text.

    >>> about_comma("12,5"), about_comma("12.5")
    ('Write a decimal point: 12.5.', '')
    """
    found = COMMA.fullmatch(text.strip())
    return f"Write a decimal point: {found[1]}.{found[2]}." if found else ""


def join_choices(choices: Sequence[str]) -> str:
    """
    Return the choices as `a, b or c`.

    >>> join_choices(["moist", "dry"])
    'moist or dry'
    """
    if len(choices) < 2:
        return "".join(choices)
    return f"{', '.join(choices[:-1])} or {choices[-1]}"


def counted(count: int, noun: str) -> str:
    """
    Return a number and its noun.

    >>> counted(1, "edit"), counted(0, "edit")
    ('1 edit', '0 edits')
    """
    return f"{count} {noun}{'' if count == 1 else 's'}"


def some_of(names: Sequence[str], most: int) -> str:
    """
    Return the first of some names, and how many more there are.

    >>> some_of(["A-1", "A-2", "A-3"], 2), some_of(["A-1"], 2)
    ('A-1, A-2 and 1 more', 'A-1')
    """
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{', '.join(names[:most])}{more}"
