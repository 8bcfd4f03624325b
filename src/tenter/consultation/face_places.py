"""Where on the face something was seen, in words. A region is free text; the usual ones have a preposition."""

from collections.abc import Iterable

_WHERE = {
    "whole": "over the whole face",
    "whole face": "over the whole face",
    "face": "over the whole face",
    "contrast": "in hair and skin together",
    "eye white": "in the eye white",
    "under eye": "under the eye",
    "teeth": "in the smile",
}
WHERE_SEEN = tuple(dict.fromkeys(_WHERE.values()))  # the phrases that are not "at the …"


def plain_region(region: str | None) -> str:
    """Return a region as it is looked up: lower case, no hyphens, '' for none."""
    return " ".join((region or "").replace("-", " ").lower().split())


def seen_where(regions: Iterable[str]) -> str:
    """Return ', seen at the jaw and under the eye' for regions, each named once; '' where there is none."""
    places = dict.fromkeys(_WHERE.get(r, f"at the {r}") for r in map(plain_region, regions) if r)
    return f", seen {' and '.join(places)}" if places else ""
