"""What field tests are told by a compaction test, of its record and of its report."""

from dataclasses import replace
from decimal import Decimal

import pytest

from buildsite.archive.archive import Archive
from buildsite.exports.result_json import result_json
from buildsite.kinds.field_answers import ReferenceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.tests.moisture_density.reference import answer_from_result
from buildsite.record.issued import kept_result
from buildsite.record.units import from_si
from tests.archives import archive_of, demo, issued, sound
from tests.exports.test_result_json import PARABOLA
from tests.kinds.making import in_archive


def asked(id: str) -> Ref:
    return Ref(ReferenceFacts, (), id, ("reference",))


def of_record(made: Outcome) -> ReferenceFacts:
    answer = made.kind.answers(made.case, asked(made.id))
    assert isinstance(answer, ReferenceFacts)
    return answer


def of_result(made: Outcome) -> ReferenceFacts:
    told = kept_result(result_json(made, {}))
    answer = answer_from_result(told, asked(made.id))
    assert answer is not None
    return answer


def compaction_tests(archive: Archive) -> list[Outcome]:
    every = (archive.outcome(file) for file in archive.files("test"))
    return [one for one in every if one and one.kind.name == "moisture-density"]


def test_a_record_tells_what_its_result_will() -> None:
    tests = compaction_tests(demo())

    assert [one.id for one in tests if of_record(one) != of_result(one)] == []
    assert len(tests) > 20


def test_a_kept_result_also_names_its_revision() -> None:
    made = in_archive(PARABOLA)
    told = {**kept_result(result_json(made, {})), "revision": 1}

    answer = answer_from_result(told, asked("T-1"))

    assert answer == replace(of_record(made), revision="T-1 r1")


def test_a_reference_says_what_it_is_of_and_by_what() -> None:
    sample = (
        "kind: sample\nid: S-1\nproject: p\nsoil: {name: lean clay, class: CL}\n"
        "specific_gravity: {value: 2.70, basis: measured}\n"
        "oversize: {sieve: No. 4, percent_retained: 10, bulk_specific_gravity: 2.6}\n"
    )

    facts = of_record(in_archive(PARABOLA, {"records/p/samples/S-1.yaml": sample}))

    assert (facts.project, facts.sample) == ("p", "S-1")
    assert (facts.soil_name, facts.soil_class) == ("lean clay", "CL")
    assert (facts.designation, facts.method, facts.effort) == (
        "ASTM D698",
        "A",
        "standard",
    )
    assert facts.sieve == "No. 4"
    assert facts.specific_gravity is not None
    assert facts.specific_gravity.value == Decimal("2.70")
    assert facts.oversize is not None
    assert facts.oversize.percent_retained == 10
    # PARABOLA has its top at 1800 kg/m³ and 12 %: 112.37 lbf/ft³.
    assert facts.peak is not None
    assert facts.peak.reported_density == Decimal("112.4")
    assert facts.density_unit == "lbf/ft3"
    assert from_si(facts.peak.maximum_dry_density, "kg/m3") == pytest.approx(1800)
    # 100/(90/1800 + 10/2600) by hand: 1857.1 kg/m³, 115.9 lbf/ft³.
    assert facts.corrected is not None
    assert facts.corrected.reported_density == Decimal("115.9")


def test_a_test_without_a_peak_says_why() -> None:
    facts = of_record(
        in_archive(PARABOLA.replace("14, dry_density: 1760", "14, dry_density: 1850"))
    )

    assert facts.peak is None
    assert "wettest point" in facts.why_none


def test_a_result_kept_before_tells_what_it_has() -> None:
    file = "records/alder-quay/tests/AQ-0001.r0.json"
    told = kept_result(demo(issued=True).read_file(file))
    assert "standard" not in told

    facts = answer_from_result(told, asked("AQ-0001"))

    assert facts is not None
    assert (facts.project, facts.sample[:3]) == ("alder-quay", "AQ-")
    assert facts.peak is not None
    assert facts.peak.reported_density == Decimal("18.26")
    assert facts.density_unit == "kN/m3"
    assert facts.revision == "AQ-0001 r0"
    assert facts.specific_gravity is not None
    assert (facts.specific_gravity.value, facts.specific_gravity.basis) == (
        Decimal("2.68"),
        "",
    )
    assert (facts.designation, facts.effort) == ("", "")


def test_a_report_that_gives_no_such_value_is_told_as_a_record_is() -> None:
    # A specific gravity asked of a compaction test that was issued.
    files = dict(issued(sound(), "marsh-lane/tests/ML-102", {}))
    file, line = "records/marsh-lane/tests/ML-101.yaml", b"layers: 3\n"
    asks = line + b"specific_gravity: {test: ML-102}\n"
    files[file] = files[file].replace(line, asks)

    made = archive_of(files).outcome(file)

    assert made is not None
    assert "records/marsh-lane/tests/ML-102.issued.yaml#0" in made.inputs
    assert "reference-without-answer" in {flag.flag for flag in made.flags}
