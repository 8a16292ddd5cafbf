"""The benchmark runs and reports; no speed is judged here, for machines differ."""

import json
import subprocess
import sys


def test_it_measures_a_small_archive_and_prints_json_alone() -> None:
    words = [sys.executable, "-m", "buildsite.bench", "3", "--rounds", "1", "--json"]

    done = subprocess.run(words, capture_output=True, text=True, check=False)

    assert done.returncode in (0, 1), done.stderr
    found = json.loads(done.stdout)
    names = {line["name"] for line in found["lines"]}
    assert {"check one test", "our reader", "clean build, 2 jobs"} <= names
    assert all(line["median_s"] > 0 for line in found["lines"])
    # Not a speed: what checking one test never needs is not imported.
    assert found["heavy_imports"] == []
