"""Pages of field apparatus: tests of each bag, due dates, what stays inside."""

import re

from tests.archive.test_field_apparatus import CONE, DAMP, GAUGE, files
from tests.pages.builds import made, page
from tests.pages.indexes.test_equipment import rows


def texts(html: str) -> str:
    """Return the words of a page without its markup."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_each_bag_has_the_tests_that_relied_on_each_determination() -> None:
    text = page(files(), "equipment/SC-01/index.html")

    assert rows(text, "tests-2026-02-16") == ["ML-F003", "ML-F001", "ML-F002"]  # cone
    assert rows(text, "tests-2026-03-02-0") == ["ML-F001"]
    assert rows(text, "tests-2026-03-16-0") == ["ML-F003"]
    assert rows(text, "tests-2026-03-02-1") == ["ML-F002"]
    assert "Tests using the sand of bag 14, found on 2026-03-16" in text


def test_sand_found_wrong_names_its_bag_and_the_tests_since() -> None:
    text = page(files({CONE: DAMP}), "equipment/SC-01/index.html")

    assert (
        "Out of tolerance on 2026-03-16: sand of bag 14, found bulk density of the "
        "sand 1.486 g/cm³" in text
    )
    assert rows(text, "wrong-bags-0-2") == ["ML-F001"]


def test_due_lists_name_what_falls_due() -> None:
    due = texts(page(files(), "due/index.html"))
    listed = texts(page(files(), "equipment/index.html"))

    assert "2026-03-16 SC-01 Sand-cone apparatus sand of bag 15 2026-03-02" in due
    assert "2026-07-20 G-01 Nuclear gauge leak test 2026-01-20" in due
    assert "2026-03-16, sand of bag 15" in listed
    assert "2026-07-20, leak test" in listed


def test_a_gauge_s_page_has_everything_and_no_test_s_page_what_stays_inside() -> None:
    site = made(files())
    own = texts(site["equipment/G-01/index.html"].decode())
    assert "Serial number 00471" in own
    assert "Licence XX-0001" in own
    assert "radiation safety officer" in own

    secret = re.compile(rb"00471|XX-0001|L-77|2026-07-20")
    of_test = {name: data for name, data in site.items() if "ML-F004" in name}
    assert of_test
    assert [name for name, data in of_test.items() if secret.search(data)] == []


def test_a_gauge_that_is_out_says_since_when() -> None:
    gone = "service: [{on: 2026-03-06, by: T04, state: out, reason: dropped}]"

    text = texts(
        page(files({GAUGE: [["service:", gone]]}), "equipment/G-01/index.html")
    )

    assert "Out of service since 2026-03-06: dropped" in text
