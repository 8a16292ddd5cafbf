"""A sieve: its opening, and its checks."""

from typing import Literal

from buildsite.kinds.blank import Ask
from buildsite.kinds.equipment.device import Device, device_blank, device_kind
from buildsite.record.reading import Text


class Sieve(Device):
    kind: Literal["sieve"]
    opening: Text


BLANK = device_blank(
    "sieve",
    "SV",
    stated="opening: {opening}\n",
    asks=(Ask("opening", "Opening, such as No. 4"),),
)

KIND = device_kind(Sieve, BLANK)
