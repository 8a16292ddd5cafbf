"""Pages of equipment: volumes over time, what relied on what, due dates in order."""

import re
from pathlib import Path

import pytest

from tests import links
from tests.archives import changed, sound
from tests.pages.builds import made, page, written

MOLD = "equipment/M-04.yaml"
RAMMER = "equipment/R-02.yaml"
LAST = "heights: [116.40, 116.42, 116.41]}"
RAMMER_LAST = "face_diameter: 50.76}"

AGAIN = (
    f"{LAST}\n  - {{on: 2026-03-11, state: as found, volume: 950, "
    "next_due: 2027-03-11}"
)
"""The mold found with 0.6 % more, the day after both tests."""


def rows(text: str, table: str) -> list[str]:
    """First cells of a table, by its id."""
    after = text.partition(f'id="{table}"')[2].partition("<h2")[0]
    return re.findall(r'<th scope="row"[^>]*>(?:<a[^>]*>)?([^<]+)', after)


def test_a_mold_has_its_volumes_as_a_figure() -> None:
    text = page(sound(), "equipment/M-04/index.html")
    figure = made(sound())["equipment/M-04/volumes.svg"].decode()

    assert 'src="volumes.svg"' in text
    assert "Volume of mold M-04 in force: 944.3 cm³ from 2026-01-14." in figure


def test_each_calibration_has_the_tests_that_relied_on_it() -> None:
    text = page(changed({MOLD: [[LAST, AGAIN]]}), "equipment/M-04/index.html")

    assert rows(text, "tests-2026-01-14") == ["ML-101", "ML-102"]
    assert rows(text, "tests-2026-03-11") == []
    assert text.index("tests-2026-03-11") < text.index("tests-2026-01-14")


def test_what_was_found_wrong_names_the_tests_since() -> None:
    files = changed({MOLD: [[LAST, AGAIN]]})
    text = page(files, "equipment/M-04/index.html")

    assert "Out of tolerance on 2026-03-11: as found 950.0 cm³" in text
    assert rows(text, "wrong-2") == ["ML-101", "ML-102"]
    assert (
        "Tests since 2026-01-14. Not yet assessed; `buildsite calibrate M-04 --judged "
        in text
    )
    assert "calibration-found-wrong" in text
    assert "calibration-found-wrong" in page(files, "flags/index.html")


def test_who_judged_the_tests_is_told() -> None:
    judged = AGAIN.replace(
        "as found,", "as found, tests_judged: {by: E02, reason: both stand},"
    )
    files = changed({MOLD: [[LAST, judged]]})
    text = page(files, "equipment/M-04/index.html")

    assert "Assessed by E02: both stand." in text
    assert "calibration-found-wrong" not in page(files, "flags/index.html")


def test_specimens_are_counted_since_the_last_calibration() -> None:
    text = page(sound(), "equipment/R-02/index.html")

    facts = dict(re.findall(r"<dt>([^<]+)</dt><dd>([^<]+)</dd>", text))
    assert facts["Specimens since last calibration"] == "10"
    assert facts["Specimens allowed between calibrations"].startswith("1000, ASTM D698")


@pytest.mark.parametrize(
    ("file", "line"),
    [(MOLD, "nominal: 4 in\n"), ("equipment/O-01.yaml", "name: drying oven\n")],
)
def test_remarks_stand_on_the_page_and_nothing_stands_for_none(
    file: str, line: str
) -> None:
    name = file.replace(".yaml", "/index.html")
    text = page(changed({file: [[line, f"{line}remarks: the hinge is worn\n"]]}), name)

    assert "the hinge is worn" in text
    for empty in ("Remarks", 'id="about"'):
        assert empty not in page(sound(), name)


def test_due_dates_stand_in_order_and_none_is_called_late() -> None:
    files = changed({RAMMER: [["next_due: 2027-01-13", "next_due: 2020-01-13"]]})
    text = page(files, "due/index.html")

    found = rows(text, "due")
    assert found == sorted(found)
    assert found[0] == "2020-01-13"
    assert not re.search("overdue|past|late", text.partition("<main")[2].lower())
    home = page(files, "index.html")
    assert re.search(r'href="due/index.html">R-02, 2020-01-13', home)


def test_equipment_out_of_use_does_not_fall_due() -> None:
    end = "largest_error: 0.4}\n"
    files = changed(
        {"equipment/B-11.yaml": [[end, f"{end}out_of_use: {{on: 2026-04-01}}\n"]]}
    )

    assert "B-11" not in page(files, "due/index.html")
    assert "since 2026-04-01" in page(files, "equipment/B-11/index.html")


def test_links_of_equipment_hold_whatever_stands_in_the_tests(tmp_path: Path) -> None:
    files = changed(
        {
            MOLD: [[LAST, AGAIN]],
            RAMMER: [
                [RAMMER_LAST, RAMMER_LAST.replace("}", ", found_wrong: slipped}")]
            ],
            "marsh-lane/tests/ML-102.yaml": "broken: [\n",
            "marsh-lane/tests/again/ML-101.yaml": "id: ML-101\n",
        }
    )
    site = written(files, tmp_path)
    pages = links.read_site(site)

    assert [f for name in pages for f in links.page_faults(site, pages, name)] == []
