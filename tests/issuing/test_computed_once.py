"""What one `issue` computes: each record once a state, for all of its steps."""

from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from buildsite.archive import archive as computing
from buildsite.archive.issue_item import Order
from buildsite.issuing.planning import plan_issue
from buildsite.kinds.outcome import Outcome, outcome
from tests.cli.running import run
from tests.issuing.clones import edit, lab

BY = ("--by", "E02", "--on", "2026-03-20")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Make an archive in which ML-101 was issued, then mended and reviewed again."""
    made = lab(tmp_path)
    words = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")
    assert run("issue", "ML-101", *words, "--root", made).status == 0
    edit(
        made,
        "marsh-lane/tests/ML-101.yaml",
        "mold_and_wet_soil: 8.64",
        "mold_and_wet_soil: 8.60",
    )
    assert run("review", "ML-101", *BY, "--root", made).status == 0
    return made


def test_an_amendment_computes_each_record_once_a_state(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    computed: Counter[tuple[str, str]] = Counter()

    def counted(*given: Any, **named: Any) -> Outcome:
        made = outcome(*given, **named)
        computed[made.file, made.used] += 1
        return made

    monkeypatch.setattr(computing, "outcome", counted)
    order = Order("report", date(2026, 3, 20), "E02", "point 1 read again")
    plan = plan_issue(root, ["ML-101", "ML-102"], order)

    # Looked at: as it stands, as reviewed, and ML-101 as it was issued before.
    assert [issue.number for issue in plan.issues] == ["ML-101 r1", "ML-102 r0"]
    own = [used for file, used in computed if file.endswith("ML-101.yaml")]
    assert len(own) == 2
    assert set(computed.values()) == {1}
