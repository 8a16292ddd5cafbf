"""The particulars of the laboratory, and of one of its people."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, get_args

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.kind import Case
from buildsite.kinds.particulars.asking import choice, chosen, number, part, text
from buildsite.record.parts import ReportDensity
from buildsite.record.reading import CODE
from buildsite.standards.tables import designations

YES_NO = ("yes", "no")
MAY = ("test", "review", "authorize")
STANDARDS = tuple(designations())
DENSITIES = get_args(ReportDensity)


def several(name: str, words: str, choices: tuple[str, ...] = ()) -> Reading:
    """Return a question for a list."""
    return Reading(name, words, takes="list", choices=choices, needed=False)


LABORATORY = (
    part(
        "Laboratory",
        (),
        text("name", "Name"),
        text("place", "Place"),
        text("address", "Address"),
    ),
    part(
        "Procedures",
        ("procedures",),
        several("standards", "Standards in use, the usual one first", STANDARDS),
        choice("report_density", "Unit of reported densities", DENSITIES),
        text("curve", "Curve form"),
        number("oversize_least_percent", "Least oversize to correct for", "%"),
        several("demands", "Fields demanded of each test"),
        choice("reviewer_may_be_tester", "May the tester review?", YES_NO),
        choice("signed_edits", "Must edits be signed?", YES_NO),
        text("uncertainty_from", "State uncertainty of tests from", "day"),
        text("published_branch", "Branch in git that is published"),
        text("published_at", "Address of the published site, printed on reports"),
    ),
    Part(
        "Repeatability",
        ("procedures", "repeatability"),
        (
            replace(
                text("standard", "Own standard deviations by", "repeatability"),
                choices=tuple(designations("compaction")),
            ),
        ),
        times=0,
        once=False,
        line="Repeatability",
    ),
    part(
        "Publication",
        (),
        choice("robots", "What search engines may list (blank: all)", ("none",)),
        choice("invented", "Is all this invented, for a trial?", YES_NO),
    ),
)


def person(code: str, staff: Iterable[str]) -> Part:
    """Return the questions about one person, who may be new on the staff list."""
    others = ", ".join(one for one in staff if one != code)
    return part(
        f"Staff list, {code} (others: {others or 'nobody'})",
        ("staff", code),
        several("roles", "Roles, such as technician"),
        several("may", "Authorized to", MAY),
        text("from", "Authorized from", "day"),
        text("until", "Authorized until (left, or on leave)", "day"),
        text("name", "Name, if it is to be printed"),
        several("emails", "E-mail of commits"),
        several("keys", "Public keys that sign commits"),
    )


def laboratory(case: Case[Any, Any], about: str) -> Bench:
    """Return the questions about the laboratory, or about a person by staff code."""
    found = chosen(LABORATORY, about)
    if about in case.record.staff or (not found.parts and CODE.fullmatch(about)):
        return Bench((person(about, case.record.staff),))
    return found
