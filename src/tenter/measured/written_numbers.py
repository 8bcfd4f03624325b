"""Numbers of a written measurement: checked where they are read, and as JSON has them where they are written."""

from collections.abc import Mapping
from typing import Any

from tenter.errors import TenterError
from tenter.given import given_number
from tenter.language import _

Triple = tuple[float, float, float]  # L*, a* and b*
Within = tuple[float, float]  # the ends of a 90 % interval
TripleWithin = tuple[Within, Within, Within]
WrittenSection = Mapping[str, Any]  # a part of the JSON, as it is written

_FAR = 1e6  # no number of a measurement comes near it, whatever its unit: keeps infinity out; set by judgement


class NotAMeasurement(TenterError):
    """A document that the program has not written of a measurement; the message says what of it is wrong."""


def triple(values: object, what: str) -> Triple:
    """Return L*, a* and b*, finite; raises `NotAMeasurement`, or the `TenterError` of one number, naming `what`."""
    if not isinstance(values, list | tuple) or len(values) != 3:
        raise NotAMeasurement(_("{what} needs three numbers", what=what))
    first, second, third = (given_number(v, _("a number of {what}", what=what), -_FAR, _FAR) for v in values)
    return first, second, third


def interval_ends(values: object) -> Within:
    """Return the two ends of an interval, the lower one first; raises `NotAMeasurement`, or `TenterError` for one."""
    if not isinstance(values, list | tuple) or len(values) != 2:
        raise NotAMeasurement(_("an interval has two ends"))
    low, high = (given_number(v, _("an end of an interval"), -_FAR, _FAR) for v in values)
    if low > high:
        raise NotAMeasurement(_("an interval ends before it begins"))
    return low, high


def triple_within(values: object, what: str) -> TripleWithin:
    """Return an interval for each of L*, a* and b*; raises `NotAMeasurement`, naming `what`, or `TenterError`."""
    if not isinstance(values, list | tuple) or len(values) != 3:
        raise NotAMeasurement(_("{what} needs an interval for each of L*, a* and b*", what=what))
    lightness, a, b = (interval_ends(value) for value in values)
    return lightness, a, b


def plain_list(values: tuple[float, ...] | None) -> list[float] | None:
    """Return the values of L*, a* and b*, or the ends of an interval, as JSON reads them again."""
    return None if values is None else list(values)


def plain_lists(values: TripleWithin | None) -> list[list[float]] | None:
    """Return the intervals of L*, a* and b* as JSON reads them again."""
    return None if values is None else [list(ends) for ends in values]


def number_or_none(value: object, what: str) -> float | None:
    """Return a finite number of any unit, or None for None; raises `TenterError`, naming `what`, for anything else."""
    return None if value is None else given_number(value, what, -_FAR, _FAR)


def text_or_none(value: object) -> str | None:
    """Return a text, or None where there is none; raises `NotAMeasurement` for anything else."""
    if value is not None and not isinstance(value, str):
        raise NotAMeasurement(_("a text is expected where something else came"))
    return value
