"""A drying oven: its setting, and the temperatures measured in it."""

from collections.abc import Iterator
from typing import Literal

from buildsite.kinds.blank import Ask, Measured, answered, numbers
from buildsite.kinds.equipment.calibrations import Nonconformity, unsettled
from buildsite.kinds.equipment.device import Device, device_blank, device_kind
from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, warning
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit


class DryingOven(Device):
    kind: Literal["oven"]


def temperatures_off(record: DryingOven, i: int) -> Iterator[tuple[int, str, str]]:
    """Return the temperatures too far from the setting: index, found, required."""
    one, off = record.calibrations[i], limit("oven_off")
    for k, read in enumerate(one.measured_temperatures_c):
        wanted = one.set_temperature_c
        if wanted is not None and abs(read - wanted) > int(off.si):
            yield k, f"{read} °C", f"{wanted} °C ± {off}"


def faults(
    case: Case[DryingOven, None], i: int, method: Method | None
) -> Iterator[Nonconformity]:
    """Return the faults of an oven in a check, for any method."""
    if method is None:
        for _, found, required in temperatures_off(case.record, i):
            yield Nonconformity(
                found, f"{required}, {limit('oven_off').basis}", lasts=True
            )


@warning("oven-off-its-setting", f"ASTM D2216 ({UNCHECKED})")
def oven_off_its_setting(case: Case[DryingOven, None]) -> Iterator[Doubt]:
    """The temperature of an oven is more than 5 °C from the setting."""
    for i, _ in unsettled(case.record.calibrations):
        for k, found, required in temperatures_off(case.record, i):
            yield Doubt(
                field=("calibrations", i, "measured_temperatures_c", k),
                found=found,
                expected=required,
                mend="repair or reset the oven, and assess the tests affected, listed "
                "on its page",
            )


SETTING = Ask("set_temperature_c", "Temperature setting in °C (Enter: not checked)")
TEMPERATURES = Ask(
    "measured_temperatures_c",
    "Temperatures measured in °C, separated by blanks",
    when=answered("set_temperature_c"),
    split=numbers,
)

BLANK = device_blank(
    "oven",
    "O",
    found="set_temperature_c: {set_temperature_c},\n"
    "     measured_temperatures_c: {measured_temperatures_c}, ",
    findings=(SETTING, TEMPERATURES),
)

MEASURED = (
    Measured(SETTING, ("set_temperature_c",), steady=True),
    Measured(TEMPERATURES, ("measured_temperatures_c",)),
)

KIND = device_kind(
    DryingOven,
    BLANK,
    rules=(oven_off_its_setting,),
    wrong=faults,
    measured=MEASURED,
)
