"""Two reports of a test compared, as blocks: what changed, whether it matters, why."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from buildsite.archive.amendments import LOST
from buildsite.archive.compared_reports import ComparedReports
from buildsite.archive.field_tests import told_by
from buildsite.archive.follows import follows_of_revisions
from buildsite.archive.judged_again import follow_of_reports, judged_by_both
from buildsite.kinds import kind_named
from buildsite.kinds.compared_figures import percent_change
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.follows import FAIL, Follow
from buildsite.kinds.kind import KeptResult, Kind
from buildsite.kinds.reporting import (
    difference_of,
    in_points,
    readable_text,
    unit_renamed,
)
from buildsite.kinds.sheet import Cell, Note, Plot, Row, Table
from buildsite.pages.causes_text import (
    basis_line,
    capital,
    cause_lines,
    flip_sentence,
    from_to,
    leading,
    significance_lines,
)
from buildsite.pages.follows_text import Compared, compared_table, compared_verdicts
from buildsite.pages.revisions.history_page import HEADS, field_row
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.rows import result_title
from buildsite.pages.tables import NOTHING, columns, table_row
from buildsite.pages.view_models import Block

Released = frozenset[str] | None
"""Tests that clients see; None in the laboratory's copy."""

UNCHANGED = "unchanged"


def title_of(pair: ComparedReports) -> str:
    """Return which reports are compared."""
    earlier = report_number(pair.state.file, pair.before)
    return f"{earlier} and r{pair.after.revision}"


def comparison_plot(pair: ComparedReports) -> Plot | None:
    """Return both curves on one figure, from the kept results; None without a curve."""
    kind = kind_of(pair)
    if kind is None or kind.compare is None:
        return None
    plot = kind.compare(kept_results(pair), pair.state.method)
    if plot is None:
        return None
    return replace(plot, name=pair.name, title=f"Curves of {title_of(pair)}")


def kind_of(pair: ComparedReports) -> Kind[Any, Any] | None:
    """Return the kind of the test; None where a result is not as issued."""
    return kind_named(str(pair.results[1].get("kind"))) if all(pair.results) else None


def kept_results(pair: ComparedReports) -> tuple[KeptResult, KeptResult]:
    """Return both results as kept, each with its revision."""
    (old, new), (before, after) = pair.results, (pair.before, pair.after)
    return (f"r{before.revision}", old), (f"r{after.revision}", new)


def point_table(pair: ComparedReports) -> Table | None:
    """Return the points of both, where any is another one."""
    kind = kind_of(pair)
    if kind is None or kind.compare_points is None:
        return None
    table = kind.compare_points(*kept_results(pair), pair.state.method)
    if table is None:
        return None
    title = f"Points of {title_of(pair)}"
    return replace(table, name=f"{pair.name}-points", title=title)


def gap_text(was: str, now: str) -> str:
    """Return the difference of two results as reported; blank if there is none."""
    return in_points(difference_of(was, now)) if was and now and was != now else ""


def by_text(was: str, now: str) -> str:
    """Return the difference of two results, and what it is in percent."""
    gap, share = gap_text(was, now), percent_change(was, now)
    return f"{gap} ({share})" if share else gap


def headline(pair: ComparedReports, own: Follow | None) -> Table:
    """Return the results that count, from what to what, and by how much."""
    old, new = pair.before.results, pair.after.results
    made = pair.outcomes[1]
    first = made.governing if made is not None else ()
    changed = [name for name in {**new, **old} if old.get(name) != new.get(name)]
    names = [name for name in first if name in new or name in old] or changed
    facts: list[Row] = []
    if own is not None and own.flipped:
        facts.append(table_row("Verdict", own.verdicts, ""))
    for name in names or new:
        was, now = old.get(name, ""), new.get(name, "")
        title = result_title(name, pair.state.method, now or was)
        gap, by = gap_text(was, now), by_text(was, now)
        texts = (readable_text(was) if was else "", readable_text(now) if now else "")
        if not difference_moves(gap):
            facts.append(table_row(title, texts[1] or texts[0], by or UNCHANGED))
        else:
            facts.append(table_row(title, from_to(*texts), by))
    heads = columns("Result", "Change", "Difference")
    title = f"Change of {title_of(pair)}"
    return Table(f"{pair.name}-change", title, heads, tuple(facts), "change", "row")


def difference_moves(gap: str) -> bool:
    """
    Whether a difference as printed is one.

    >>> difference_moves("+1.3 lb/ft³"), difference_moves("+0.0 lbf/ft³")
    (True, False)
    """
    return any(letter in "123456789" for letter in gap.partition(" ")[0])


def matters_note(
    pair: ComparedReports, own: Follow | None, resting: Sequence[Follow]
) -> Iterator[Note]:
    """Return whether it matters: verdicts, precision, targets."""
    lines = [*flip_sentence(resting)]
    if own is not None:
        lines.append(own_verdict(pair, own))
    lines += significance_lines(pair.significance)
    if pair.before.results == pair.after.results:
        lines.insert(0, "The reported results are the same.")
    if lines:
        yield Note(f"{pair.name}-matters", "Does it matter?", tuple(lines), "weighed")


def own_verdict(pair: ComparedReports, own: Follow) -> str:
    """Return what became of the verdict of the test, and by what it is a failure."""
    told = told_by(pair.results[1], pair.state.file)
    why = told.why if isinstance(told, FieldTest) and own.new_verdict == FAIL else ""
    return " ".join(
        part
        for part in (
            f"Verdict: {own.verdicts}{'' if own.flipped else ', as before'}.",
            f"{capital(why)}." if why else "",
        )
        if part
    )


