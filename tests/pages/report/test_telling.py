"""What a link's preview and a citation tell of a report."""

from datetime import date
from pathlib import Path

import pytest

from buildsite.pages.page import site_of
from buildsite.pages.report.telling import citation_of, description_of
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from tests.archives import changed
from tests.pages.builds import archive_of

WHERE = "https://lab.example/soil"
ISSUED = Row(
    file="records/p/tests/T-1.yaml",
    id="T-1",
    page=True,
    kind="moisture-density",
    title="Moisture-density test",
    status="complete",
    project="p",
    soil_class="CL",
    soil_name="lean clay",
    standard="AASHTO T 99",
    method="A",
    results=(
        ("maximum_dry_density", "105.0 lb/ft³"),
        ("corrected_maximum_dry_density", "110.2 lb/ft³"),
    ),
    words=(("corrected_maximum_dry_density", "Corrected maximum dry density"),),
    governing=("corrected_maximum_dry_density",),
    revision=1,
    issued_as="report",
    issued_on=date(2026, 3, 20),
)


def citation(options: Options, procedures: str = "procedures: {") -> str:
    files = changed({"lab.yaml": [["procedures: {", procedures]]})
    return citation_of(site_of(archive_of(files), options), ISSUED)


def test_the_preview_tells_the_result_that_a_fill_is_judged_by() -> None:
    assert description_of(ISSUED) == (
        "T-1 r1: corrected maximum dry density 110.2 lb/ft³. "
        "Lean clay (CL), AASHTO T 99 A, p. Issued 2026-03-20."
    )


def test_a_method_called_none_is_not_cited() -> None:
    lone = Row(**{**vars(ISSUED), "standard": "AASHTO T 265", "method": "none"})

    assert "AASHTO T 265, p." in description_of(lone)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (Options(), "issued 2026-03-20"),
        (Options(base_url=f"{WHERE}/"), f"{WHERE}/tests/T-1/r1/"),
        (Options(release=True), "https://other.example/tests/T-1/r1/"),
        (Options(base_url=WHERE, release=True), f"{WHERE}/tests/T-1/r1/"),
    ],
)
def test_a_citation_ends_in_the_address_where_that_is_known(
    options: Options, told: str
) -> None:
    published = "procedures: {published_at: https://other.example, "

    assert citation(options, published).endswith(f", {told}")


def test_what_was_not_issued_is_not_cited() -> None:
    draft = Row(**{**vars(ISSUED), "revision": None, "issued_on": None})

    assert citation_of(site_of(archive_of(changed({})), Options()), draft) == ""
    assert description_of(draft).endswith("Not issued: preliminary.")


def test_a_print_leads_to_no_page_that_clients_do_not_have(site: Path) -> None:
    address = "https://kestrel-bend.example/"  # lab.yaml of the demo
    for test, there in (("HF-0117", True), ("AQ-0001", False)):  # project.yaml: publish
        page = (site / f"tests/{test}/index.html").read_text("utf-8")
        assert (f"{address}tests/{test}/" in page) == there
        assert "Report code" in page
