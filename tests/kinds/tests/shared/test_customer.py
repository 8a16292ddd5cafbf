"""
What the customer, or another laboratory, supplied is marked on the report.

ISO/IEC 17025:2017, 7.8.2.2: such information is identified, with a disclaimer where it
can affect the results (from memory; own words).
"""

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Note, Sheet, Table
from tests.archives import Changes, Files, archive_of, changed, flags_of

TEST = "marsh-lane/tests/ML-101.yaml"
OVERSIZED = "marsh-lane/tests/ML-102.yaml"
SAMPLE = "marsh-lane/samples/ML-S1.yaml"
COARSE = "marsh-lane/samples/ML-S2.yaml"
GIVEN = "given_by: customer"


def outcome_of(files: Files, name: str = TEST) -> Outcome:
    outcome = archive_of(files).outcome(f"records/{name}")
    assert outcome is not None
    return outcome


def sheet(changes: Changes, name: str = TEST) -> Sheet:
    return outcome_of(changed(changes), name).sheet()


def facts(sheet: Sheet) -> dict[str, str]:
    return {
        row.cells[0].text: row.cells[1].text
        for block in sheet.blocks
        if isinstance(block, Table) and block.name in ("sample", "method", "about")
        for row in block.rows
    }


def disclaimer(sheet: Sheet) -> str:
    (note,) = (
        block
        for block in sheet.blocks
        if isinstance(block, Note) and block.name == "statements"
    )
    return next((text for text in note.paragraphs if "Supplied by" in text), "")


def test_sampling_by_the_customer_is_disclaimed() -> None:
    found = sheet({})

    assert "by the customer" in facts(found)["Sampled"]
    assert disclaimer(found) == (
        "Supplied by the customer, who answers for its effect on the results: sampling."
    )


def test_where_nothing_is_the_customers_nothing_is_disclaimed() -> None:
    found = sheet({SAMPLE: [["by: customer", "by: T07"]]})

    assert disclaimer(found) == ""


def test_soil_and_gradation_of_the_customer_are_marked() -> None:
    found = sheet(
        {
            SAMPLE: [
                ["source: cutting 1}", f"source: cutting 1, {GIVEN}}}"],
                ["retained_no_4: 1.8}", f"retained_no_4: 1.8, {GIVEN}}}"],
            ]
        }
    )

    said = facts(found)
    assert said["Soil"] == "lean clay (from the customer)"
    assert said["Class"] == "CL, A-6 (tested) (from the customer)"
    assert said["Retained on"].endswith("No. 4: 1.8 % (from the customer)")
    assert "description and class of the soil, gradation" in disclaimer(found)


def test_a_specific_gravity_of_the_customer_is_marked() -> None:
    pair = ["water_temperature_c: 20}", f"water_temperature_c: 20, {GIVEN}}}"]

    found = sheet({SAMPLE: [pair]})

    said = facts(found)["Specific gravity"]
    assert said == "2.69, measured (from the customer); water at 20 °C"
    assert disclaimer(found).endswith(": sampling, specific gravity.")


def test_oversize_of_the_customer_is_marked() -> None:
    pair = ["water_content: 1.2}", f"water_content: 1.2, {GIVEN}}}"]

    found = sheet({COARSE: [pair]}, OVERSIZED)

    assert facts(found)["Oversize"].endswith("(from the customer)")
    assert disclaimer(found).endswith("oversize.")


def test_the_page_of_the_sample_marks_them_too() -> None:
    change = [["source: cutting 1}", f"source: cutting 1, {GIVEN}}}"]]

    found = sheet({SAMPLE: change}, SAMPLE)

    assert facts(found)["Soil"] == "lean clay (from the customer)"


def test_only_the_customer_is_named_so() -> None:
    change = [["source: cutting 1}", "source: cutting 1, given_by: T07}"]]

    flags = flags_of(changed({SAMPLE: change}))

    assert [(flag.line, flag.found) for flag in flags if "given_by" in flag.field]


def test_marking_it_moves_a_value_used() -> None:
    change = [["source: cutting 1}", f"source: cutting 1, {GIVEN}}}"]]

    before, after = outcome_of(changed({})), outcome_of(changed({SAMPLE: change}))

    assert after.used != before.used
    assert after.used_in(1) != before.used_in(1)


GRAVITY = """\
format: 1
kind: specific-gravity
id: ML-G1
project: marsh-lane
sample: ML-S1
standard: {designation: AASHTO T 100, edition: "15", method: none}
tested: {on: 2026-03-06}
status: complete
units: {mass: g}
determinations:
  - {specific_gravity: 2.70}
  - {specific_gravity: 2.71}
external: {laboratory: Alder Institute (invented), report: R 7}
"""


def with_gravity(text: str) -> Outcome:
    uses = ["status: complete\n", "specific_gravity: {test: ML-G1}\nstatus: complete\n"]
    return outcome_of(changed({"marsh-lane/tests/ML-G1.yaml": text, TEST: [uses]}))


def test_a_value_of_another_laboratory_is_marked() -> None:
    said = facts(with_gravity(GRAVITY).sheet())["Specific gravity"]

    assert "(from Alder Institute (invented))" in said


def test_and_moves_no_test_issued_before_that_was_told() -> None:
    other = with_gravity(GRAVITY)
    own = with_gravity(GRAVITY[: GRAVITY.index("external")])

    assert other.used_in(1) == own.used_in(1)
    assert other.used_in(2) != own.used_in(2)
