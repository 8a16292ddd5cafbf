"""The tests planned for Heron Flats: an embankment, in pounds and cubic feet."""

from datetime import date

from tests.demo.plans import Mishap, Test, Water

HERON_FLATS = (
    Test(
        id="HF-0101",
        sample="HF-S01",
        method=("AASHTO T 99", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 1, 20),
        water=Water(before=8.6, targets=(11.0,), step=2.0, soil=3200.0),
        people=("T07", "T04", "T11"),
        containers=("01", 1),
        unit="lb",
    ),
    Test(
        id="HF-0104",
        sample="HF-S01",
        method=("AASHTO T 180", "A"),
        mold="M-01",
        rammer="R-02",
        on=date(2026, 1, 22),
        water=Water(before=7.0, targets=(7.6,), step=1.8, soil=3300.0),
        people=("T04", "T07", "T11"),
        containers=("10", 1),
    ),
    Test(
        id="HF-0107",
        sample="HF-S02",
        method=("AASHTO T 99", "C"),
        mold="M-02",
        rammer="R-01",
        on=date(2026, 2, 24),
        water=Water(before=5.1, targets=(7.4,), step=2.0, soil=8000.0),
        people=("T07", "T07", "T04"),
        containers=("P01", 2),
        unit="lb",
        words="""
remarks: "A second pan was filled at each point: the sand dries while it is quartered."
""",
    ),
    Test(
        id="HF-0109",
        sample="HF-S04",
        method=("AASHTO T 180", "D"),
        mold="M-03",
        rammer="R-03",
        on=date(2026, 3, 11),
        water=Water(before=2.4, targets=(3.2,), step=1.5, soil=11600.0),
        people=("T04", "T07", "T07"),
        containers=("P15", 1),
    ),
    Test(
        id="HF-0111",
        sample="HF-S03",
        method=("AASHTO T 99", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 3, 26),
        water=Water(
            before=15.0,
            targets=(18.5, 21.5, 24.5, 27.5, 30.5),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T11", "T04", "T04"),
        containers=("20", 1),
        dried_back="{to_water_content: 15, max_temperature_c: 60}",
        words="""
remarks: "Specific gravity assumed from the borrow area's desk study; not yet measured."
""",
    ),
    Test(
        id="HF-0113",
        sample="HF-S05",
        method=("AASHTO T 99", "A"),
        mold="M-01",
        rammer="R-01",
        on=date(2026, 4, 22),
        water=Water(before=9.8, targets=(12.0,), step=2.0, soil=3200.0),
        people=("T07", "T04", "T11"),
        containers=("30", 1),
        unit="lb",
        mishaps=(
            Mishap(
                2,
                lost=0.035,
                rejected="Collar came loose in the last layer and soil was lost; "
                "noted at the bench before weighing",
            ),
        ),
        words="""
remarks: "Point 3 is point 2 made again from the same soil, no water added."
accepted:
  - flag: wet-leg-unlike-soil
    by: E02
    reason: "0.5 lb/ft³ short of 88 % full, which is within the scatter of specimens"
""",
    ),
    Test(
        id="HF-0115",
        sample="HF-S06",
        method=("ASTM D698", "A"),
        mold="M-02",
        rammer="R-01",
        on=date(2026, 5, 19),
        water=Water(
            before=8.4,
            targets=(9.5, 11.5, 13.5, 15.5, 17.0),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T11", "T07", "T07"),
        containers=("40", 1),
        words="""
remarks: "Mixed too dry throughout. Repeated as HF-0117."
accepted:
  - flag: peak-not-bracketed
    by: E02
    reason: "No result is reported from this test; HF-0117 repeats it wetter"
""",
    ),
    Test(
        id="HF-0117",
        sample="HF-S06",
        method=("ASTM D698", "A"),
        mold="M-02",
        rammer="R-01",
        on=date(2026, 5, 28),
        water=Water(
            before=8.4,
            targets=(13.5, 15.5, 17.5, 19.5, 21.5),
            soil=2400.0,
            stood_hours=18.3,
        ),
        people=("T07", "T04", "T04"),
        containers=("01", 1),
        words="""
remarks: "Repeats HF-0115 with wetter specimens, on what was left of the sample."
""",
    ),
    Test(
        id="HF-0120",
        sample="HF-S02",
        method=("AASHTO T 180", "A"),
        mold="M-02",
        rammer="R-02",
        on=date(2026, 7, 14),
        water=Water(before=5.1, targets=(5.5,), step=1.7, soil=3300.0),
        people=("T04", "T07", "T07"),
        containers=("10", 1),
    ),
    Test(
        id="HF-0123",
        sample="HF-S07",
        method=("ASTM D698", "A"),
        mold="M-02",
        rammer="R-01",
        on=date(2026, 8, 12),
        water=Water(
            before=6.2,
            targets=(10.5, 12.5, 14.5, 16.5, 18.5),
            soil=2400.0,
            stood_hours=5.0,
        ),
        people=("T07", "T04", "T04"),
        containers=("20", 1),
        words="""
deviations:
  - clause: table 2
    what: Specimens stood 5 h after wetting, not 16 h
    reason: The ramp was being filled that week and the customer could not wait
    authorized_by: E02
    customer_agreed_on: 2026-08-10
accepted:
  - flag: standing-too-short
    by: E02
    reason: "Agreed with the customer beforehand; silt and little clay, evenly wetted"
""",
    ),
)
