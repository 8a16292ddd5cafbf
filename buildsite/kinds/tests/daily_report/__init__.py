"""The report of a day on the fill, signed by the inspector, kept like any report."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.blank import ArchiveContext, Ask, Blank
from buildsite.kinds.kind import Kind, Result, late
from buildsite.kinds.tests.daily_report.model import (
    DailyReport,
    DayCase,
    Values,
    compute,
    needs,
)
from buildsite.kinds.tests.daily_report.rules import RULES
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.kinds.tests.shared.papers.asking import ids_in, tests_on_file
from buildsite.kinds.tests.shared.papers.record import trace_of_paper


def results(case: DayCase) -> Mapping[str, Result]:
    """Report how many tests were made, how many failed, and how many were retests."""
    values = case.values
    found = {
        "tests_made": len(values.listed),
        "tests_failing": len(values.failing),
        "retests": len(values.retests),
    }
    return {
        name: Result(float(number), "", str(number)) for name, number in found.items()
    }


def detail(case: DayCase) -> Mapping[str, Any]:
    """Return the day for `show --json`."""
    record, values = case.record, case.values
    return {
        "day": {
            "on": record.on,
            "inspector": record.inspector,
            "contractor": record.contractor,
            "weather": record.weather,
            "tests": list(record.tests),
            "revisions": {
                one.id: one.facts.revision
                for one in values.listed
                if one.facts.revision
            },
            "failing": [one.id for one in values.failing],
            "closed": {
                id: {"by": how.by or None, "disposition": how.disposition or None}
                for id, how in values.closed
            },
            "told": [
                {"test": one.test, "who": one.who, "at": one.at, "how": one.how}
                for one in record.told
            ],
            "not_tested": record.not_tested,
        }
    }


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Suggest the field tests of the day, its inspector, and the contractor."""
    answers = context.answers
    project = answers.get("project", "")
    found = {"inspector": answers.get("by", "")}
    if context.on is not None:
        tests = tests_on_file(context, project, context.on)
        found["tests"] = ", ".join(one.id for one in tests)
        who = {one.tested_by for one in tests if one.tested_by}
        if len(who) == 1:
            found["inspector"] = who.pop()
    for record in context.earlier(project)[:1]:
        found["contractor"] = record.contractor or ""
    return {name: value for name, value in found.items() if value}


BLANK = Blank(
    """format: 1
kind: daily-report
id: {id}
project: {project}
on: {on}
inspector: {inspector}
contractor: {contractor}
weather: {weather}
times: {{from: , to: }}         # YYYY-MM-DDTHH:MM
units: {{depth: {depth_unit}}}
works:
  - {{zone: , lift: , what: , source: , roller: , passes: , thickness_loose: ,
     thickness_compacted: }}
tests: {tests}
not_tested:
told:                       # of each failure: {{test: , who: , at: , how: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
remarks: ""
""",
    prefix="D",
    asks=(
        Ask("project", "Project"),
        Ask("on", "Day (YYYY-MM-DD)"),
        Ask("inspector", "Inspector who signs (staff code)"),
        Ask("contractor", "Contractor"),
        Ask("weather", "Weather"),
        Ask("tests", "Field tests of the day, separated by commas", split=ids_in),
    ),
    places=("depth_unit",),
    suggest=suggest,
    usual={"depth_unit": "mm"},
)

KIND: Kind[DailyReport, Values] = kind_of_test(
    Kind(
        name="daily-report",
        title="Daily report",
        group="test",
        folder="daily",
        model=DailyReport,
        needs=needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        trace=trace_of_paper,
        sheet=late(f"{__name__}.sheet", "sheet"),
        bench=late(f"{__name__}.sheet", "bench"),
        blank=BLANK,
    ),
    line_values=(),
)