def cause_notes(pair: ComparedReports) -> Iterator[Note]:
    """Return what changed the result; then when, by whom and why it was issued."""
    after = pair.after
    lines = [*cause_lines(pair.causes)] if pair.causes is not None else [capital(LOST)]
    if pair.causes == ():
        lines.append("No value used has changed.")
    lines += map(capital, pair.program_changes)
    yield Note(f"{pair.name}-cause", "Cause", tuple(lines), "weighed")
    why = f"Issued on {after.issued_on}, authorized by {after.authorized_by}."
    title = f"Reason given for r{after.revision}"
    yield Note(f"{pair.name}-why", title, (after.reason, why), "weighed")


def result_table(pair: ComparedReports, own: Follow | None) -> Table:
    """Return the results of both, their differences, and the repeatability."""
    old, new = pair.before.results, pair.after.results
    limits = {one.name: one for one in pair.significance.precision}
    rows = []
    for name in dict.fromkeys((*new, *old)):
        was, now = old.get(name, ""), new.get(name, "")
        texts = [readable_text(text) if text else NOTHING for text in (was, now)]
        title = result_title(name, pair.state.method, now or was)
        cells = [Cell(title), *map(Cell, texts), Cell(by_text(was, now) or NOTHING)]
        if limits:
            cells.append(Cell(limits[name].limit if name in limits else ""))
        rows.append(Row(tuple(cells), mark="changed" if was != now else ""))
    if own is not None:
        blank = [""] if limits else []
        mark = "changed" if own.flipped else ""
        texts = ["Verdict", own.old_verdict, own.new_verdict, NOTHING, *blank]
        rows.append(table_row(*texts, mark=mark))
    names = (f"r{one.revision}" for one in (pair.before, pair.after))
    heads = ["Result", *names, "Difference"]
    heads += ["Repeatability"] if limits else []
    title = f"Results of {title_of(pair)}"
    notes = [unit_renamed(old, new), *repeatability_notes(pair)]
    return Table(
        f"{pair.name}-results",
        title,
        columns(*heads),
        tuple(rows),
        role="compared",
        note=" ".join(filter(None, notes)),
    )


def repeatability_notes(pair: ComparedReports) -> Iterator[str]:
    """Return where each repeatability is from."""
    yield from basis_line(pair.significance)


def changed_fields(pair: ComparedReports) -> Table:
    """Return the changed fields of every record used, for the laboratory."""
    changes, lost = pair.field_changes()
    note = f"No longer available: {', '.join(lost)}." if lost else ""
    return Table(
        f"{pair.name}-changes",
        "All changes in the records",
        HEADS,
        tuple(field_row(change, pair.state.method) for change in changes),
        role="folded",
        note=note,
        laboratory_only=True,
    )


def other_values(pair: ComparedReports) -> Iterator[Table]:
    """Return every value used that changed, for clients, if not all are told above."""
    found = pair.causes or ()
    if len(found) <= len(leading(found)):
        return
    rows = tuple(
        table_row(capital(one.subject), one.old, one.new or NOTHING, one.percent)
        for one in found
    )
    heads = columns("Value", "Before", "After", "Percent")
    yield Table(f"{pair.name}-values", "All changed values", heads, rows, "folded")


def other_amended_tests(pair: ComparedReports, released: Released) -> Iterator[Table]:
    """Return other tests amended after a change of the same files, if any."""
    rows = tuple(
        table_row(Cell(f"{test} r{n}", ("revision", f"{test}/r{n}")), ", ".join(by))
        for (test, n), by in pair.others_amended().items()
        if released is None or test in released
    )
    if rows:
        title = "Other tests amended after the same change"
        heads = columns("Revision", "Changed record or report")
        yield Table(f"{pair.name}-others", title, heads, rows, role="more")


def resting_verdicts(pair: ComparedReports, released: Released) -> list[Compared]:
    """
    Return the verdicts that rest on this test, by both reports.

    Clients see those that were issued; the laboratory also what its records say of
    tests of the days before the amendment.
    """
    archive, file = pair.archive, pair.state.file
    numbers = (pair.before.revision, pair.after.revision)
    both = {one.id: one for one in judged_by_both(archive, file, *numbers)}
    if released is None:
        last = pair.after.issued_on.isoformat()
        every = follows_of_revisions(archive, file, *numbers)
        computed = [one for one in every if one.day <= last or one.id in both]
    else:
        both = {id: one for id, one in both.items() if id in released}
        computed = []
    return compared_verdicts(computed, both.values())


def comparison_blocks(pair: ComparedReports, released: Released) -> Iterator[Block]:
    """Return everything about one pair; `released` are tests that clients see."""
    both = (pair.before, pair.after)
    own = follow_of_reports(pair.archive, pair.state.file, *both)
    resting = resting_verdicts(pair, released)
    yield headline(pair, own)
    yield from matters_note(pair, own, [one.follow for one in resting if one.by_new])
    yield from cause_notes(pair)
    plot = comparison_plot(pair)
    if plot is not None:
        yield plot
    yield result_table(pair, own)
    points = point_table(pair)
    if points is not None:
        yield points
    if resting:
        numbers = (pair.before.revision, pair.after.revision)
        yield compared_table(f"{pair.name}-verdicts", resting, numbers)
    yield from other_amended_tests(pair, released)
    if released is None:
        yield changed_fields(pair)
    else:
        yield from other_values(pair)
