"""What `validate` prints, and how it exits."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from buildsite.cli import buildsite
from buildsite.software import fingerprint
from buildsite.validation import examples
from tests.validation.page import PAGE, page


def run(*words: str) -> Result:
    return CliRunner().invoke(buildsite, ["validate", *words])


@pytest.fixture(scope="module")
def whole() -> Result:
    """The answer for every example, which takes two seconds of drawing at random."""
    return run()


@pytest.fixture
def published(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the examples, to spoil."""
    folder = tmp_path / "published"
    shutil.copytree(examples.FOLDER, folder)
    monkeypatch.setattr(examples, "FOLDER", folder)
    return folder


def spoil(folder: Path, id: str, old: str, new: str) -> None:
    (path,) = folder.glob(f"{id}-*.yaml")
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")


def test_all_agree_and_the_exit_is_0(whole: Result) -> None:
    assert whole.exit_code == 0, whole.output
    assert " 0 differ." in " ".join(whole.output.split())


def test_lines_fit_a_terminal(whole: Result) -> None:
    # Addresses stay whole, so that they can be followed.
    long = [x for x in whole.output.splitlines() if len(x) > 80 and "//" not in x]

    assert long == []


def test_named_examples_alone_are_shown() -> None:
    done = run("b06", "b01")

    # b06, an exercise of a course, is surer than the open page of b01.
    heads = [line[:3] for line in done.output.splitlines() if line[:1] == "b"]
    assert heads == ["b06", "b01"]


def test_each_class_of_source_is_counted_apart(whole: Result) -> None:
    tree = json.loads(run("--json").stdout)
    words = " ".join(whole.output.split())

    classes = [example["source_class"] for example in tree["examples"]]
    assert set(tree["counts_by_source"]) == set(classes)
    for verdict, count in tree["counts"].items():
        apart = [of[verdict] for of in tree["counts_by_source"].values()]
        assert sum(apart) == count
    for name, heading in examples.SOURCE_CLASSES.items():
        many = classes.count(name)
        assert f"{heading}: {many} example{'s' * (many != 1)}. Figures: " in words


def test_a_figure_that_differs_exits_with_1(published: Path) -> None:
    spoil(published, "b08", "water_to_add: 90", "water_to_add: 80")

    done = run()

    assert done.exit_code == 1
    assert " 1 differ." in " ".join(done.output.split())


def test_a_flag_that_is_not_raised_exits_with_1(published: Path) -> None:
    spoil(published, "b06", "points: [4, 5, 6]", "points: [4, 5]")

    done = run("b06")

    assert done.exit_code == 1
    assert "flag right-of-zero-air-voids at points 4, 5: not raised" in done.output


def test_an_unknown_example_is_wrong_usage() -> None:
    done = run("b1")

    assert done.exit_code == 2
    assert "Examples: b01, b02," in done.output


def test_json_holds_every_figure_with_its_source() -> None:
    done = run("--json", "b03")

    tree = json.loads(done.stdout)
    (example,) = tree["examples"]
    assert example["source"].startswith("unattributed teaching exercise")
    peak = next(x for x in example["figures"] if x["quantity"] == "maximum dry density")
    assert (peak["published"], peak["because"], peak["verdict"]) == (
        "1.782",
        "spread between readers' curves",
        "agrees",
    )
    assert tree["software"]["fingerprint"] == fingerprint()
    assert [row["verdict"] for row in example["flags"]] == ["raised", "raised"]


def test_the_page_to_sign_names_the_software() -> None:
    done = run("--format", "markdown")

    assert fingerprint() in done.output
    assert "Recomputed on ____" in done.output


def test_the_page_in_the_docs_is_current() -> None:
    wanted = "write it anew: python -m tests.validation.page"

    assert PAGE.read_text(encoding="utf-8") == page(), wanted
