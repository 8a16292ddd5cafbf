"""The bench sheet: blank for the pencil, or with every reading of the record."""

import re
from base64 import b64encode
from collections.abc import Callable, Iterator
from functools import cache
from hashlib import sha256
from html import unescape
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.outcome import Outcome
from buildsite.pages.bench_sheet.drawing import PLACE
from buildsite.pages.bench_sheet.worksheet import worksheet
from buildsite.pages.page import site_of
from buildsite.pages.site_sources import Options
from buildsite.record.source import read_source
from buildsite.standards.tables import find
from tests.archives import Files, changed, demo, sound
from tests.conftest import ROOT
from tests.pages.builds import archive_of, made, page

TEST = "marsh-lane/tests/ML-102.yaml"
FILE = f"records/{TEST}"
DEMO = sorted(
    path.relative_to(ROOT).as_posix()
    for path in (ROOT / "records").glob("*/tests/*.yaml")
    if not path.name.endswith(".issued.yaml")
)


def sheet_in(archive: Archive, file: str, *, blank: bool = False) -> str:
    outcome = archive.outcome(file)
    assert isinstance(outcome, Outcome)
    data = worksheet(site_of(archive, Options()), outcome, blank=blank)
    assert data is not None
    return data.decode()


def sheet(files: Files, *, blank: bool = False) -> str:
    return sheet_in(archive_of(files), FILE, blank=blank)


def row(text: str, label: str) -> list[str]:
    """Cells of a row, by what it is of."""
    found = re.search(rf'<th scope="row">{re.escape(label)}.*?</th>(.*?)</tr>', text)
    assert found is not None, label
    return [unescape(one) for one in re.findall(r"<td>(.*?)</td>", found[1])]


def box(text: str, label: str) -> str:
    found = re.search(rf"<dt>{re.escape(label)}\b.*?</dt><dd>(.*?)</dd>", text)
    assert found is not None, label
    return unescape(found[1])


