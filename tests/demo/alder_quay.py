"""The tests planned for Alder Quay: a yard behind a quay wall, in SI units."""

from datetime import date

from tests.demo.plans import Test, Water

ALDER_QUAY = (
    Test(
        id="AQ-0001",
        sample="AQ-S01",
        method=("ASTM D698", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 2, 12),
        water=Water(
            before=5.8,
            targets=(9.5, 11.5, 13.5, 15.5, 17.5),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T04", "T07", "T07"),
        containers=("01", 2),
    ),
    Test(
        id="AQ-0002",
        sample="AQ-S02",
        method=("ASTM D698", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 4, 14),
        water=Water(before=0.6, targets=(2.0, 5.0, 8.0, 11.0, 14.0, 17.0), soil=2300.0),
        people=("T11", "T04", "T04"),
        containers=("12", 1),
        preparation="dry",
        bleeding_from=15.0,
        words="""
accepted:
  - flag: water-content-unlike-water-added
    by: E02
    reason: "Water ran out of the base at point 6, as it does in a clean sand"
""",
    ),
    Test(
        id="AQ-0003",
        sample="AQ-S03",
        method=("ASTM D698", "B"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 5, 7),
        water=Water(
            before=7.9,
            targets=(11.0, 13.0, 15.0, 17.0, 19.0),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T07", "T04", "T11"),
        containers=("21", 1),
        curve="""
curve:
  drawn: {maximum_dry_density: 17.82, optimum_water_content: 15.2}
  by: E02
  reason: "Wet limb drawn through points 4 and 5, parallel to the saturation curve"
""",
    ),
    Test(
        id="AQ-0004",
        sample="AQ-S01",
        method=("ASTM D1557", "A"),
        mold="M-01",
        rammer="R-02",
        on=date(2026, 6, 17),
        water=Water(
            before=5.8,
            targets=(6.5, 8.5, 10.5, 12.0, 14.0),
            soil=2500.0,
            stood_hours=18.3,
        ),
        people=("T04", "T04", "T07"),
        containers=("30", 1),
        oven_hours=(5.5, 6.5, 7.5),
    ),
    Test(
        id="AQ-0006",
        sample="AQ-S04",
        method=("ASTM D1557", "C"),
        mold="M-04",
        rammer="R-03",
        on=date(2026, 9, 1),
        water=Water(before=2.9, targets=(4.0, 5.5, 7.0, 8.5, 10.0), soil=6000.0),
        people=("T04", "T07", "T07"),
        containers=("P20", 1),
        reviewed_after=6,
        words="""
accepted:
  - flag: mold-out-of-calibration
    by: E02
    reason: "Calibrated on 2026-09-09 and found within 0.1 % of August 2025"
""",
    ),
    Test(
        id="AQ-0007",
        sample="AQ-S06",
        method=("ASTM D1557", "A"),
        mold="M-01",
        rammer="R-02",
        on=date(2026, 9, 16),
        water=Water(
            before=6.4, targets=(8.5, 10.5, 12.5, 14.5), soil=2500.0, stood_hours=18.3
        ),
        people=("T07", "T04", "T04"),
        containers=("40", 1),
        status="withdrawn",
        words="""
withdrawn:
  on: 2026-09-22
  by: E02
  reason: "Bags of two pits were mixed before quartering; the soil is of no one place"
""",
    ),
    Test(
        id="AQ-0008",
        sample="AQ-S07",
        method=("ASTM D1557", "A"),
        mold="M-01",
        rammer="R-02",
        on=date(2026, 10, 15),
        water=Water(
            before=6.1, targets=(9.0, 11.0, 13.0), soil=2500.0, stood_hours=18.3
        ),
        people=("T04", "T07", "T07"),
        containers=("01", 1),
        status="in-progress",
        undried=1,
    ),
    Test(
        id="AQ-0017",
        sample="AQ-S01",
        method=("ASTM D698", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 11, 5),
        water=Water(
            before=5.6,
            targets=(9.5, 11.5, 13.5, 15.5, 17.5),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T04", "T07", "T07"),
        containers=("11", 2),
        uncertainty=True,
        words="""
remarks: "Repeats AQ-0001 on a sealed bag of the same sample."
""",
    ),
)
