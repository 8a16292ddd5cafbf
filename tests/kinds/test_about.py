"""What laboratory, project and sample tell a test, and what they show."""

from decimal import Decimal
from typing import Any, TypeVar

import pytest

from buildsite.kinds.answers import (
    LaboratoryFacts,
    OversizeFact,
    ProjectFacts,
    SampleFacts,
    SpecificGravityFact,
)
from buildsite.kinds.kind import Ref
from buildsite.kinds.sheet import Table
from tests.kinds.making import LAB, PROJECT, SAMPLE, archive, kind, made

A = TypeVar("A")


def answer(text: str, asks: type[A], about: tuple[str, ...] = ()) -> A:
    outcome = made(text)
    found: Any = outcome.kind.answers(outcome.case, Ref(asks, (), "x", (), about=about))
    assert isinstance(found, asks)
    return found


def shown(text: str, name: str) -> dict[str, str]:
    """A table of facts: label and what stands beside it."""
    table = made(text).sheet().table(name)
    assert isinstance(table, Table)
    return {row.cells[0].text: row.cells[1].text for row in table.rows}


def test_the_laboratory_tells_its_choices() -> None:
    found = answer(
        LAB + "invented: yes\nprocedures: {curve: cubic, report_density: kN/m3, "
        "oversize_least_percent: 7.5, demands: [oven, layers], "
        "reviewer_may_be_tester: no}\n",
        LaboratoryFacts,
    )

    assert found.invented
    assert found.curve == "cubic"
    assert found.report_density == "kN/m3"
    assert found.oversize_least_percent == Decimal("7.5")
    assert found.demands == ("layers", "oven")
    assert found.reviewer_may_be_tester is False


def test_a_laboratory_that_chose_nothing_draws_by_rule() -> None:
    found = answer(LAB, LaboratoryFacts)

    assert (found.curve, found.report_density, found.demands) == ("auto", None, ())
    assert found.reviewer_may_be_tester is None


def test_the_laboratory_tells_of_those_people_who_were_asked_about() -> None:
    found = answer(LAB, LaboratoryFacts, ("E02", "X99", "E02"))

    assert [who.code for who in found.staff] == ["E02"]
    assert found.staff[0].may == ("test", "review", "authorize")


def test_no_email_or_key_leaves_the_laboratorys_record() -> None:
    text = LAB.replace(
        "T07: {", 'T07: {name: N, emails: [n@lab.example], keys: ["ssh-1"], '
    )

    found = repr(answer(text, LaboratoryFacts, ("T07",)))

    assert "'N'" in found
    assert "lab.example" not in found
    assert "ssh-1" not in found
    assert "lab.example" not in repr(made(text).sheet())


def test_the_table_of_people_is_the_laboratorys_own() -> None:
    table = made(LAB).sheet().table("people")

    assert table is not None
    assert table.laboratory_only
    assert [row.cells[0].text for row in table.rows] == ["E02", "T07"]


def test_the_project_tells_what_a_report_says_of_it() -> None:
    text = PROJECT.replace("Customer}", "Customer, contact: Who}")

    found = answer(text + "report_density: Mg/m3\n", ProjectFacts)

    assert found == ProjectFacts("p", "Project", "Customer", "Who", "Mg/m3")


def test_a_project_is_confidential_unless_it_says_otherwise() -> None:
    assert shown(PROJECT, "own")["May be published"] == "no"
    assert shown(PROJECT + "publish: yes\n", "own")["May be published"] == "yes"


def test_what_a_specification_asks_is_shown_with_its_signs() -> None:
    table = made(
        PROJECT + "requirements:\n"
        "  - {zone: B, standard: {designation: AASHTO T 180, method: A},\n"
        '     least_percent_compaction: "95", water_content: {from: -2, to: 2, '
        "as: points}}\n"
        "  - {zone: C, standard: {designation: AASHTO T 99, method: C}}\n"
    ).sheet().table("requirements")  # fmt: skip

    assert table is not None
    assert [[cell.text for cell in row.cells] for row in table.rows] == [
        ["B", "AASHTO T 180, Method A", "95 %", "\N{MINUS SIGN}2 to +2 points"],
        ["C", "AASHTO T 99, Method C", "not stated", "not stated"],
    ]


