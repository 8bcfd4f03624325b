"""In which light a sitting was held, and whether another was used since, in sentences."""

from collections.abc import Iterator
from datetime import date

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tenter.language import all_of
from tenter.light.light_drift import light_drift
from tenter.light.light_values import LightValues
from tenter.web.models import KeptLight, Sitting
from tenter.web.store import kept_lights


def later_lights(row: Sitting) -> list[str]:
    """Return what is to be said of the days after a sitting's first; nothing of one in the same light."""
    (_, first), *others = kept_lights.lights_of_sitting(row)
    return [said for day, found in others if (said := _later(day, first, found))]


def light_of_verdict(row: Sitting) -> tuple[str, list[str]]:
    """Return in which light a sitting was held, in a sentence, and what speaks against its answers for that."""
    found = kept_lights.light_of_sitting(row)
    if found is None:
        return _("Nobody checked the light of this sitting."), later_lights(row)
    done = kept_lights.check_in(found)
    at = timezone.localtime(found.at)
    named = {"day": date_format(at, "DATE_FORMAT"), "time": date_format(at, "TIME_FORMAT"), "result": done.headline}
    faults = all_of([f"{one.name[:1].lower()}{one.name[1:]}" for one in done.to_fix])
    wrong = _("This sitting was held in a light that did not pass its check, for its %(faults)s.") % {"faults": faults}
    said = _("Light checked on %(day)s at %(time)s: %(result)s") % named
    return said, [*([f"▲ {wrong}"] if faults else []), *later_lights(row)]


def _later(day: date, first: KeptLight | None, found: KeptLight | None) -> str:
    if found is None:
        said, changes = _("The light was not checked on %(day)s, when the sitting went on."), ""
    elif first is None:
        said = _("The light was checked on %(day)s, when the sitting went on, and not on the day on which it began.")
        changes = ""
    else:
        said, changes = _("On %(day)s the sitting went on in another light."), _changes(first, found)
        if not changes:
            return ""
    return f"▲ {said % {'day': date_format(day, 'DATE_FORMAT')}} {changes}".rstrip()


def two_lights(first: Sitting, other: Sitting) -> str:
    """Return whether two sittings were held in one light, in a sentence or more."""
    one, two = (kept_lights.light_of_sitting(row) for row in (first, other))
    if one is None or two is None:
        unknown = _("Whether both were held in the same light is not known: it was not checked before each of them.")
        return f"▲ {unknown}"
    changes = _changes(one, two)
    if not changes:
        return _("Both were held in the same light, as far as it was measured.")
    return f"▲ {_('They were held in different lights, which may be why they differ.')} {changes}"


def _changes(first: KeptLight, other: KeptLight) -> str:
    """Return what differs between two lights; empty where they pass for one."""
    before, now = kept_lights.light_in(first), kept_lights.light_in(other)
    return "" if kept_lights.are_alike(before, now) else " ".join(_told(before, now))


def _told(before: LightValues, now: LightValues) -> Iterator[str]:
    for change in light_drift(before, now):
        if change.before != change.now:
            yield change.text
