"""The page of field control: lifts first, every test, figures that are there."""

import json
import re
from dataclasses import replace
from functools import cache

import pytest

from buildsite.archive.lifts import lifts_of
from buildsite.pages.field.field_page import field_pages
from buildsite.pages.field.summary import lift_state
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.overview import project_table
from buildsite.pages.indexes.records import project_pages
from tests.pages.field.fills import PROJECT, context, field_one, fill, filled, one

PAGE = f"projects/{PROJECT}/field/index.html"


@cache
def files() -> dict[str, bytes]:
    """Every file of the invented fill."""
    return dict(field_pages(filled()))


def text_of(html: bytes) -> str:
    """A page without its marks, each run of blanks as one."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html.decode()))


def page_of(made: IndexContext) -> str:
    return text_of(dict(field_pages(made))[PAGE])


def test_the_page_has_its_files_and_figures() -> None:
    html = files()[PAGE].decode()
    folder = PAGE.rpartition("/")[0]

    for name in ("field.csv", "field.json", "field.geojson"):
        assert f'href="{name}"' in html
        assert f"{folder}/{name}" in files()
    figures = re.findall(r'<img src="([^"]+)"', html)
    assert len(figures) == 7  # two of each zone, one curve
    assert all(f"{folder}/{name}" in files() for name in figures)
    assert len(files()) == 1 + 3 + len(figures)


def test_the_spreadsheet_is_at_the_head_too() -> None:
    html = files()[PAGE].decode()

    assert 'href="field.csv"' in html[: html.index('id="lifts"')]
    assert html.count('href="field.csv"') == 2


def test_the_long_page_names_its_tables() -> None:
    html = files()[PAGE].decode()
    named = re.findall(r'<li><a href="#([^"]+)">', html)

    assert named[-3:] == ["tests", "acceptances", "days"]
    assert [name for name in named if f'<h2 id="{name}"' not in html] == []


def test_nothing_is_asked_of_another_host() -> None:
    assert b"http" not in re.sub(rb"http-equiv", b"", files()[PAGE])


def test_every_test_and_paper_is_listed() -> None:
    text = text_of(files()[PAGE])

    for id, _ in fill():
        assert id in text
    told = json.loads(files()[f"projects/{PROJECT}/field/field.json"])
    assert [test["id"] for test in told["tests"]] == sorted(
        (id for id, result in fill() if "field" in result),
        key=[test["id"] for test in told["tests"]].index,
    )


def test_failing_lifts_come_first() -> None:
    html = files()[PAGE].decode()
    table = html[html.index('id="lifts"') : html.index("</table>")]
    states = re.findall(r"(Failing|Open|Met, not|Accepted)", table)

    assert states == sorted(
        states, key=["Failing", "Open", "Met, not", "Accepted"].index
    )
    assert {"Failing", "Open", "Met, not", "Accepted"} == set(states)


def test_the_heading_names_every_failure_without_an_answer() -> None:
    one_test = context([field_one("F1", verdict="fail", lift="7")])
    assert "1 failure is not closed: F1 (embankment, lift 7)." in page_of(one_test)

    answered = context([field_one("F1", verdict="fail", disposition="removed")])
    assert "Every failure is closed." in page_of(answered)


def test_a_client_is_told_that_tests_not_issued_are_not_among_these() -> None:
    answered = context([field_one("F1", verdict="fail", disposition="removed")])
    site = answered.site
    options = replace(site.options, release=True)
    page = page_of(replace(answered, site=replace(site, options=options)))

    assert "Every failure is closed." not in page
    assert "Every failure among the issued tests is closed." in page
    assert "Tests not issued are not shown." in page


def test_a_lift_says_what_it_lacks() -> None:
    def state(*tests: object) -> str:
        return lift_state(lifts_of(tests)[0])  # type: ignore[arg-type]

    assert state(field_one("F1", verdict="fail")) == "Failing: F1 not closed"
    assert state(field_one("F1")) == "Open: too few tests"
    assert state(field_one("F1", verdict="none")) == "Open: F1 without a verdict"
    assert state(field_one("F1", purpose="information")) == "Open: no test counts"
    assert state(field_one("F1", 1)) == "Met, not yet accepted"
    closed = state(
        field_one("F1", 1, verdict="fail", disposition={"as": "removed", "by": "E02"})
    )
    assert closed == "Met, not yet accepted. F1 failed, removed, E02"


def test_a_withdrawn_test_is_listed_and_counts_nothing() -> None:
    made = context([field_one("F1", verdict="fail"), field_one("F2")])
    rows = tuple(
        replace(row, status="withdrawn") if row.id == "F1" else row for row in made.rows
    )
    text = page_of(replace(made, rows=rows))

    assert "No test fails." in text
    assert "F1" in text


def test_a_test_is_listed_with_its_reference_and_how_it_was_matched() -> None:
    text = page_of(context([field_one("F1", preliminary_water=True)]))

    assert "HF-0117 r2" in text
    assert "one-point, T07" in text
    assert "water content preliminary" in text


def project_page(made: IndexContext) -> bytes:
    file = f"records/{PROJECT}/project.yaml"
    return dict(project_pages(made, file, PROJECT))[f"projects/{PROJECT}/index.html"]


def test_the_project_and_the_home_page_link_to_it() -> None:
    made = context([field_one("F1", verdict="fail")])
    page = project_page(made).decode()

    assert page.count('href="field/index.html"') == 1
    assert 'href="../../projects/heron-flats/field/index.html"' in page
    cells = [cell for row in project_table(made).rows for cell in row.cells]
    assert [cell.text for cell in cells if cell.to == ("field", PROJECT)] == [
        "1 failing"
    ]


def test_projects_without_field_tests_say_nothing_of_it() -> None:
    made = context([])

    assert list(field_pages(made)) == []
    page = project_page(made)
    assert b"Field control" not in page
    assert "Lifts" not in [column.label for column in project_table(made).columns]


def test_a_reference_that_is_not_there_leaves_its_tests_in_a_figure() -> None:
    lost = field_one("F1", reference="HF-0999", reference_revision="HF-0999 r4")
    found = dict(field_pages(context([lost])))

    assert f"projects/{PROJECT}/field/curve-hf-0999-r4.svg" in found


@pytest.mark.parametrize("seed", range(3))
def test_the_same_fill_gives_the_same_bytes(seed: int) -> None:
    def made() -> dict[str, bytes]:
        return dict(field_pages(context(one(id, r) for id, r in fill(seed))))

    assert made() == made()


def test_a_zone_is_one_however_it_is_written() -> None:
    made = context([field_one("F1", zone="embankment"), field_one("F2", zone="Zone 1")])
    same = context(
        [field_one("F1", zone="embankment"), field_one("F2", zone="Embankment ")]
    )
    apart = context([field_one("F1", zone="A-1"), field_one("F2", zone="A 1")])
    figures = [
        sum(name.endswith(".svg") for name, _ in field_pages(each))
        for each in (made, same, apart)
    ]

    assert figures[0] == figures[1] + 1 == figures[2]
