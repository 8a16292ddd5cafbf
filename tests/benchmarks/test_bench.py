"""The benchmark runs and reports; no speed is judged here, for machines differ."""

import json
import subprocess
import sys


def test_it_measures_a_small_archive_and_prints_json_alone() -> None:
    sizes = ("--size", "2", "--size", "3", "--rounds", "1")
    rows = ("--rows", "memory", "--json")

    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks", *sizes, *rows],
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode in (0, 1), done.stderr
    found = json.loads(done.stdout)
    peaks = {line["name"]: line["median"] > 0 for line in found["lines"]}
    names = ("peak of a process, build", "peak of a process, check")
    assert peaks == dict.fromkeys((*names, *(f"{name}, at 3" for name in names)), True)
    # Not a speed: what checking one test never needs is not imported.
    assert found["heavy_imports"] == []
