"""What moved since a test was last issued: the flag `moved-since-issue`, in degrees."""

from collections.abc import Callable, Iterator, Mapping

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.issued import Issued, Item

TRACEABLE = "ISO/IEC 17025:2017, 7.5.2 and 7.8.8: a change of what was reported shows"

MOVED = Known(
    "moved-since-issue",
    Severity.ERROR,
    TRACEABLE,
    "A test that is no longer as it was last issued: an error where the reported text "
    "differs (a warning where the program alone moved it), a warning where a value "
    "used differs, a note where only a file does.",
)


def sets_exit_status(flag: Flag) -> bool:
    """Whether a flag may set the exit status: having moved since an issue may not."""
    return flag.flag != MOVED.flag


def reported(made: Outcome) -> dict[str, str]:
    """Results of a test as an issued item writes them: by name, as reported."""
    return {name: one.reported for name, one in sorted(made.results.items())}


def number_of(issued: Issued, item: Item) -> str:
    """
    Name a revision as people do.

    >>> from types import SimpleNamespace as Some
    >>> number_of(Some(test="HF-0117"), Some(revision="1"))
    'HF-0117 r1'
    """
    return f"{issued.test} r{item.revision}"


def differing_results(results: Mapping[str, str], others: Mapping[str, str]) -> str:
    """
    Say those results that differ from the others.

    >>> differing_results({"maximum_dry_density": "121.9 lb/ft3"}, {})
    'maximum dry density 121.9 lb/ft³'
    """
    parts = [
        f"{key.replace('_', ' ')} {readable_text(results.get(key, 'none'))}"
        for key in sorted({*results, *others})
        if results.get(key) != others.get(key)
    ]
    return ", ".join(parts)


def drift(
    made: Outcome | None, issued: Issued, program: Callable[[], str]
) -> Iterator[tuple[Known, Doubt]]:
    """
    Doubt a test that is not as it was last issued.

    Parameters
    ----------
    made
        What is computed now; None where the record can't be made out.
    issued
        What was issued of it.
    program
        Gives the fingerprint of the program that computes now. It is asked for only
        where the same values gave another result.
    """
    item = issued.last_report
    if item is None:
        return
    if made is None:
        yield MOVED, unread_doubt(issued, item)
    elif item.kind == "withdrawal":
        yield from revived_doubt(made, issued, item)
    else:
        doubt = drift_of_report(made, issued, item, program)
        if doubt is not None:
            yield MOVED, doubt


def drift_of_report(
    made: Outcome, issued: Issued, item: Item, program: Callable[[], str]
) -> Doubt | None:
    """Compare what is computed now with a revision that reported something."""
    texts, same_values = reported(made), item.used == made.used
    if texts != dict(item.results):
        alone = same_values and item.software.fingerprint != program()
        if not alone:
            return other_results(issued, item, texts, how_to_mend(made.id))
        judged = issued.assessments(item.revision)
        if not any((one.computed or {}) == texts for one in judged):
            how = (
                f"newer software: issue again, or `buildsite issue {made.id} "
                f"--assess {item.revision}` to record why the report stands"
            )
            return other_results(issued, item, texts, how, Severity.WARNING)
    if not same_values:
        return Doubt(
            (),
            f"other values used than {number_of(issued, item)} used, and the same "
            "results",
            f"the values that it used on {item.issued_on}",
            how_to_mend(made.id),
            Severity.WARNING,
        )
    if made.inputs != dict(item.inputs):
        return Doubt(
            (),
            f"{other_files(made.inputs, item.inputs)}, of which no value used differs",
            f"the files that {number_of(issued, item)} was issued from",
            "nothing need be done: what was reported stands",
            Severity.NOTE,
        )
    return None


def how_to_mend(id: str) -> str:
    """Say what to do about a test that moved."""
    return (
        f"`buildsite diff {id}` shows what moved: undo it, or issue an amendment with "
        f"`buildsite issue {id}`"
    )


def other_results(
    issued: Issued,
    item: Item,
    texts: Mapping[str, str],
    how: str,
    severity: Severity | None = None,
) -> Doubt:
    """Doubt results that differ from those reported."""
    return Doubt(
        (),
        f"{differing_results(texts, item.results)} now",
        f"{differing_results(item.results, texts)}, as {number_of(issued, item)} "
        f"reported on {item.issued_on}",
        how,
        severity,
    )


def other_files(now: Mapping[str, str], then: Mapping[str, str]) -> str:
    """
    Name the files that differ.

    >>> other_files({"a": "1", "b": "2"}, {"a": "1", "b": "3"})
    'another b'
    """
    differ = [key for key in sorted({*now, *then}) if now.get(key) != then.get(key)]
    return f"another {', '.join(differ)}"


def unread_doubt(issued: Issued, item: Item) -> Doubt:
    """Doubt a record that was issued and can't be made out any more."""
    return Doubt(
        (),
        "a record from which nothing can be computed",
        f"what {number_of(issued, item)} was issued from on {item.issued_on}",
        "mend what the other flags name",
    )


def revived_doubt(
    made: Outcome, issued: Issued, item: Item
) -> Iterator[tuple[Known, Doubt]]:
    """Doubt a record that claims a result which was withdrawn."""
    if made.status != "withdrawn":
        doubt = Doubt(
            ("status",),
            made.status,
            f"withdrawn, as {number_of(issued, item)} withdrew it on {item.issued_on}",
            "write status: withdrawn, or issue a report anew with "
            f"`buildsite issue {made.id}`",
        )
        yield MOVED, doubt
