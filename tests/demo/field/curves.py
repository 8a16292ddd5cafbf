"""The curves of borrow pits 4 and 5: five of a family, and one with a misread mass."""

from datetime import date

from tests.demo import write
from tests.demo.field.model import FAMILY
from tests.demo.plans import Test, Water
from tests.demo.soil import SOILS, Soil
from tests.demo.write import schema

AMENDED = "HF-0129"
POINT, RIGHT, WRONG = 4, "3974", "3947"
"""Of the amended curve: its point with the misread mass, as read and as typed [g]."""

REASON = (
    "Two digits of the filled mold of point 4 were typed in the wrong order. The "
    "technician found it on the bench sheet when lift 9 was questioned."
)


def curve(number: int, sample: str, on: date, people: tuple[str, str, str]) -> Test:
    """A compaction test by T 99, method A, weighed in grams."""
    soil = SOILS[sample]
    assert isinstance(soil, Soil)
    optimum = soil.tops["standard"].water_content
    return Test(
        id=f"HF-{number:04}",
        sample=sample,
        method=("AASHTO T 99", "A"),
        mold="M-01",
        rammer="R-01",
        on=on,
        water=Water(
            before=7.5, targets=(round(optimum - 4.6, 1),), step=1.9, soil=3200
        ),
        people=people,
        containers=(f"{10 * (number % 5) or 50:02}", 1),
    )


CURVES = tuple(
    curve(124 + i, sample, on, people)
    for i, (sample, on, people) in enumerate(
        [
            (FAMILY[0], date(2026, 10, 19), ("T07", "T04", "T04")),
            (FAMILY[1], date(2026, 10, 20), ("T04", "T07", "T07")),
            (FAMILY[2], date(2026, 10, 21), ("T07", "T04", "T04")),
            (FAMILY[3], date(2026, 10, 22), ("T04", "T07", "T07")),
            (FAMILY[4], date(2026, 10, 23), ("T07", "T04", "T04")),
            ("HF-S13", date(2026, 10, 26), ("T07", "T04", "T04")),
        ]
    )
)

SAMPLES = {
    # sample: place in the pit, name, class, group, retained on No. 4 [%]
    "HF-S08": ("borrow pit 4, east bench", "lean clay", "CL", "A-7-6", "0.2"),
    "HF-S09": ("borrow pit 4, east face", "lean clay", "CL", "A-6", "0.4"),
    "HF-S10": ("borrow pit 4, middle", "lean clay", "CL", "A-6", "0.6"),
    "HF-S11": ("borrow pit 4, west face", "sandy lean clay", "CL", "A-6", "0.9"),
    "HF-S12": ("borrow pit 4, west bench", "sandy lean clay", "CL", "A-4", "1.2"),
    "HF-S13": ("borrow pit 5", "lean clay", "CL", "A-6", "0.7"),
}


def sample_text(id: str) -> str:
    """The log-in of a sample."""
    place, name, class_, group, coarse = SAMPLES[id]
    soil = SOILS[id]
    assert isinstance(soil, Soil)
    lines = [
        schema("sample", 2),
        "format: 1",
        "kind: sample",
        f"id: {id}",
        "project: heron-flats",
        'received: {on: 2026-10-14, by: T07, condition: "moist, three sealed bags"}',
        "sampled: {on: 2026-10-13, by: T07, method: from a fresh face by shovel, "
        f'place: "{place}"}}',
        f"soil: {{name: {name}, class: {class_}, class_basis: tested, group: {group}, "
        f'source: "{place.partition(",")[0]}"}}',
        "gradation: {retained_3_4_in: 0, retained_3_8_in: 0, retained_no_4: "
        f"{coarse}}}",
        "as_received_water_content: 7.5",
        f"specific_gravity: {{value: {soil.gravity:.2f}, basis: measured, "
        "water_temperature_c: 20}",
        "retained_until: 2027-10-31",
    ]
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """The samples and their curves as they truly were read, by path."""
    samples = {
        f"records/heron-flats/samples/{id}.yaml": sample_text(id) for id in SAMPLES
    }
    return samples | {test.file: not_reviewed(write.text_of(test)) for test in CURVES}


def not_reviewed(text: str) -> str:
    """A record before its review."""
    lines = text.splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith("reviewed:"))


def as_first_typed(id: str, text: str) -> str:
    """The record of a curve as it was typed at first."""
    if id != AMENDED:
        return text
    read = f"mold_and_wet_soil: {RIGHT},"
    assert text.count(read) == 1
    return text.replace(read, f"mold_and_wet_soil: {WRONG},")


def place(test: Test) -> str:
    """Where the soil of a curve comes from."""
    return SAMPLES[test.sample][0]
