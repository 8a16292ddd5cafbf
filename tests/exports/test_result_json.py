"""The envelope of a result: keys, digits, order, and the same bytes every time."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.exports.result_json import as_json, flag_json, result_json
from buildsite.software import software
from tests.archives import sound
from tests.kinds.making import in_archive

PROGRAM = {"name": "buildsite", "version": "0", "fingerprint": "f"}

PARABOLA = """\
units: {density: kg/m3}
specific_gravity: {value: 2.70, basis: measured}
points:
  - {water_content: 10, dry_density: 1760}
  - {water_content: 12, dry_density: 1800}
  - {water_content: 14, dry_density: 1760}
  - {water_content: 13, dry_density: 2100, rejected: {by: E02, reason: torn}}
"""


def envelope(rest: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(result_json(in_archive(rest), PROGRAM))
    return data


def whole(file: str) -> bytes:
    files = dict(sound())
    outcome = Archive(sorted(files), files.__getitem__).outcome(file)
    assert outcome is not None
    return result_json(outcome, software())


def test_the_envelope_has_the_keys_that_others_rely_on() -> None:
    found = envelope(PARABOLA)

    assert set(found) == {
        "format",
        "id",
        "kind",
        "status",
        "results",
        "points",
        "curve",
        "flags",
        "inputs",
        "used",
        "used_form",
        "software",
        "project",
        "sample",
        "soil",
        "standard",
        "tested",
        "point_units",
        "governing",
        "effort",
        "sieve",
        "gravity",
    }
    assert found["standard"] == {"designation": "ASTM D698", "method": "A"}
    assert found["tested"] == "2026-03-10"
    assert found["governing"] == ["maximum_dry_density", "optimum_water_content"]
    assert (found["format"], found["id"], found["status"]) == (1, "T-1", "complete")
    assert found["kind"] == "moisture-density"
    assert found["software"] == PROGRAM


def test_a_result_has_its_value_in_si_and_the_text_as_reported() -> None:
    # 1800 / 16.01846337 = 112.3703 lbf/ft³ (ASTM D698-00, 12.1.5: to 0.1 lbf/ft3).
    assert envelope(PARABOLA)["results"] == {
        "maximum_dry_density": {
            "value": pytest.approx(1800.0),
            "unit": "kg/m3",
            "reported": "112.4 lbf/ft3",
        },
        "optimum_water_content": {
            "value": pytest.approx(12.0),
            "unit": "%",
            "reported": "12.0 %",
        },
    }


def test_a_corrected_result_is_there_when_a_correction_applies() -> None:
    found = envelope(
        PARABOLA + "oversize: {percent_retained: 10, bulk_specific_gravity: 2.6}\n"
    )

    assert set(found["results"]) == {
        "maximum_dry_density",
        "optimum_water_content",
        "corrected_maximum_dry_density",
        "corrected_optimum_water_content",
    }


def test_a_point_has_what_follows_from_its_readings() -> None:
    first, *_, last = envelope(PARABOLA)["points"]

    assert set(first) >= {
        "water_content",
        "wet_density",
        "dry_density",
        "saturation",
        "rejected",
    }
    # 1760 × 1.10 = 1936
    assert first["wet_density"] == pytest.approx(1936)
    assert (first["rejected"], last["rejected"]) == (False, True)
    assert first["transcribed"] == ["dry_density", "water_content"]


def test_a_curve_with_a_peak_says_its_form() -> None:
    curve = envelope(PARABOLA)["curve"]

    assert curve["form"] == "parabola-through-three"
    assert curve["peak_bracketed"] is True
    assert "reason" not in curve


@pytest.mark.parametrize(
    ("rest", "reason"),
    [
        ("points: []\n", "too-few-points"),
        (PARABOLA.replace("12, dry_density: 1800", "12, dry_density: 1700"), None),
        (PARABOLA.replace("14, dry_density: 1760", "14, dry_density: 1850"),
         "highest-point-last"),
        ("curve: {drawn: {maximum_dry_density: 120, optimum_water_content: 12}}\n"
         "points: []\n", "no-unit"),
    ],
)  # fmt: skip
def test_a_curve_without_a_peak_gives_no_result_and_says_why(
    rest: str, reason: str | None
) -> None:
    found = envelope(rest)

    assert found["results"] == {}
    assert found["curve"]["peak_bracketed"] is False
    assert found["curve"]["words"]
    assert reason in (None, found["curve"]["reason"])


@pytest.mark.parametrize(
    ("optimum", "bracketed"), [("9.9", False), ("10.1", True), ("14.1", False)]
)
def test_a_drawn_peak_says_whether_the_points_bracket_it(
    optimum: str, *, bracketed: bool
) -> None:
    drawn = f"{{maximum_dry_density: 1800, optimum_water_content: {optimum}}}"
    curve = envelope(PARABOLA + f"curve: {{drawn: {drawn}}}\n")["curve"]

    assert (curve["asked"], curve["form"]) == ("drawn", "drawn")
    assert curve["peak_bracketed"] is bracketed
    assert curve["line"] == []  # the hand's curve is on paper; no other is drawn


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, list):
        for each in value:
            yield from numbers(each)
    elif isinstance(value, float):
        yield value


@pytest.mark.parametrize("id", ["ML-101", "ML-102"])
def test_numbers_have_ten_significant_digits_at_most(id: str) -> None:
    data = json.loads(whole(f"records/marsh-lane/tests/{id}.yaml"))
    found = list(numbers(data))

    assert len(found) > 20
    for number in found:
        digits = re.sub(r"e.*|[^0-9]", "", repr(number)).strip("0")
        assert len(digits) <= 10, number


def test_keys_are_sorted_at_every_depth() -> None:
    def check(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in pairs]
        assert keys == sorted(keys)
        return dict(pairs)

    json.loads(whole("records/marsh-lane/tests/ML-102.yaml"), object_pairs_hook=check)


def test_the_same_record_gives_the_same_bytes() -> None:
    file = "records/marsh-lane/tests/ML-102.yaml"

    assert whole(file) == whole(file)


def test_json_is_utf_8_with_one_line_end_at_its_end() -> None:
    data = as_json({"ü": "lb/ft³", "a": 0.1 + 0.2})

    assert data == '{\n  "a": 0.3,\n  "ü": "lb/ft³"\n}\n'.encode()


def test_what_json_cannot_say_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        as_json({"a": float("nan")})


def test_a_flag_has_its_place_and_who_accepted_it() -> None:
    outcome = in_archive(
        "points: []\naccepted: [{flag: oops, by: E02, reason: known}]\n"
    )
    flags = {flag["flag"]: flag for flag in map(flag_json, outcome.flags)}

    gone = flags["nothing-to-accept"]
    assert set(gone) == {
        "flag",
        "severity",
        "message",
        "basis",
        "field",
        "file",
        "line",
        "column",
    }
    assert gone["field"] == "accepted[0]"
    assert gone["severity"] == "note"
    assert outcome.source.text.splitlines()[gone["line"] - 1].startswith("accepted")


def test_an_accepted_flag_says_who_and_why() -> None:
    warned = in_archive("points: []\n").flags
    name = next(flag.flag for flag in warned if flag.severity == "warning")

    accepted = in_archive(
        f"points: []\naccepted: [{{flag: {name}, by: E02, reason: known}}]\n"
    )
    mine = [flag_json(flag) for flag in accepted.flags if flag.flag == name]

    assert mine
    assert all(f["accepted"] == {"by": "E02", "reason": "known"} for f in mine)
