"""The report of a day on the fill, and the questions for it."""

from collections.abc import Iterator

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Reading
from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table, fact_table
from buildsite.kinds.tests.daily_report.model import DayCase, WorkSeen
from buildsite.kinds.tests.shared import bench as parts
from buildsite.kinds.tests.shared import report as blocks
from buildsite.kinds.tests.shared.facts import person_text
from buildsite.kinds.tests.shared.papers import sheet as papers
from buildsite.record.flags import Flag


def moments(case: DayCase) -> str:
    """Return when the inspector was on site."""
    times = case.record.times
    if times is None:
        return ""
    found = [
        f"{lead} {moment:%H:%M}"
        for lead, moment in (("from", times.from_), ("to", times.to))
        if moment is not None
    ]
    return " ".join(found)


def day_facts(case: DayCase) -> Table:
    """Return the day, who signs, and what it was like."""
    record = case.record
    return fact_table(
        "day",
        "Day",
        (
            ("Date", str(record.on)),
            ("Signed by the inspector", person_text(case, record.inspector)),
            ("On site", moments(case)),
            ("Contractor", record.contractor or ""),
            ("Weather", record.weather or ""),
        ),
    )


def thickness(one: WorkSeen, unit: str) -> str:
    """Return the thickness of a lift, as placed and as compacted."""
    found = [
        f"{value} {unit} {words}".replace("  ", " ")
        for value, words in (
            (one.thickness_loose, "loose"),
            (one.thickness_compacted, "compacted"),
        )
        if value is not None
    ]
    return ", ".join(found)


def work_table(case: DayCase) -> Table | None:
    """Return the work seen, a line for each place."""
    unit = case.record.units.depth or ""
    rows = tuple(
        Row(
            tuple(
                map(
                    papers.text,
                    (
                        ", ".join(filter(None, (one.zone, one.lift))),
                        one.what,
                        one.source,
                        one.roller,
                        one.passes,
                        thickness(one, unit),
                    ),
                )
            ),
            point=number,
        )
        for number, one in enumerate(case.record.works, start=1)
    )
    if not rows:
        return None
    columns = (
        Column("Zone, lift"),
        Column("Work"),
        Column("Source of soil"),
        Column("Roller"),
        Column("Passes", number=True),
        Column("Thickness of lift"),
    )
    return Table("works", "Work seen", columns, rows, role="more")


def failure_table(case: DayCase) -> Table | None:
    """Return the failures and retests of the day, and who was told of a failure."""
    told = {one.test: one for one in case.record.told if one.test}
    closed = dict(case.values.closed)
    rows = []
    for one in case.values.listed:
        facts, said = one.facts, told.get(one.id)
        if one not in case.values.failing and not facts.retest_of:
            continue
        at = f"{said.at:%Y-%m-%d %H:%M}" if said is not None and said.at else ""
        who = said.who or "" if said is not None else ""
        how = said.how or "" if said is not None else ""
        rows.append(
            Row(
                (
                    papers.number(one),
                    Cell(papers.VERDICTS.get(facts.verdict, "No verdict")),
                    papers.text(papers.history(facts, closed, with_why=True)),
                    papers.text(", ".join(filter(None, (who, how)))),
                    papers.text(at),
                )
            )
        )
    if not rows:
        return None
    columns = (
        Column("Test"),
        Column("Verdict"),
        Column("Reason, rework and retest"),
        Column("Told"),
        Column("When"),
    )
    return Table("failures", "Failures and retests", columns, tuple(rows), role="more")


def not_tested(case: DayCase) -> Note | None:
    """Return what was not tested."""
    said = case.record.not_tested
    return Note("not-tested", "Not tested", (said,)) if said else None


def sheet(case: DayCase, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report of a day, its blocks in reading order."""
    shown = (
        papers.TEST,
        papers.TIME,
        papers.LIFT,
        papers.PLACE,
        papers.DENSITY,
        papers.PERCENT,
        papers.WATER,
        papers.VERDICT,
        papers.CURVE,
    )
    return papers.paper(
        case,
        flags,
        "Daily report",
        f"{case.record.on:%A} {case.record.on}",
        (
            blocks.result_table(case, "No test was made."),
            day_facts(case),
            work_table(case),
            papers.test_table(case.values.listed, shown),
            failure_table(case),
            not_tested(case),
        ),
        (
            "A test speaks for the place where it was made; the other work is stated "
            "as the inspector saw it. No lift is accepted by this report.",
            "Each test has a report of its own, by the revision listed.",
        ),
    )


def work_readings(unit: str) -> Iterator[Reading]:
    """Yield what is asked of each work."""
    for name, words in (
        ("zone", "Zone"),
        ("lift", "Lift"),
        ("what", "Work"),
        ("source", "Source of soil"),
        ("roller", "Roller"),
    ):
        yield Reading(name, words, takes="text", needed=False)
    yield Reading("passes", "Passes", needed=False)
    yield Reading("thickness_loose", "Thickness of lift, loose", unit, needed=False)
    yield Reading(
        "thickness_compacted", "Thickness of lift, compacted", unit, needed=False
    )


def bench(case: DayCase) -> Bench:
    """Return the questions for a day: also the form that is filled in on the fill."""
    unit = case.record.units.depth or "mm"
    head = (
        Reading("on", "Day of the report", takes="day"),
        Reading("inspector", "Inspector who signs", takes="code"),
        Reading("contractor", "Contractor", takes="text", needed=False),
        Reading("weather", "Weather", takes="text", needed=False),
        Reading("times.from", "On site from", takes="time", needed=False),
        Reading("times.to", "On site to", takes="time", needed=False),
    )
    tests = (
        Reading("tests", "Field tests, by number", takes="list", needed=False),
        Reading(
            "not_tested", "What was not tested, and why", takes="text", needed=False
        ),
    )
    told = (
        Reading("test", "Failing test", takes="text"),
        Reading("who", "Who was told", takes="text"),
        Reading("at", "Told at", takes="time"),
        Reading("how", "How", takes="text", needed=False),
    )
    return Bench(
        parts=(
            Part("Day", (), head),
            Part(
                "Work seen",
                ("works",),
                tuple(work_readings(unit)),
                once=False,
                line="Work",
            ),
            Part("Tests", (), tests),
            Part("Told", ("told",), told, times=0, once=False, line="Failure"),
            parts.entry(),
        ),
        ticks=(
            "Every test of the day is listed, also those that failed",
            "The contractor was told of each failure before the lift was covered",
        ),
        cautions=(
            "Traffic and plant: be seen, and keep out of the path of rollers and "
            "trucks. Agree on signals with the operators before a test.",
            "Open holes: mark and fill each test hole.",
            LOCAL_RULES,
        ),
    )
