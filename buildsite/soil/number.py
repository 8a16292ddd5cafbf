"""The type for floats or arrays, and the check of their values."""

from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Number = TypeVar("Number", float, "Floats")


def refuse(forbidden: Any, why: str) -> None:
    """
    Raise ValueError if ``forbidden`` holds, anywhere when it is an array.

    Parameters
    ----------
    forbidden : bool or array of bool
        Result of a comparison of floats or arrays. [truth]
    why : str
        The error, in words. [text]
    """
    if forbidden if isinstance(forbidden, bool) else forbidden.any():
        raise ValueError(why)
