"""
What may go wrong outside a record, and what a command leaves behind as its status.

Faults of a record are values (flags); only faults of the world are raised.
"""

DONE = 0
"""All went well."""

FAULTY = 1
"""A complete test has a flag of severity error, or a verification failed."""

USAGE = 2
"""The command line was not understood (click's own status for it)."""

ENVIRONMENT = 3
"""The world failed us: no git, a shallow clone, a folder that cannot be written."""

BUG = 70
"""The program is wrong; a log file has the traceback. EX_SOFTWARE of sysexits.h."""


class EnvironmentFault(Exception):
    """
    The world failed us: one line of cause, one of remedy.

    >>> print(EnvironmentFault("No git here.", "Install git."))
    No git here.
    Install git.
    """

    def __init__(self, cause: str, remedy: str) -> None:
        super().__init__(cause, remedy)
        self.cause = cause
        self.remedy = remedy

    def __str__(self) -> str:
        """Cause and remedy, a line each."""
        return f"{self.cause}\n{self.remedy}"
