"""`worksheet`: a sheet to print, of a test or of a kind."""

from pathlib import Path

import pytest

from tests.archives import changed, sound
from tests.cli.running import run
from tests.clones import write


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write(tmp_path / "archive", sound())


def test_a_test_is_filled_in(root: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet.html"

    ran = run("worksheet", "ML-102", "--out", out, "--root", root)

    assert (ran.status, ran.out) == (0, f"{out}\n")
    assert ">3854</td>" in out.read_text("utf-8")


def test_without_a_name_it_bears_that_of_the_test(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run("worksheet", "ML-102", "--root", root).out == "ML-102-worksheet.html\n"
    assert (tmp_path / "ML-102-worksheet.html").is_file()


def test_a_kind_is_blank(root: Path) -> None:
    ran = run("worksheet", "moisture-density", "--out", "-", "--root", root)

    assert ran.status == 0
    assert "Moisture-density test: AASHTO T 99, Method A" in ran.out
    assert "<td></td>" in ran.out


def test_a_blank_sheet_is_by_the_standard_asked_for(root: Path) -> None:
    words = ("--standard", "d 698", "--method", "c", "--unit", "lb", "--out", "-")
    ran = run("worksheet", "moisture-density", *words, "--root", root)

    assert "ASTM D698, Method C" in ran.out
    assert "56 blows each" in ran.out  # ASTM D698-07e1, 1.3.3.4
    assert "Mold and wet soil <small>to nearest 0.0022 lb</small>" in ran.out


def test_the_laboratorys_usual_standard_comes_first(tmp_path: Path) -> None:
    was = "procedures: {"
    files = changed({"lab.yaml": [[was, f"{was}standards: [BS 1377-4], "]]})

    root = write(tmp_path / "archive", files)
    ran = run("worksheet", "moisture-density", "--out", "-", "--root", root)

    assert "Moisture-density test: BS 1377-4" in ran.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["ML-999"], "'ML-999' is neither a test"),
        (["mold"], "A mold has no bench sheet."),
        (["ML-102", "--method", "B"], "--method is for a blank sheet"),
        (
            ["moisture-density", "--standard", "ASTM D1"],
            "'ASTM D1' is not one of: AASHTO T 180",
        ),
        (["moisture-density", "--unit", "stone"], "compacted"),
    ],
)
def test_what_cannot_be_is_refused(root: Path, words: list[str], said: str) -> None:
    ran = run("worksheet", *words, "--out", "-", "--root", root)

    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


def test_a_record_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    files = changed({"marsh-lane/tests/ML-102.yaml": "broken: [\n"})
    root = write(tmp_path / "archive", files)

    ran = run("worksheet", "ML-102", "--out", "-", "--root", root)

    assert ran.status == 2
    assert "Can't read" in ran.err


def test_a_sample_has_a_label_for_its_bags(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("worksheet", "ML-S1", "--root", root).out == "ML-S1-label.html\n"

    text = (tmp_path / "ML-S1-label.html").read_text("utf-8")
    assert "<h1>ML-S1</h1>" in text
    for name in ("Project", "Received", "Sampled", "Place"):
        assert f"<dt>{name}</dt>" in text
    assert "size: 100mm 62mm" in text
    assert "Heavy: lift with two people." in text
    assert "<script" not in text
    assert "http" not in text.replace("http-equiv", "")
