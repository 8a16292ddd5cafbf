"""What long work tells of itself as it goes on, to whoever wants to know."""


class Progress:
    """
    Told of each stage of long work, and of what is done of it. This one keeps silent.

    >>> silent = Progress()
    >>> silent.stage("checking", 2)
    >>> silent.done()
    """

    def stage(self, name: str, of: int = 0) -> None:
        """Begin a stage, which ends the one before; `of` so many, if that is known."""

    def done(self, number: int = 1) -> None:
        """Count what was done of the stage."""


SILENT = Progress()
