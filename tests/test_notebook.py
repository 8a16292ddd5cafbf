"""`from buildsite import open_archive`: rows of the site, arrays, no cost before."""

import csv
import dataclasses
import json
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from buildsite import notebook, open_archive
from buildsite.errors import EnvironmentFault
from buildsite.notebook import Results
from tests.cli.running import run
from tests.clones import git
from tests.conftest import ROOT


@pytest.fixture(scope="module")
def demo() -> Results:
    return open_archive(ROOT)


def test_importing_the_package_imports_nothing_else() -> None:
    program = "import sys; before = set(sys.modules); import buildsite; " + (
        "print(*(n for n in set(sys.modules) - before if n != 'buildsite'), sep='\\n')"
    )
    told = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )

    loaded = set(told.stdout.split())
    assert not [name for name in loaded if name.startswith("buildsite.")]
    assert not loaded & {"numpy", "pydantic", "yaml", "subprocess"}


def test_the_rows_are_those_of_the_site(demo: Results, site: Path) -> None:
    with (site / "results.csv").open(encoding="utf-8-sig", newline="") as file:
        there = list(csv.DictReader(file))
    here = demo.to_rows()

    assert len(here) == len(there)
    for mine, theirs in zip(here, there, strict=True):
        assert mine.keys() == theirs.keys()
        for name, value in mine.items():
            text = theirs[name]
            if value is None:
                assert text == ""
            elif isinstance(value, float):
                assert value == pytest.approx(float(text), rel=1e-9)
            else:
                # A spreadsheet would make a number of the edition 07e1.
                assert text in (str(value), f"no. {value}")
    assert {type(row["issued"]) for row in here} == {date, type(None)}


def test_points_and_curve_are_arrays_of_the_result(demo: Results, site: Path) -> None:
    told = json.loads((site / "tests/HF-0117/result.json").read_bytes())
    test = demo["HF-0117"]

    assert test.points.dry_density.tolist() == [
        one["dry_density"] for one in told["points"]
    ]
    assert test.points.rejected.dtype == bool
    line = np.column_stack([test.curve.water_content, test.curve.dry_density])
    assert line.tolist() == told["curve"]["line"]
    # The peak is the highest point of the line that was drawn.
    peak = test.result("maximum_dry_density")
    assert peak is not None
    assert test.curve.dry_density.max() == pytest.approx(peak.value, rel=1e-6)


def test_a_test_without_points_has_arrays_without_length(demo: Results) -> None:
    (field, *_) = demo.tests(kind="field-density")

    assert field.points.dry_density.size == field.curve.dry_density.size == 0


def test_tests_are_found_by_project_kind_and_family(demo: Results) -> None:
    members = demo.tests(family="embankment")
    # As the demo's record of the family names them.
    record = (ROOT / "records/heron-flats/families/embankment.yaml").read_text("utf-8")
    named = re.search(r"members: \[(.*)\]", record)
    assert named is not None
    assert [one.id for one in members] == named[1].split(", ")
    assert demo.tests(family="no such family") == ()
    both = demo.tests(project="heron-flats", kind="one-point")
    assert {(one.row.project, one.row.kind) for one in both} == {
        ("heron-flats", "one-point")
    }
    with pytest.raises(KeyError):
        demo["HF-9999"]


def test_what_is_given_is_frozen(demo: Results) -> None:
    test = demo["HF-0117"]

    with pytest.raises(dataclasses.FrozenInstanceError):
        test.row.id = "other"  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        demo.laboratory = "other"  # type: ignore[misc]


def test_an_earlier_state_has_its_own_results(demo: Results) -> None:
    first = git(ROOT, "rev-list", "--reverse", "HEAD", "--", "records").split()[0]

    then = open_archive(ROOT, at=first)

    assert {one.id for one in then.every} < {one.id for one in demo.every}


def test_an_unknown_revision_or_folder_is_said(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault, match="No revision 'nowhere'"):
        open_archive(ROOT, at="nowhere")
    with pytest.raises(EnvironmentFault):
        open_archive(tmp_path)


def test_the_readme_draws_a_family(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    (lines,) = re.findall(r"^```python\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    assert "savefig(" in lines
    clone = tmp_path / "demo"
    git(tmp_path, "clone", "--quiet", "--shared", str(ROOT), str(clone))
    monkeypatch.chdir(clone)

    done = subprocess.run(
        [sys.executable, "-P", "-c", lines],
        env={"PYTHONPATH": str(ROOT), "MPLBACKEND": "agg", "PATH": "/usr/bin:/bin",
             "HOME": str(tmp_path), "XDG_CACHE_HOME": str(Path.home() / ".cache")},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    (picture,) = clone.glob("*.png")
    assert picture.read_bytes().startswith(b"\x89PNG\r\n")


@pytest.fixture(scope="module")
def results() -> Callable[..., Results]:
    """The results of an archive, frozen, computed once for every way to write them."""
    return cache(notebook.results_of)


@pytest.fixture
def _once(results: Callable[..., Results], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(notebook, "results_of", results)


@pytest.mark.usefixtures("_once")
@pytest.mark.parametrize("style", ["csv", "json"])
def test_export_writes_the_files_of_the_site(
    site: Path, tmp_path: Path, style: str
) -> None:
    out = tmp_path / f"all.{style}"

    ran = run("export", "--format", style, "--out", out, "--root", ROOT)

    assert ran.status == 0, ran.err
    assert out.read_bytes() == (site / f"results.{style}").read_bytes()
    assert ran.out == ""


@pytest.mark.usefixtures("_once")
def test_export_of_a_project_goes_to_standard_output(site: Path) -> None:
    ran = run("export", "--project", "alder-quay", "--root", ROOT)

    assert ran.status == 0, ran.err
    there = site / "projects/alder-quay/results.csv"
    assert ran.out == there.read_bytes().decode("utf-8")


@pytest.mark.usefixtures("_once")
def test_export_knows_no_other_project() -> None:
    ran = run("export", "--project", "alder-key", "--root", ROOT)

    assert ran.status == 2
    assert "Did you mean alder-quay?" in ran.err


def test_export_for_clients_has_what_was_issued_and_may_be_seen() -> None:
    ran = run("export", "--format", "json", "--release", "--root", ROOT)

    assert ran.status == 0, ran.err
    rows = json.loads(ran.out)["results"]
    published = {
        path.parent.name
        for path in (ROOT / "records").glob("*/project.yaml")
        if re.search(r"^publish: yes", path.read_text("utf-8"), re.MULTILINE)
    }
    assert {row["project"] for row in rows} == published
    assert {row["status"] for row in rows} <= {"issued", "preliminary", "withdrawn"}
    assert all(flag["severity"] != "note" for row in rows for flag in row["flags"])
