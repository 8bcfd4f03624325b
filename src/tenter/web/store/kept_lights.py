"""Checks of a studio's light between rows and objects, and which of them a sitting was held in."""

from collections.abc import Iterable
from dataclasses import asdict, replace
from datetime import date

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.formats import time_format
from django.utils.translation import gettext as _

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.consultation.compared.reanalysis import ChairLight
from tenter.errors import TenterError
from tenter.given import given_array
from tenter.light.check import LightCheck, check_light
from tenter.light.lamp_spectrum import LampSpectrum
from tenter.light.light_drift import light_drift
from tenter.light.light_values import LightValues, kept_light, values_of_spectrum
from tenter.light.thresholds import LightThresholds, kept_thresholds
from tenter.web.models import KeptLight, KeptThresholds, Sitting

WARMEST_K, COOLEST_K = 1000.0, 25_000.0  # kelvin, as `ChairLight` takes them


def keep_light(owner: User, by: User, values: LightValues, power: FloatArray | None, key: str) -> KeptLight:
    """Keep what was measured of a light, with the studio's thresholds of now; the same key twice is one check.

    power: (81,), in any unit.
    """
    measured = {
        "values": values.to_json(),
        "thresholds": asdict(thresholds_of(owner)),
        "power": None if power is None else power.tolist(),
        "by": by,
    }
    return KeptLight.objects.get_or_create(owner=owner, key=key, defaults=measured)[0]


def light_in(row: KeptLight) -> LightValues:
    """Return what was measured; raises `TenterError` where a row holds no light."""
    return kept_light(row.values, _called(row))


def _called(row: KeptLight) -> str:
    return _("light check %(number)s") % {"number": row.pk}


def thresholds_in(row: KeptLight) -> LightThresholds:
    """Return the thresholds that a light was judged by; raises `TenterError` where a row holds none."""
    return kept_thresholds(row.thresholds, _called(row))


def power_in(row: KeptLight) -> FloatArray | None:
    """Return a light's spectrum (81,), in any unit; raises `TenterError` where a row holds something else."""
    if row.power is None:
        return None
    found = given_array(row.power, _("a light's spectrum"))
    if found.shape != WAVELENGTHS_NM.shape:
        told = _("a light's spectrum has %(needed)s values; got %(count)s")
        raise TenterError(told % {"needed": WAVELENGTHS_NM.size, "count": found.size})
    return found


def check_in(row: KeptLight) -> LightCheck:
    """Return what a check comes to; raises `TenterError` where a row holds no light."""
    return check_light(light_in(row), thresholds_in(row))


def check_with_spectrum(row: KeptLight) -> LightCheck:
    """Return a check with all that its spectrum says, R1 to R14 and the hues among it, where it has one.

    Raises
    ------
    TenterError
        If a row holds no light.
    """
    done, power = check_in(row), power_in(row)
    if power is None:
        return done
    source = _("checked at %(time)s") % {"time": time_format(timezone.localtime(row.at), "TIME_FORMAT")}
    return replace(done, values=values_of_spectrum(LampSpectrum(power, source)).with_face(done.values.face))


def before(row: KeptLight) -> KeptLight | None:
    """Return the check before another one, of the same studio."""
    return KeptLight.objects.filter(owner=row.owner, pk__lt=row.pk).order_by("-pk").first()


def lights_today(owner: User) -> QuerySet[KeptLight]:
    """Return a studio's checks of today, the latest first."""
    return KeptLight.objects.filter(owner=owner, at__date=timezone.localdate())


def light_of_sitting(row: Sitting) -> KeptLight | None:
    """Return the last check of the day on which a sitting began, of those made before it ended."""
    of_day = KeptLight.objects.filter(owner=row.client.owner, at__date=timezone.localdate(row.started))
    return (of_day.filter(at__lte=row.closed) if row.closed else of_day).first()


def lights_of_sitting(row: Sitting) -> list[tuple[date, KeptLight | None]]:
    """Return each day on which a sitting was held with the last check of that day made before it ended, in order.

    These are the day on which it began, those of its entries, and today where it has not ended.
    """
    days = {
        timezone.localdate(row.started),
        *(timezone.localdate(at) for at in row.events.values_list("at", flat=True)),
    }
    days |= set() if row.closed else {timezone.localdate()}
    checks = KeptLight.objects.filter(owner=row.client.owner, at__date__in=days)
    made = list(checks.filter(at__lte=row.closed) if row.closed else checks)
    by_day = {timezone.localdate(one.at): one for one in reversed(made)}
    return [(day, by_day.get(day)) for day in sorted(days)]


def are_alike(first: LightValues, other: LightValues) -> bool:
    """Tell whether two lights pass for one, by all that was measured of both."""
    one, two = chair_light(first), chair_light(other)
    if one is not None and two is not None:
        return one.is_like(two)
    return not any(change.too_large for change in light_drift(first, other))


def chair_light(values: LightValues) -> ChairLight | None:
    """Return a light as two sittings are compared by; None without a colour temperature that a room's light has."""
    kelvin, lux = values.cct_kelvin, values.lux
    if kelvin is None or not WARMEST_K <= kelvin <= COOLEST_K:
        return None
    return ChairLight(kelvin, values.duv, lux if lux is not None and lux >= 1 else None, values.ra)


def chair_light_of(row: Sitting) -> ChairLight | None:
    """Return the light that a sitting was held in; None where a day of it has no check, or one in another light."""
    rows = [found for _, found in lights_of_sitting(row)]
    lights = [light_in(found) for found in rows if found is not None]
    if len(lights) < len(rows) or not all(are_alike(lights[0], other) for other in lights[1:]):
        return None
    return chair_light(lights[0])


def check_light_rows(rows: Iterable[KeptLight]) -> None:
    """Raise `TenterError` where a row holds no light."""
    for row in rows:
        light_in(row)
        thresholds_in(row)
        power_in(row)


# -- thresholds --------------------------------------------------------------------------------------------------------


def thresholds_of(owner: User) -> LightThresholds:
    """Return what a studio asks of its light now: practice, unless its owner has changed it."""
    row = KeptThresholds.objects.filter(owner=owner).first()
    return LightThresholds() if row is None else _own_in(row)


def keep_thresholds(owner: User, by: User, thresholds: LightThresholds) -> bool:
    """Keep what a studio asks of its light from now on; return whether that is something else than before."""
    if thresholds == thresholds_of(owner):
        return False
    KeptThresholds.objects.create(owner=owner, by=by, own=thresholds.own)
    return True


def _own_in(row: KeptThresholds) -> LightThresholds:
    return kept_thresholds(row.own, _("thresholds %(number)s") % {"number": row.pk})


def check_threshold_rows(rows: Iterable[KeptThresholds]) -> None:
    """Raise `TenterError` where a row holds no thresholds."""
    for row in rows:
        _own_in(row)
