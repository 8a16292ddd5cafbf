"""Two figures of one unit compared: the difference in percent, and slips of the pen."""

from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation

from buildsite.kinds.reporting import MINUS, is_unit_renamed

NO_SHARE = ("%", "points", "°C", "day", "days")
"""Units of which a percentage says nothing: differences of them are in points."""


def parted(text: str) -> tuple[Decimal, str] | None:
    """Return the number and the unit of a figure; None for other text."""
    number, _, unit = text.replace(MINUS, "-").partition(" ")
    try:
        value = Decimal(number)
    except InvalidOperation:
        return None
    return (value, unit) if value.is_finite() else None


def both_parted(old: str, new: str) -> tuple[Decimal, Decimal, str] | None:
    """Return two figures of one unit; None where they can't be subtracted."""
    one, other = parted(old), parted(new)
    if one is None or other is None:
        return None
    if one[1] != other[1] and not is_unit_renamed(one[1], other[1]):
        return None
    return one[0], other[0], other[1]


def percent_change(old: str, new: str) -> str:
    """
    Return the difference of two figures in percent of the old one.

    >>> percent_change("945.2 cm³", "951.9 cm³")
    '+0.7 %'
    >>> percent_change("108.7 lb/ft3", "108.0 lbf/ft3")
    '−0.6 %'

    To one decimal, and to the first digit of what is smaller; blank for no difference,
    for percentages, and for what has another sign.

    >>> percent_change("998.21 kg", "998.20 kg"), percent_change("17.7 %", "17.9 %")
    ('−0.001 %', '')
    >>> percent_change("-1.3 points", "0.2 points"), percent_change("8.6 lb", "8.6 lb")
    ('', '')
    """
    pair = both_parted(old, new)
    if pair is None or pair[2] in NO_SHARE or pair[0] * pair[1] <= 0:
        return ""
    share = 100 * (pair[1] - pair[0]) / pair[0]
    if share == 0:
        return ""
    places = max(1, -share.adjusted())
    rounded = share.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    return f"{rounded:+f} %".replace("-", MINUS)


EXCHANGED = "two digits exchanged"
SHIFTED = "decimal point moved"
SIGN = "sign changed"


def slip(old: str, new: str) -> str:
    """
    Return how a figure was miswritten, where the two show it.

    >>> slip("8.64 lb", "8.46 lb"), slip("184.20 g", "184.02 g"), slip("13.1", "131")
    ('two digits exchanged', 'two digits exchanged', 'decimal point moved')
    >>> slip("-1.3 points", "1.3 points"), slip("8.64 lb", "8.65 lb")
    ('sign changed', '')
    """
    pair = both_parted(old, new)
    if pair is None:
        return ""
    was, now = (text.replace(MINUS, "-").partition(" ")[0] for text in (old, new))
    if pair[0] == -pair[1] != 0:
        return SIGN
    apart = [i for i, (a, b) in enumerate(zip(was, now, strict=False)) if a != b]
    if len(was) == len(now) and len(apart) == 2 and both_digits(was, apart):
        i, k = apart
        if was[i] == now[k] and was[k] == now[i] and near(was, i, k):
            return EXCHANGED
    if pair[0] and pair[1] and is_power_of_ten(pair[1] / pair[0]):
        return SHIFTED
    return ""


def both_digits(text: str, places: list[int]) -> bool:
    """Whether digits stand at these places."""
    return all(text[i].isdigit() for i in places)


def near(text: str, i: int, k: int) -> bool:
    """Whether two places are side by side, a decimal point aside."""
    return k - i == 1 or (k - i == 2 and text[i + 1] == ".")


def is_power_of_ten(value: Decimal) -> bool:
    """Whether a number is 10, 100, 0.1 …, and not 1."""
    number = value.normalize()
    return number.as_tuple().digits == (1,) and number.adjusted() != 0
