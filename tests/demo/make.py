"""
Write the readings of the demo laboratory: `python -m tests.demo.make [FOLDER]`.

What it writes is every mold, pycnometer and test under records/; what people
state (staff, projects, samples, other equipment) is written by hand beside it. The
soil's model stands in `soil`, the bench in `bench`, the plan of each test in
`heron_flats`, `alder_quay`, `around` and `solids`; the fill, with its curves, apparatus
and papers, in `field/`. `tests/test_demo.py` holds the records to it.
"""

import sys
from functools import cache
from pathlib import Path

from tests.demo import around, solids
from tests.demo.alder_quay import ALDER_QUAY
from tests.demo.field import fill
from tests.demo.heron_flats import HERON_FLATS
from tests.demo.laboratory import MOLDS
from tests.demo.old_report import FILE
from tests.demo.old_report import text as old_report
from tests.demo.write import mold_text, text_of

PLANNED = (*HERON_FLATS, *ALDER_QUAY)


@cache
def texts() -> dict[str, str]:
    """Every file that is generated, by its path in the archive."""
    molds = {f"records/equipment/{id}.yaml": mold_text(id) for id in MOLDS}
    tests = {test.file: text_of(test) for test in PLANNED}
    whole = molds | tests | {FILE: old_report()}
    return whole | around.texts() | solids.texts() | fill.texts()


def write(root: Path) -> None:
    """Write them under a folder."""
    for name, text in texts().items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parents[2])
