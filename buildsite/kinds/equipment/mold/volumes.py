"""What calibrations of a mold found."""

from datetime import date

from buildsite.soil.rounding import round_half_even
from buildsite.values import dataclass


@dataclass(frozen=True)
class Volume:
    """What one calibration found. All volumes [m³], lengths [m], mass [kg]."""

    on: date
    by_water: float | None
    by_dimensions: float | None
    stated: float | None
    diameter: float | None
    height: float | None
    mass: float | None

    @property
    def used(self) -> float | None:
        """The certificate's volume, else by water, else by dimensions."""
        for volume in (self.stated, self.by_water, self.by_dimensions):
            if volume is not None:
                return volume
        return None

    @property
    def apart(self) -> float | None:
        """How far the two volumes are apart, of that by water. [%]"""
        if self.by_water is None or self.by_dimensions is None:
            return None
        return abs(self.by_water - self.by_dimensions) / self.by_water * 100

    @property
    def how(self) -> str:
        """Where the volume used comes from."""
        if self.stated is not None:
            return "as certified"
        if self.by_water is not None:
            return "by water"
        return "by dimensions" if self.by_dimensions is not None else "nominal"


def cubic_centimetres(volume: float | None) -> str:
    """Write a volume as a calibration sheet does."""
    return "—" if volume is None else f"{round_half_even(volume * 1e6, 1)}"
