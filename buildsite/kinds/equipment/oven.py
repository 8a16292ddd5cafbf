"""A drying oven: what it was set to, and the temperatures found in it."""

from collections.abc import Iterator
from typing import Literal

from buildsite.kinds.blank import Ask, answered, numbers
from buildsite.kinds.equipment.calibrations import Amiss, unsettled
from buildsite.kinds.equipment.device import Device, device_blank, device_kind
from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, warning
from buildsite.standards.method import Method
from buildsite.standards.tables import limit


class DryingOven(Device):
    kind: Literal["oven"]


def readings_off(record: DryingOven, i: int) -> Iterator[tuple[int, str, str]]:
    """Temperatures too far from the setting: place, what was found, what is asked."""
    one, off = record.calibrations[i], limit("oven_off")
    for k, read in enumerate(one.measured_temperatures_c):
        wanted = one.set_temperature_c
        if wanted is not None and abs(read - wanted) > int(off.si):
            yield k, f"{read} °C", f"{wanted} °C within {off}"


def amiss(
    case: Case[DryingOven, None], i: int, method: Method | None
) -> Iterator[Amiss]:
    """What a check found wrong with an oven, whatever the method."""
    if method is None:
        for _, found, asked in readings_off(case.record, i):
            yield Amiss(found, f"{asked}, {limit('oven_off').basis}", lasts=True)


@warning("oven-off-its-setting", "ASTM D2216 (from memory)")
def oven_off_its_setting(case: Case[DryingOven, None]) -> Iterator[Doubt]:
    """An oven found more than 5 °C off what it was set to."""
    for i, _ in unsettled(case.record.calibrations):
        for k, found, asked in readings_off(case.record, i):
            yield Doubt(
                field=("calibrations", i, "measured_temperatures_c", k),
                found=found,
                expected=asked,
                mend="mend or reset the oven, and judge the tests that its page "
                "lists as dried in it since",
            )


BLANK = device_blank(
    "oven",
    "O",
    found="set_temperature_c: {set_temperature_c},\n"
    "     measured_temperatures_c: {measured_temperatures_c}, ",
    findings=(
        Ask("set_temperature_c", "Set to, in °C (Enter: not checked)"),
        Ask(
            "measured_temperatures_c",
            "Temperatures measured in it, in °C, with blanks between",
            when=answered("set_temperature_c"),
            split=numbers,
        ),
    ),
)

KIND = device_kind(
    DryingOven,
    BLANK,
    rules=(oven_off_its_setting,),
    wrong=amiss,
)
