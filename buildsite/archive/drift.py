"""Changes since a test was last issued: the flag `moved-since-issue`."""

from collections.abc import Callable, Iterator, Mapping

from buildsite.kinds.across import RELIED_ON_WRONG
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken, readable_text, reported_word
from buildsite.kinds.used_form import current_form
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.issued import Issued, Item

TRACEABLE = "ISO/IEC 17025:2017, 7.5.2 and 7.8.8: changes to reports are traceable"

MOVED = Known(
    "moved-since-issue",
    Severity.ERROR,
    TRACEABLE,
    "A test has changed since it was last issued: an error if a reported result "
    "changed (a warning if only the program changed it), a warning if a value used "
    "changed, a note if only a file changed.",
)


def sets_exit_status(flag: Flag) -> bool:
    """Whether a flag may set the exit status: `moved-since-issue` may not."""
    return flag.flag != MOVED.flag


def reported(made: Outcome) -> dict[str, str]:
    """Return results as an issued item states them: by name, as reported."""
    return {name: one.reported for name, one in sorted(made.results.items())}


def number_of(issued: Issued, item: Item) -> str:
    """
    Return the number of a revision.

    >>> from types import SimpleNamespace as Some
    >>> number_of(Some(test="HF-0117"), Some(revision="1"))
    'HF-0117 r1'
    """
    return f"{issued.test} r{item.revision}"


def differing_results(
    results: Mapping[str, str], others: Mapping[str, str], method: Spoken
) -> str:
    """
    Return the results that differ from the others, in the standard's terms.

    >>> differing_results({"maximum_dry_density": "121.9 lb/ft3"}, {}, None)
    'maximum dry density 121.9 lb/ft³'
    """
    parts = [
        f"{reported_word(method, name, results.get(name) or others[name])} "
        f"{readable_text(results[name]) if name in results else 'not reported'}"
        for name in sorted({*results, *others})
        if results.get(name) != others.get(name)
    ]
    return ", ".join(parts)


def drift(
    made: Outcome | None, issued: Issued, program: Callable[[], str]
) -> Iterator[tuple[Known, Doubt]]:
    """
    Return the doubt about a test that has changed since it was last issued.

    `made` is None if the record can't be read. `program` gives the fingerprint of the
    program; it is called only if the same values gave another result.
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
    """Return the doubt about a result that differs from a reported one."""
    if item.used_form > current_form():
        return newer_program(issued, item)
    texts, same_values = reported(made), same_used(made, item)
    if texts != dict(item.results):
        alone = same_values and item.software.fingerprint != program()
        if not alone:
            return other_results(made, issued, item, how_to_mend(made.id))
        judged = issued.assessments(item.revision)
        if not any((one.computed or {}) == texts for one in judged):
            how = (
                "issue the test again with the new version of the program, or record "
                f"why the report remains valid: `buildsite issue {made.id} "
                f"--assess {item.revision}`"
            )
            return other_results(made, issued, item, how, Severity.WARNING)
    if not same_values:
        return Doubt(
            (),
            "results unchanged; inputs changed",
            f"the values used for {number_of(issued, item)}, issued {item.issued_on}",
            how_to_mend(made.id),
            Severity.WARNING,
        )
    if made.inputs != dict(item.inputs):
        return Doubt(
            (),
            f"changes in {other_files(made.inputs, item.inputs)}, none in a value used",
            f"the files used for {number_of(issued, item)}",
            ASSESS if not_assessed(made) else NO_ACTION,
            Severity.NOTE,
        )
    return None


def same_used(made: Outcome, item: Item) -> bool:
    """Whether the values used are those of an issued item, in the item's own form."""
    return made.used_in(item.used_form) == item.used


def newer_program(issued: Issued, item: Item) -> Doubt:
    """Return the doubt about a report of a newer program: it can't be compared."""
    return Doubt(
        (),
        f"{number_of(issued, item)}, issued with a newer version of the program (form "
        f"{item.used_form} of `used`)",
        f"form {current_form()} or earlier, which this version can compare",
        "update the program, then check again",
        Severity.WARNING,
    )


def not_assessed(made: Outcome) -> bool:
    """Whether a test relied on equipment found wrong, and nobody has assessed it."""
    accepted = {one.flag for one in getattr(made.case.record, "accepted", ())}
    relied = any(flag.flag == RELIED_ON_WRONG.flag for flag in made.given)
    return relied and RELIED_ON_WRONG.flag not in accepted


NO_ACTION = "no action needed: the reported results are unchanged"
ASSESS = (
    "the reported results are unchanged, but this test relied on equipment found "
    f"wrong: assess it, see its flag {RELIED_ON_WRONG.flag}"
)
"""What to do where only files changed, and no value used."""


def how_to_mend(id: str) -> str:
    """Return what to do about a test that changed since issue."""
    return (
        f"see what changed with `buildsite diff {id}`; correct the records, or issue "
        f"an amended report with `buildsite issue {id}`"
    )


def other_results(
    made: Outcome,
    issued: Issued,
    item: Item,
    how: str,
    severity: Severity | None = None,
) -> Doubt:
    """Return the doubt about results that differ from those reported."""
    texts, method = reported(made), made.case.method
    return Doubt(
        (),
        f"{differing_results(texts, item.results, method)} now",
        f"{differing_results(item.results, texts, method)}, as reported in "
        f"{number_of(issued, item)} on {item.issued_on}",
        how,
        severity,
    )


def other_files(now: Mapping[str, str], then: Mapping[str, str]) -> str:
    """
    Return the names of the files that differ.

    >>> other_files({"a": "1", "b": "2"}, {"a": "1", "b": "3"})
    'b'
    """
    names = sorted({*now, *then})
    return ", ".join(name for name in names if now.get(name) != then.get(name))


def unread_doubt(issued: Issued, item: Item) -> Doubt:
    """Return the doubt about an issued record that can't be read."""
    return Doubt(
        (),
        "a record that can't be computed",
        f"the record used for {number_of(issued, item)}, issued {item.issued_on}",
        "correct the errors in the other flags",
    )


def revived_doubt(
    made: Outcome, issued: Issued, item: Item
) -> Iterator[tuple[Known, Doubt]]:
    """Return the doubt about a record whose result was withdrawn but is claimed."""
    if made.status != "withdrawn":
        doubt = Doubt(
            ("status",),
            made.status,
            f"withdrawn, by {number_of(issued, item)} of {item.issued_on}",
            "enter status: withdrawn, or issue a new report with "
            f"`buildsite issue {made.id}`",
        )
        yield MOVED, doubt