WHOLE = (
    SAMPLE
    + """\
received: {on: 2026-03-05, by: T07, condition: "moist, bags"}
sampled: {on: 2026-03-04, by: customer, method: shovel, place: cutting 1}
soil: {name: lean clay, class: CL, class_basis: tested, group: A-6, source: pit}
gradation: {retained_3_4_in: 0, retained_3_8_in: 0.3, retained_no_4: 1.8}
as_received_water_content: 13.5
specific_gravity: {value: 2.69, basis: measured, water_temperature_c: 20}
oversize: {sieve: No. 4, percent_retained: 12.4, bulk_specific_gravity: 2.62,
  bulk_basis: SSD, water_content: 1.1, absorption: 1.3}
retained_until: 2027-03-05
"""
)


def test_a_sample_tells_all_it_knows() -> None:
    found = answer(WHOLE, SampleFacts)

    assert (found.soil_class, found.soil_group, found.class_basis) == (
        "CL",
        "A-6",
        "tested",
    )
    assert found.retained_3_4_in == 0
    assert found.specific_gravity == SpecificGravityFact(
        Decimal("2.69"), "measured", Decimal(20), "S-1"
    )
    assert found.oversize == OversizeFact(
        "No. 4",
        Decimal("12.4"),
        Decimal("2.62"),
        "SSD",
        Decimal("1.1"),
        Decimal("1.3"),
        "S-1",
    )


def test_a_sample_tells_nothing_it_does_not_know() -> None:
    found = answer(SAMPLE, SampleFacts)

    assert found.specific_gravity is None
    assert found.oversize is None
    assert found.received_on is None
    assert found.soil_name == ""


def test_a_specific_gravity_of_no_stated_basis_is_assumed() -> None:
    found = answer(SAMPLE + "specific_gravity: {value: 2.7}\n", SampleFacts)

    assert found.specific_gravity is not None
    assert found.specific_gravity.basis == "assumed"


def test_the_sheet_of_a_sample_keeps_a_zero_and_dashes_what_is_unknown() -> None:
    whole, bare = shown(WHOLE, "about"), shown(SAMPLE, "about")

    assert whole["Retained on 3/4 in"] == "0 %"
    assert whole["Received"] == "2026-03-05, T07"
    assert whole["Sampled"] == "2026-03-04, by the customer"
    assert whole["Specific gravity"] == "2.69, measured"
    assert whole["Class"] == "CL, A-6"
    assert bare["Project"] == "p"
    assert {text for label, text in bare.items() if label != "Project"} == {"—"}


def test_a_sample_names_its_project_its_people_and_its_tests() -> None:
    needs = kind("sample").needs(
        made(
            SAMPLE + "received: {by: T07}\nsampled: {by: customer}\n"
            "specific_gravity: {test: G-1}\noversize: {test: C-1}\n"
        ).case.record
    )

    assert [(ref.id, ref.about) for ref in needs] == [
        ("p", ()),
        ("lab", ("T07",)),
        ("G-1", ()),
        ("C-1", ()),
    ]


@pytest.mark.parametrize("name", ["laboratory", "project", "sample"])
def test_records_that_describe_report_no_result(name: str) -> None:
    text = {"laboratory": LAB, "project": PROJECT, "sample": SAMPLE}[name]
    outcome = made(text)

    assert outcome.kind.name == name
    assert outcome.results == {}
    assert outcome.detail() == {}
    assert outcome.status == ""


def test_a_record_asked_for_what_it_does_not_have_is_silent() -> None:
    for text in (LAB, PROJECT, SAMPLE):
        outcome = made(text)
        assert (
            outcome.kind.answers(outcome.case, Ref(OversizeFact, (), "x", ())) is None
        )


def test_the_least_archive_of_these_tests_has_no_error() -> None:
    found = archive({})

    assert [flag for name in found.names for flag in found.flags(name)] == []
