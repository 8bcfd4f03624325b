"""In which light a sitting was held, and whether another was used since, in sentences."""

from collections.abc import Iterator

from django.utils import timezone

from tenter.light.light_drift import light_drift
from tenter.light.light_values import LightValues
from tenter.numerals import listed
from tenter.web.models import KeptLight, Sitting
from tenter.web.store import kept_lights


def later_lights(row: Sitting) -> list[str]:
    """Return what is to be said of the days after a sitting's first; nothing of one in the same light."""
    (_, first), *others = kept_lights.lights_of_sitting(row)
    return [said for day, found in others if (said := _later(f"{day:%-d %B %Y}", first, found))]


def light_of_verdict(row: Sitting) -> tuple[str, list[str]]:
    """Return in which light a sitting was held, in a sentence, and what speaks against its answers for that."""
    found = kept_lights.light_of_sitting(row)
    if found is None:
        return "Nobody checked the light of this sitting.", later_lights(row)
    done = kept_lights.check_in(found)
    said = f"Light checked on {timezone.localtime(found.at):%-d %B %Y at %H:%M}: {done.headline}"
    faults = listed([f"{one.name[:1].lower()}{one.name[1:]}" for one in done.to_fix])
    wrong = [f"▲ This sitting was held in a light that did not pass its check, for its {faults}."] if faults else []
    return said, [*wrong, *later_lights(row)]


def _later(day: str, first: KeptLight | None, found: KeptLight | None) -> str:
    if found is None:
        return f"▲ The light was not checked on {day}, when the sitting went on."
    if first is None:
        return f"▲ The light was checked on {day}, when the sitting went on, and not on the day on which it began."
    changes = _changes(first, found)
    return f"▲ On {day} the sitting went on in another light. {changes}" if changes else ""


def two_lights(first: Sitting, other: Sitting) -> str:
    """Return whether two sittings were held in one light, in a sentence or more."""
    one, two = (kept_lights.light_of_sitting(row) for row in (first, other))
    if one is None or two is None:
        return "▲ Whether both were held in the same light is not known: it was not checked before each of them."
    changes = _changes(one, two)
    if not changes:
        return "Both were held in the same light, as far as it was measured."
    return f"▲ They were held in different lights, which may be why they differ. {changes}"


def _changes(first: KeptLight, other: KeptLight) -> str:
    """Return what differs between two lights; empty where they pass for one."""
    before, now = kept_lights.light_in(first), kept_lights.light_in(other)
    return "" if kept_lights.are_alike(before, now) else " ".join(_told(before, now))


def _told(before: LightValues, now: LightValues) -> Iterator[str]:
    for change in light_drift(before, now):
        if change.before != change.now:
            yield change.text
