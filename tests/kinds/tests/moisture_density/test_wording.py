"""The steps of the work say what the method's row says."""

import pytest

from buildsite.kinds.tests.moisture_density.wording import steps_of, ticks_of
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard

EVERY = [
    pytest.param(designation, name, id=f"{designation} {name}")
    for designation in designations()
    if (known := standard(designation)) is not None and known.test == "compaction"
    for name in known.methods
]


def method(designation: str, name: str) -> Method:
    found = find(designation, name)
    assert found is not None
    return found


D698_A = method("ASTM D698", "A")


@pytest.mark.parametrize(("designation", "name"), EVERY)
def test_the_figures_of_every_method_stand_in_its_steps(
    designation: str, name: str
) -> None:
    row = method(designation, name)
    told = " ".join(steps_of(row, ()))

    assert f"{row.layers} layers" in told
    assert f"{row.blows_per_layer} blows each" in told
    for cell in ("sieve", "rammer_mass", "rammer_drop", "moisture_specimen_least"):
        assert row.cell(cell).value in told, cell
    assert f"Dry at {row.cell('oven')}" in told
    assert "None" not in told
    assert all(one.endswith(".") and one[0].isupper() for one in steps_of(row, ()))


# ASTM D698, table 2 (from memory): none for clean sands and gravels, 3 h for silty
# ones, 16 h for all others. AASHTO T 99 (from memory): heavy clay 12 h.
@pytest.mark.parametrize(
    ("designation", "soils", "said"),
    [
        ("ASTM D698", ("SP",), "No standing time (SP)."),
        ("ASTM D698", ("SM",), "Let it stand at least 3 h (SM)."),
        ("ASTM D698", ("CL", "A-6"), "Let it stand at least 16 h (CL)."),
        ("AASHTO T 99", ("CH", "A-7-6"), "Let it stand at least 12 h (CH)."),
        ("ASTM D698", (), "GM, SM: at least 3 h; others: at least 16 h."),
    ],
)
def test_how_long_a_soil_stands(
    designation: str, soils: tuple[str, ...], said: str
) -> None:
    told = " ".join(steps_of(method(designation, "A"), soils))

    assert said in told


def test_when_to_stop_is_the_standards_own_rule() -> None:
    # AASHTO goes on until the wet mass falls; ASTM counts points (both from memory)
    aashto, astm = steps_of(method("AASHTO T 99", "A"), ()), steps_of(D698_A, ())

    assert "no longer rises" in " ".join(aashto)
    assert "at least 2 lie on each side" in " ".join(astm)


def test_soil_is_used_again_only_where_the_standard_lets_it() -> None:
    # ASTM D698-12(2021), 1.2: never
    assert "do not reuse compacted soil" in " ".join(steps_of(D698_A, ()))
    assert "may be broken up and reused" in " ".join(
        steps_of(method("AASHTO T 99", "A"), ())
    )


def test_ticks_are_of_what_only_eyes_can_see() -> None:
    # FM 5-472 (2000): the last layer at most 1/4 in. above the mold
    ticks = ticks_of(method("AASHTO T 99", "A"))

    assert "Last layer 0 to 0.25 in. (6 mm) above the rim" in ticks
    assert ticks_of(None)
