"""Exit status of the commands, and faults of the machine or the clone."""

DONE = 0
"""Done."""

FAULTY = 1
"""A complete test has a flag of severity error, or a verification failed."""

USAGE = 2
"""Usage error (click's own status)."""

ENVIRONMENT = 3
"""Unusable machine or clone: no git, a shallow clone, an unwritable folder."""

INTERRUPTED = 130
"""Stopped by Ctrl-C: 128 and the number of the signal, as shells count."""

BUG = 70
"""Internal error; a log file has the traceback. EX_SOFTWARE of sysexits.h."""


class EnvironmentFault(Exception):
    """
    Unusable machine or clone: a line of cause, a line of remedy.

    >>> print(EnvironmentFault("No git here.", "Install git."))
    No git here.
    Install git.
    """

    def __init__(self, cause: str, remedy: str) -> None:
        super().__init__(cause, remedy)
        self.cause = cause
        self.remedy = remedy

    def __str__(self) -> str:
        """Return cause and remedy, a line each."""
        return f"{self.cause}\n{self.remedy}"
