"""Where on the face something was seen, in words. A region is free text; the usual ones have a preposition."""

from collections.abc import Iterable
from dataclasses import dataclass

from tenter.language import pgettext

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


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was seen, such as 'at the jaw' or 'under the eye', in the language of the moment."""

    phrase: str

    def __str__(self) -> str:
        said = pgettext("seen …", self.phrase)
        at = self.phrase.removeprefix("at the ")
        if said != self.phrase or at == self.phrase:
            return said
        return pgettext("seen …", "at the {place}", place=pgettext("your …", plain_region(at)))


def places_seen(regions: Iterable[str]) -> tuple[Place, ...]:
    """Return where something was seen, for regions, each named once."""
    return tuple(dict.fromkeys(Place(_WHERE.get(r, f"at the {r}")) for r in map(plain_region, regions) if r))


def seen_where(regions: Iterable[str]) -> str:
    """Return ', seen at the jaw and under the eye' for regions, as it is kept; '' where there is none."""
    places = [place.phrase for place in places_seen(regions)]
    return f", seen {' and '.join(places)}" if places else ""
