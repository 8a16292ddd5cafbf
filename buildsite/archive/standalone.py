"""A record by itself: computed from what stands in it, nothing looked up."""

from buildsite.archive.identity import kind_of
from buildsite.kinds.kind import Inputs
from buildsite.kinds.outcome import Outcome, outcome
from buildsite.record.flags import Flag, Severity
from buildsite.record.source import read_source
from buildsite.record.typed import read_model


def compute_standalone(
    data: bytes, name: str
) -> tuple[Outcome | None, tuple[Flag, ...]]:
    """
    Compute one record that no archive holds.

    Parameters
    ----------
    data
        The bytes of the record.
    name
        What to call it in flags.

    Returns
    -------
    tuple
        The outcome, or None where the record can't be read; and every flag.
    """
    source = read_source(name, data)
    if any(flag.severity is Severity.ERROR for flag in source.faults):
        return None, tuple(source.faults)
    kind, flags = kind_of(source)
    if kind is None:
        return None, (*source.faults, *flags)
    record, faults = read_model(source, kind.model)
    flags = [*source.faults, *flags, *faults]
    if record is None:
        return None, tuple(flags)
    made = outcome(
        kind, source, record, Inputs(alone=True), files={}, flags=tuple(flags)
    )
    return made, made.flags
