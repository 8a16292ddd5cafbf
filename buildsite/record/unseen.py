"""Characters that no one sees, and lines in which they are spelled."""

import re

# Control characters; line ends that only some programs recognize (NEL, LS, PS), which
# would shift every line number below them; marks that change the direction of writing,
# with which a line can look different from what it says; characters without width, with
# which two different labels can look alike; non-characters.
_NO_ONE_SEES = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f"
    "\u2028-\u202e\u2060-\u2069\ufeff\ufffe\uffff\U000e0000-\U000e007f"
)

# Persian and Indian scripts need joiner and non-joiner; after a Latin letter, a digit
# or a sign they have no use.
_STRAY_JOINER = "(?<![^\x00-\u02ff\u2000-\u206f])[\u200c\u200d]"

HIDDEN = re.compile(f"[{_NO_ONE_SEES}]|{_STRAY_JOINER}")

UNSEEN = re.compile(f"[{_NO_ONE_SEES}\t\r\ud800-\udfff]|{_STRAY_JOINER}")
"""Characters not to be escaped in double quotes: the same, tabs, returns and halves of
characters (a value's lines end with a line feed only)."""

_HIDDEN_OR_END = re.compile(f"\n|{UNSEEN.pattern}")

_COMMAND = re.compile(r"^(?=\s*::)|(?<=##)(?=\[)")
"""Where a line, or what follows in it, is a command to the service that runs CI."""


def printable(line: str) -> str:
    r"""
    Return a line as it may be printed, whoever wrote what it holds.

    Line ends and characters that no one sees are spelled, so that they neither move a
    terminal's cursor nor begin another line. A command to the service that runs CI,
    which reads them in what is printed, begins with a backslash.

    >>> print(printable("Read\x1b[2J again\n::error::all is well ##[endgroup]"))
    Read\x1b[2J again\n::error::all is well ##\[endgroup]
    >>> print(printable("::stop-commands::x"))
    \::stop-commands::x
    """
    spelled = _HIDDEN_OR_END.sub(
        lambda found: found[0].encode("unicode_escape", "backslashreplace").decode(),
        line,
    )
    return _COMMAND.sub(r"\\", spelled)