def scalars(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        for inner in node.values():
            yield from scalars(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from scalars(inner)
    elif node is not None:
        yield str(node)


NOT_READ = ("format", "kind", "units", "reviewed", "accepted", "curve", "deviations")


Drawn = Callable[[str], tuple[Outcome, str]]


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    """A test of the demo and its sheet, drawn once for all that is looked for on it."""
    archive = demo()

    @cache
    def sheet_of(file: str) -> tuple[Outcome, str]:
        outcome = archive.outcome(file)
        assert outcome is not None
        return outcome, sheet_in(archive, file)

    return sheet_of


@pytest.mark.parametrize("file", DEMO)
def test_nothing_that_was_read_is_left_out(drawn: Drawn, file: str) -> None:
    outcome, sheet = drawn(file)
    text = unescape(re.sub("<[^>]*>", " ", sheet))

    tree = {k: v for k, v in outcome.source.tree.items() if k not in NOT_READ}
    tree.pop("withdrawn", None)
    told = {
        re.sub(r"^(.{10})T(.{5})$", r"\1 \2", one).replace("in-progress", "in progress")
        for one in scalars(tree)
        if one not in ("none", "")
    }
    assert sorted(one for one in told if one not in text) == []
    assert outcome.source.sha256 in text


def test_each_reading_stands_in_its_place_as_it_was_written() -> None:
    text = sheet(sound())

    assert row(text, "Mold and wet soil") == ["3854", "3939", "4002", "4007", "3981"]
    assert row(text, "Container no.") == ["31", "34", "29", "40", "33"]
    assert row(text, "Container and dry soil")[0] == "187.19"
    assert box(text, "Empty mold") == "2001"
    assert box(text, "Into the oven at") == "2026-03-10 15:40"
    assert box(text, "Material passing") == "No. 4"
    assert row(text, "Wetted at")[0] == "2026-03-09 14:10"


def test_units_and_last_places_are_those_of_the_record_and_the_method() -> None:
    text = sheet(sound())

    # ASTM D698: 1 g; ASTM D2216: 0.1 g (both from memory)
    assert "Mold and wet soil <small>to nearest 1 g</small>" in text
    assert "Container and wet soil <small>to nearest 0.1 g</small>" in text


def test_a_second_container_has_rows_of_its_own() -> None:
    was = "container_and_dry: 187.19}"
    two = "container_and_dry: [187.25, 187.19], containers: [{container: 7, container_mass: 50.01, container_and_wet: 190.11, container_and_dry: 179.99}]}"  # noqa: E501
    text = sheet(changed({TEST: [[was, two]]}))

    assert row(text, "Container no.")[0] == "31"
    assert row(text, "Second: container no.") == ["7", "", "", "", ""]
    assert row(text, "Container and dry soil")[0] == "187.25, 187.19"
    assert row(text, "Second: container and dry soil")[0] == "179.99"
    assert 'class="wide"' in text or 'class="long wide"' in text


def test_containers_listed_alone_fill_both_places() -> None:
    was = 'container: "31", container_mass: 52.13, container_and_wet: 198.41, container_and_dry: 187.19}'  # noqa: E501
    two = "containers: [{container: A, container_mass: 52.13}, {container: B}, {container: C}]}"  # noqa: E501
    text = sheet(changed({TEST: [[was, two]]}))

    assert row(text, "Container no.")[0] == "A"
    assert row(text, "Second: container no.")[0] == "B / C"
    assert row(text, "Empty container")[:2] == ["52.13", "51.64"]


def test_a_sheet_to_write_on_has_room_for_two_containers_times_and_oversize() -> None:
    blank, closed = sheet(sound(), blank=True), sheet(sound())

    for label in ("Container no.", "Second: container no.", "Wetted at"):
        assert row(blank, label) == [""] * 6
    assert row(blank, "Compacted at") == [""] * 6
    for label in (
        "Retained on",
        "Retained, by dry mass",
        "Bulk specific gravity, retained",
        "Oven-dry or SSD",
        "Water content, retained",
    ):
        assert box(blank, label) == ""
    assert "Second: container no." not in closed
    assert "Retained, by dry mass" not in closed


def test_an_oversize_of_the_test_stands_in_its_boxes() -> None:
    own = "oversize: {sieve: No. 4, percent_retained: 12.4, bulk_specific_gravity: 2.61, bulk_basis: SSD}"  # noqa: E501
    written = [["mold_mass: 2001", f"{own}\nmold_mass: 2001"]]
    going_on = ["status: complete", "status: in-progress"]
    text = sheet(changed({TEST: [*written, going_on]}))
    closed = sheet(changed({TEST: written}))

    assert box(text, "Retained on") == "No. 4"
    assert box(text, "Retained, by dry mass") == "12.4"
    assert box(text, "Oven-dry or SSD") == "SSD"
    assert text.count("12.4") == 1
    assert box(closed, "Oversize, percent retained") == "12.4"


def test_the_drying_time_is_that_of_the_check() -> None:
    # The flag drying-too-short and the sheet take it from one cell: oven_least.
    for designation, name in (("AASHTO T 99", "A"), ("ASTM D698", "A")):
        method = find(designation, name)
        assert method is not None
        assert method.cell("oven_least").value == "12"
    for standard in ('AASHTO T 99, edition: "22"', "ASTM D698, edition: 12(2021)"):
        was = "ASTM D698, edition: 12(2021)"
        text = sheet(changed({TEST: [[was, standard]]}), blank=True)
        assert "overnight (at least 12 h), or until two successive" in text
        assert "15 h" not in text


def test_each_caution_has_its_line_and_local_rules_come_first() -> None:
    text = sheet(sound(), blank=True)

    cautions = text[text.index("<h2>Cautions</h2>") : text.index("<h2>Steps</h2>")]
    lines = re.findall("<li>(.*?)</li>", cautions)
    assert [one.partition(":")[0] for one in lines[:4]] == [
        "Rammer",
        "Oven",
        "Dust",
        "Lifting",
    ]
    assert lines[-1].startswith("Follow your local rules and licensed practice")


def test_where_soil_may_be_reused_the_new_soil_is_for_each_point() -> None:
    # AASHTO T 99 method A: about 3 kg remixed for all points (from memory); NDDOT has
    # five samples of 7 lb each (T 99/T 180, 2011).
    was = "ASTM D698, edition: 12(2021)"
    text = sheet(changed({TEST: [[was, 'AASHTO T 99, edition: "22"']]}), blank=True)

    assert (
        "Prepare about 3 kg of soil in total; where each point needs new soil, about "
        "7 lb (3.2 kg) a point."
    ) in text


def test_a_rejected_point_says_so_and_why() -> None:
    was = "container_and_dry: 187.19}"
    out = 'container_and_dry: 187.19, rejected: {by: E02, reason: "base < plate"}}'
    text = sheet(changed({TEST: [[was, out]]}))

    assert '<th scope="col">1, rejected</th>' in text
    assert box(text, "1 rejected by E02") == "base < plate"
    assert "base &lt; plate" in text


def test_a_record_that_is_closed_has_no_boxes_to_tick() -> None:
    closed = sheet(sound())
    open_ = sheet(changed({TEST: [["status: complete", "status: in-progress"]]}))

    assert "Surface trimmed flush" not in closed
    assert row(closed, "Mold and wet soil") == row(open_, "Mold and wet soil")[:5]
    assert row(open_, "Surface trimmed flush") == ["<i></i>"] * 6


def test_a_blank_sheet_has_a_place_for_each_reading_and_none_is_filled() -> None:
    text = sheet(sound(), blank=True)

    assert set(re.findall(r"<dd>(.*?)</dd>", text)) == {""}
    cells = re.findall(r"<td>(.*?)</td>", text)
    assert set(cells) == {"", "<i></i>"}
    assert row(text, "Mold and wet soil") == [""] * 6
    assert "ML-102" not in text
    assert "SHA-256" not in text
    assert "Blows per layer <small>prescribed: 25</small>" in text
    assert "Soil preparation <small>moist or dry</small>" in text


@pytest.mark.parametrize("many", [7, 12, 13])
def test_many_points_make_several_tables(many: int) -> None:
    line = "  - {water_added_ml: 264"
    more = "".join(
        f"  - {{water_added_ml: {i}, mold_and_wet_soil: {3900 + i}}}\n"
        for i in range(many - 5)
    )
    text = sheet(changed({TEST: [[line, more + line]]}))

    heads = re.findall(r'<th scope="col">(\d+)</th>', text)
    assert heads == [str(i) for i in range(1, many + 1)]
    assert text.count("<table") == -(-many // 6)


def test_a_sheet_is_the_same_whatever_was_drawn_before() -> None:
    first = sheet(sound())
    other = sheet_in(archive_of(sound()), "records/marsh-lane/tests/ML-101.yaml")

    assert sheet(sound()) == first
    assert other != first


def test_what_is_written_is_no_markup() -> None:
    evil = '"</dd><script>\\"&"'
    text = sheet(changed({TEST: [["preparation: moist", f"remarks: {evil}"]]}))

    assert "<script" not in text
    assert box(text, "Remarks") == '</dd><script>"&'


def test_steps_ticks_and_cautions_are_on_it() -> None:
    text = sheet(sound(), blank=True)

    assert "Compact 3 layers of equal height, 25 blows each" in text
    assert "No soil torn out below the rim" in text
    assert "Follow your local rules and licensed practice" in text


def test_it_is_alone_and_black_on_white() -> None:
    text = sheet(sound())

    assert "<script" not in text
    assert re.findall(r'(?:src|href)="(.*?)"', text) == ["data:,"]
    style = text.partition("<style>")[2].partition("</style>")[0]
    digest = b64encode(sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; "
    assert policy in unescape(text.partition("<head>")[2].partition(">")[0])
    assert set(re.findall(r"#[0-9a-f]{3,6}\b", style)) == {"#000", "#fff"}


def test_the_laboratorys_copy_links_to_it_and_clients_have_none() -> None:
    text = page(sound(), "tests/ML-102/index.html")
    copy = made(sound())["tests/ML-102/worksheet.html"].decode()

    assert 'href="worksheet.html"' in text
    assert "Not for release" in copy
    assert "Not for release" not in sheet(sound())
    released = made(sound(), Options(release=True))
    assert not [path for path in released if path.endswith("worksheet.html")]


def test_equipment_has_no_bench_sheet() -> None:
    archive = archive_of(sound())
    outcome = archive.outcome("records/equipment/M-04.yaml")
    assert outcome is not None

    assert worksheet(site_of(archive, Options()), outcome) is None


@pytest.mark.parametrize("file", DEMO)
def test_every_sheet_puts_local_rules_first(drawn: Drawn, file: str) -> None:
    _, text = drawn(file)

    assert text.count("Follow your local rules and licensed practice") == 1
    assert "no. <small>no." not in text


@pytest.mark.parametrize("letter", [PLACE, "\\uFFFE"])
def test_no_record_holds_the_mark_of_a_place(letter: str) -> None:
    data = f'kind: x\nremarks: "a{letter}b"\n'.encode()

    assert [fault.flag for fault in read_source("a.yaml", data).faults]
