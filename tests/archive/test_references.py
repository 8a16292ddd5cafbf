"""Who asks whom: circles are seen from every side, in whatever order files are read."""

from itertools import permutations

import pytest

from buildsite.archive.archive import Archive
from buildsite.record.messages import nearest
from tests.archives import Files, changed

TESTS = tuple(f"records/marsh-lane/tests/ML-{n}.yaml" for n in (101, 102, 103))
ENDS = {
    "ML-101": "out: 2026-03-11T07:55, temperature_c: 110}",
    "ML-102": "out: 2026-03-11T08:05, temperature_c: 110}",
}


def circle_of_three() -> Files:
    """ML-101 rests on ML-102, that on ML-103, and that on ML-101."""
    files = dict(
        changed(
            {
                f"marsh-lane/tests/{id}.yaml": [
                    [end, f"{end}\nspecific_gravity: {{test: {on}}}"]
                ]
                for (id, end), on in zip(
                    ENDS.items(), ("ML-102", "ML-103"), strict=True
                )
            }
        )
    )
    third = files[TESTS[0]].replace(b"test: ML-102", b"test: ML-101")
    files[TESTS[2]] = third.replace(b"id: ML-101", b"id: ML-103")
    return files


@pytest.mark.parametrize("order", list(permutations(TESTS)))
def test_a_circle_is_flagged_on_each_member_in_any_order(
    order: tuple[str, ...],
) -> None:
    files = circle_of_three()
    archive = Archive(sorted(files), files.__getitem__)

    circled = {
        file: [f.field for f in archive.flags(file) if f.flag == "reference-cycle"]
        for file in order
    }

    assert circled == {file: [("specific_gravity", "test")] for file in TESTS}


def test_a_test_that_leads_into_a_circle_is_no_member_of_it() -> None:
    files = dict(circle_of_three())
    fourth = "records/marsh-lane/tests/ML-104.yaml"
    files[fourth] = files[TESTS[2]].replace(b"id: ML-103", b"id: ML-104")
    archive = Archive(sorted(files), files.__getitem__)

    flags = {flag.flag for flag in archive.flags(fourth)}

    assert "reference-cycle" not in flags
    assert "reference-without-answer" in flags


def test_an_id_is_offered_whatever_the_case_of_its_letters() -> None:
    assert nearest("m-04", ["M-04", "R-02"]) == "M-04"
    assert nearest("Z", ["M-04", "R-02"]) == ""
