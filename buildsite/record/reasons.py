"""What is a reason: what was wrong, or why something is right, in words."""

import re
from collections.abc import Iterable, Iterator

A_WORD = re.compile(r"[^\W\d_]{2,}")

NO_WORDS_OF_A_REASON = frozenset(
    {"yes", "yeah", "yep", "no", "nope", "ok", "okay", "sure", "fine", "good"}
    | {"right", "correct", "true", "done", "changed", "change", "correction", "it"}
    | {"is", "this", "that", "was", "the", "my", "because", "so", "just", "please"}
    | {"reason", "none", "nothing", "na", "same", "again"}
)
"""Words that say by themselves neither what was wrong nor why."""

A_REASON = (
    "A reason says what was wrong or why, in two words or more: balance misread, "
    "rows exchanged."
)


def says_nothing(text: str) -> bool:
    """
    Return whether a text has only words of yes and no.

    >>> says_nothing("ok, yes"), says_nothing("8.83")
    (True, False)
    """
    words = A_WORD.findall(text)
    return bool(words) and not [*telling(words)]


def telling(words: Iterable[str]) -> Iterator[str]:
    """Yield the words that say something."""
    return (word for word in words if word.lower() not in NO_WORDS_OF_A_REASON)


def is_reason(text: str) -> bool:
    """
    Return whether a text is a reason: two words or more, and not only yes or no.

    >>> [is_reason(x) for x in ("balance misread", "misread", "yes", "ok it is", "p 2")]
    [True, False, False, False, False]
    """
    words = A_WORD.findall(text)
    return len(words) > 1 and any(telling(words))
