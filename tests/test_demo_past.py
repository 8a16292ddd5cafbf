"""
The past of the demo laboratory: what was issued, amended, assessed and withdrawn.

What was wrong is known from outside the program: `docs/demo.md` and the model of soils
and bench in `tests/demo` state it. From here on a change of the program that moves an
issued number of the demo is answered as a laboratory would: by an amendment or an
assessment, never by an edit of what was issued.
"""

from hashlib import sha256
from html import unescape
from pathlib import Path
from re import sub

import pytest

from buildsite.record.issued import Issued, breaks, read_issued
from tests.cli.running import run
from tests.conftest import ROOT
from tests.demo.laboratory import MOLDS
from tests.demo.soil import SOILS

CHAINS = sorted((ROOT / "records").glob("*/tests/*.issued.yaml"))
IN_M_02 = ("HF-0117", "HF-0120", "HF-0123")
"""Compacted in the mold after its fall, and with a result."""


def chain(path: Path) -> Issued:
    issued, faults = read_issued(path.name, path.read_bytes())
    assert faults == ()
    assert issued is not None
    assert list(breaks(issued.trees)) == []
    return issued


@pytest.fixture(scope="module")
def past() -> dict[str, Issued]:
    return {path.name.removesuffix(".issued.yaml"): chain(path) for path in CHAINS}


def kept(id: str, revision: int) -> str:
    """The words of a kept report."""
    (path,) = (ROOT / "records").glob(f"*/tests/{id}.r{revision}.html")
    return " ".join(unescape(sub("<[^>]*>", " ", path.read_text("utf-8"))).split())


def density(id: str, past: dict[str, Issued], revision: int) -> float:
    """Maximum dry density as a revision reported it, without its unit."""
    text = past[id].items[revision].results["maximum_dry_density"]
    return float(text.split()[0])


def kinds(past: dict[str, Issued], kind: str) -> set[str]:
    return {id for id, one in past.items() if kind in [i.kind for i in one.items]}


def test_enough_was_issued_of_both_projects(past: dict[str, Issued]) -> None:
    final = kinds(past, "report")

    assert len(final) >= 8
    assert {id[:2] for id in final} == {"HF", "AQ"}


def test_two_reports_were_assessed_and_one_withdrawn(past: dict[str, Issued]) -> None:
    assert kinds(past, "assessment") == {"HF-0104", "HF-0117"}
    assert kinds(past, "withdrawal") == {"HF-0113"}


def test_four_things_were_found_wrong_and_amended(past: dict[str, Issued]) -> None:
    reports = {
        id: sum(item.kind == "report" for item in one.items) for id, one in past.items()
    }

    # A mass, a calibration that three tests rest on, a specific gravity, a drawn peak.
    amended = {id for id, count in reports.items() if count > 1}
    assert amended >= {"HF-0104", *IN_M_02, "HF-0111", "AQ-0003"}


def test_the_misread_mass_is_told(past: dict[str, Issued]) -> None:
    assert "point 3, container and dry: 184.20 → 184.02" in kept("HF-0104", 1)
    assert "Tidemark Earthworks (invented)" in kept("HF-0104", 1)
    # Less dry soil of the same wet soil: more water, and a lower dry density.
    assert density("HF-0104", past, 1) < density("HF-0104", past, 0)


@pytest.mark.parametrize("id", IN_M_02)
def test_a_mold_that_holds_more_makes_the_density_less(
    past: dict[str, Issued], id: str
) -> None:
    (_, before), (_, after) = MOLDS["M-02"].volumes
    last = len(past[id].items) - 1

    # Mass over volume; reported to 0.1, and a calibration is good to 0.1 % of 108.
    expected = density(id, past, 0) * before / after
    assert density(id, past, last) == pytest.approx(expected, abs=0.1 + 0.1)
    assert "mold M-02, volume: 945.2 cm³ → 951.9 cm³" in kept(id, last)


def test_the_specific_gravity_is_the_soils(past: dict[str, Issued]) -> None:
    assert SOILS["HF-S03"].gravity == 2.74
    assert "specific gravity, value: 2.70 → 2.74" in kept("HF-0111", 1)
    assert past["HF-0111"].items[0].results == past["HF-0111"].items[1].results


def test_the_drawn_peak_is_replaced() -> None:
    words = kept("AQ-0003", 1)

    assert "curve, drawn, maximum dry density: 17.82 → nothing" in words
    assert "Changed: 17.82 kN/m³ in r0" in words


def test_one_test_moved_and_waits() -> None:
    checked = run("check", "--root", ROOT)

    moved = [line for line in checked.out.splitlines() if "moved-since-issue" in line]
    assert checked.status == 0, checked.out
    assert [Path(line.split(":")[0]).stem for line in moved if ": error:" in line] == [
        "HF-0109"
    ]


def test_the_past_can_be_proved() -> None:
    verified = run("verify", "--root", ROOT)

    assert verified.status == 0, verified.out + verified.err


def test_a_printed_page_leads_to_its_readings_by_links_alone(
    site: Path, past: dict[str, Issued]
) -> None:
    # The misread mass of HF-0104 (docs/demo.md): as it was under r0, mended under r1.
    dried = [
        (site / f"tests/HF-0104/r{revision}/record.yaml").read_text("utf-8")
        for revision in (0, 1)
    ]
    page = (site / "tests/HF-0104/r0/index.html").read_text("utf-8")

    assert 'href="record.yaml"' in page
    assert ["184.20" in text for text in dried] == [True, False]
    assert ["184.02" in text for text in dried] == [False, True]
    # Every record that a revision names stands there as its digest says, lab.yaml
    # aside, which holds people's addresses.
    for id, one in past.items():
        for item in one.items:
            folder = site / "tests" / id / f"r{item.revision}"
            held = {
                sha256(path.read_bytes()).hexdigest()
                for path in folder.rglob("*")
                if path.suffix == ".yaml"
            }
            # An item of another test's chain (NAME#1) has a page of its own.
            named = {file: key for file, key in item.inputs.items() if "#" not in file}
            del named["records/lab.yaml"]
            assert held == {digest.removeprefix("sha256:") for digest in named.values()}


def test_what_a_unit_is_called_hides_no_difference(site: Path) -> None:
    page = site / "tests/HF-0117/compare/index.html"
    compared = " ".join(unescape(sub("<[^>]*>", " ", page.read_text("utf-8"))).split())

    # 1 lb of mass weighs 1 lbf: 108.0 − 108.7 (HF-0117.issued.yaml) = −0.7 lbf/ft³.
    assert "108.7 lb/ft³ 108.0 lbf/ft³ −0.7 lbf/ft³" in compared
    assert "Now reported as dry unit weight; lbf/ft³ and lb/ft³ are" in compared
    assert "otherwise now" not in compared
