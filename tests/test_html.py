"""Every page of the built site is valid HTML, by the checker of the W3C's validator."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

JAR = Path(__file__).parents[1] / ".ci/html/node_modules/vnu-jar/build/dist/vnu.jar"


@pytest.fixture(scope="module")
def checker() -> list[str]:
    """The command of the checker, where .ci/run installed it."""
    java = shutil.which("java")
    if java is None or not JAR.is_file():
        pytest.skip("no Java, or not installed: npm ci --prefix .ci/html")
    # It runs half a minute: the second compiler, and threads that collect garbage, take
    # longer than they save. The stack is that of its schema, which is deep.
    quick = ("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-Xss8m")
    # Which language a page is in would be a warning, and only errors are told.
    told = ("--errors-only", "--no-langdetect", "--skip-non-html")
    return [java, *quick, "-jar", str(JAR), *told]


def errors(checker: list[str], folder: Path) -> list[str]:
    """Each error with its page and line."""
    done = subprocess.run(
        [*checker, "--format", "json", str(folder)],
        capture_output=True,
        text=True,
        check=False,
    )
    found = json.loads(done.stderr)["messages"]
    return [
        f"{one.get('url')}:{one.get('lastLine')}: {one['message']}" for one in found
    ]


def test_the_demo_is_valid(checker: list[str], site: Path) -> None:
    assert errors(checker, site) == []


SOUND = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Test HF-1</title></head>
<body><h1>Test HF-1</h1>%s</body></html>
"""


WRONG = {
    "list": "<ul><p>no item</p></ul>",
    "block": "<span><div>a block inside a line</div></span>",
    "picture": "<img src='x.svg'>",
    "twice": "<p class='a' class='b'>two classes</p>",
    "open": "<section><h2>left open</h2>",
    "attribute": "<p colour='red'>no such attribute</p>",
}


def test_the_checker_sees_what_is_wrong(checker: list[str], tmp_path: Path) -> None:
    for name, more in {"sound": "<p>1</p>", **WRONG}.items():
        (tmp_path / f"{name}.html").write_text(SOUND % more, "utf-8")

    found = " ".join(errors(checker, tmp_path))

    assert [name for name in WRONG if f"{name}.html" not in found] == []
    assert "sound.html" not in found
