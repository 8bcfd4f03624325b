"""Photographs by one phone for tests: of the card in three lights, of faces, and of what goes wrong."""

from dataclasses import replace
from functools import cache

from studies.scenes.exposure import Plan, Shot

_PLAIN = Shot(tone="s-curve", noise=0.1, jpeg=95)
_PLANS = {
    "day": Plan("p2", "DAY5800", "phone-a", _PLAIN),
    "shade": Plan("p3", "DAY7500", "phone-a", _PLAIN),
    "lamp": Plan("p4", "LED-B3", "phone-a", _PLAIN),
    "face": Plan("p1", "D50", "phone-a", _PLAIN),
    "updated": Plan("p1", "D50", "phone-a", replace(_PLAIN, tone="linear")),
    "nocard": Plan("p11", "D65", "phone-a", _PLAIN),
    "bright": Plan("p4", "LED-B3", "phone-a", replace(_PLAIN, clip_stops=1.2)),
}
NAMES = tuple(_PLANS)
TAUGHT_BY = ("day", "shade", "lamp")


@cache
def phone_picture(name: str) -> bytes:
    """Return a photograph as a JPEG: one of `TAUGHT_BY`, a face, one after an update, without a card, overexposed."""
    return _PLANS[name].take().jpeg()
