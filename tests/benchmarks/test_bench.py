"""The benchmark runs and reports; no speed is judged here, for machines differ."""

import json
import subprocess
import sys


def test_it_measures_a_small_archive_and_prints_json_alone() -> None:
    words = [
        sys.executable,
        "-m",
        "tests.benchmarks",
        "--size",
        "3",
        "--size",
        "6",
        "--rounds",
        "1",
        "--json",
    ]

    done = subprocess.run(words, capture_output=True, text=True, check=False)

    assert done.returncode in (0, 1), done.stderr
    found = json.loads(done.stdout)
    names = {line["name"] for line in found["lines"]}
    assert {"check of one file", "our reader", "clean build, of processors"} <= names
    assert {"one more edit", "one more issued revision"} <= names
    assert {"nothing changed", "one reading corrected, at 6"} <= names
    assert {"peak of a process, build", "verify, nothing new"} <= names
    # What a past costs more is a difference, and at three tests may be lost in noise.
    unsure = ("one more", "MkDocs is not")
    sure = [x for x in found["lines"] if not x["name"].startswith(unsure)]
    assert all(line["median"] > 0 for line in sure)
    # Not a speed: what checking one test never needs is not imported.
    assert found["heavy_imports"] == []
