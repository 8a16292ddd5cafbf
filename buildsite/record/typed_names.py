"""Names as people type them, and the known name that was meant."""

import re
from collections.abc import Sequence

RUN = re.compile(r"[^\W\d_]+|[0-9]+")
"""Letters or digits in a row: what stands between them is left to the typist."""


class UnknownName(ValueError):
    """No known name was meant, or more than one."""


def known_name(typed: str, known: Sequence[str], *, numbered: bool = False) -> str:
    """
    Return the known name that was typed, as it is known.

    Case, spaces, hyphens and leading zeros are free. A beginning may be left out, as a
    publisher is, and the end of the last word, where one name alone remains.

    Parameters
    ----------
    typed
        What a person typed.
    known
        The names there are.
    numbered
        Whether the names were shown with numbers, one of which may have been typed.

    Raises
    ------
    UnknownName
        With the list of the known names.

    Examples
    --------
    >>> known_name("t180", ["AASHTO T 99", "AASHTO T 180"])
    'AASHTO T 180'
    >>> [known_name(typed, ["M-02", "M-04", "M-12"]) for typed in ("m04", "M 4", "m-4")]
    ['M-04', 'M-04', 'M-04']
    >>> known_name("2", ["manual", "mechanical"], numbered=True)
    'mechanical'
    >>> known_name("T 181", ["AASHTO T 99", "AASHTO T 180"])
    Traceback (most recent call last):
    buildsite.record.typed_names.UnknownName: 'T 181' is not one of: AASHTO T 99, \
AASHTO T 180.
    """
    text = " ".join(typed.split())
    if text in known:
        return text
    wanted = parts(text)
    shown = [name for i, name in enumerate(known, 1) if numbered and text == str(i)]
    for is_like in (same, ends_with, begins_with):
        like = [name for name in known if wanted and is_like(parts(name), wanted)]
        if like:
            break
    found = list(dict.fromkeys([*shown, *like]))
    if len(found) == 1:
        return found[0]
    if found:
        raise UnknownName(f"{text!r} may be any of: {', '.join(found)}.")
    there = ", ".join(known) or "none is on file"
    raise UnknownName(f"{text!r} is not one of: {there}.")


def parts(name: str) -> list[str]:
    """
    Return the words and numbers of a name, alike however it is spelled.

    >>> parts("AASHTO T-099"), parts("m04")
    (['aashto', 't', '99'], ['m', '4'])
    """
    return [run.lstrip("0") or "0" for run in RUN.findall(name.casefold())]


def same(name: list[str], wanted: list[str]) -> bool:
    """Return whether it is the name itself."""
    return name == wanted


def ends_with(name: list[str], wanted: list[str]) -> bool:
    """Return whether the beginning of the name was left out."""
    return name[-len(wanted) :] == wanted


def begins_with(name: list[str], wanted: list[str]) -> bool:
    """Return whether the end was left out; never that of a number."""
    *whole, last = wanted
    at = len(whole)
    return (
        name[:at] == whole
        and len(name) > at
        and (name[at] == last or (last.isalpha() and name[at].startswith(last)))
    )
