"""What the page of two sittings may ask: which two, and what was measured about each day."""

from functools import cache
from typing import TYPE_CHECKING, Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.compared.reanalysis import ChairLight, Sat
from tenter.consultation.sitting.sitting import Sitting as LiveSitting
from tenter.web.models import KitRecord, Sitting
from tenter.web.sent.typed_fields import offer_rows
from tenter.web.store import kept_lights, store

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

_NOT_MEASURED = gettext_lazy("not measured near that day")
_OF_LIGHT = gettext_lazy(
    "Its colour temperature in kelvin, such as 5000. Left empty, the light is that of the day’s check, if any."
)


def _sitting(label: "_StrPromise") -> "forms.ModelChoiceField[Sitting]":
    return forms.ModelChoiceField(Sitting.objects.none(), empty_label=None, label=label)


def _light(label: "_StrPromise") -> forms.FloatField:
    return forms.FloatField(
        required=False,
        min_value=kept_lights.WARMEST_K,
        max_value=kept_lights.COOLEST_K,
        label=label,
        help_text=_OF_LIGHT,
    )


def _kit(label: "_StrPromise") -> "forms.ModelChoiceField[KitRecord]":
    return forms.ModelChoiceField(KitRecord.objects.none(), required=False, label=label, empty_label=_NOT_MEASURED)


class CompareForm(forms.Form):
    """An earlier and a later sitting of one client, each with the light and the kit of its day where known."""

    earlier = _sitting(gettext_lazy("Earlier"))
    later = _sitting(gettext_lazy("Later"))
    earlier_light = _light(gettext_lazy("Earlier: light at the chair"))
    later_light = _light(gettext_lazy("Later: light at the chair"))
    earlier_kit = _kit(gettext_lazy("Earlier: cloths as measured then"))
    later_kit = _kit(gettext_lazy("Later: cloths as measured then"))

    def __init__(self, sittings: QuerySet[Sitting], kits: QuerySet[KitRecord], *args: Any, **kwargs: Any) -> None:
        """sittings: those that may be compared, the latest first."""
        super().__init__(*args, **kwargs)
        named = cache(_named)  # both fields offer the same sittings, which may be hundreds
        for when in ("earlier", "later"):
            offer_rows(self, when, sittings, named)
            offer_rows(self, f"{when}_kit", kits)
        latest = list(sittings[:2])
        if len(latest) > 1:
            self.fields["later"].initial, self.fields["earlier"].initial = latest

    def clean(self) -> dict[str, Any]:
        """Hold the two against one another."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        earlier, later = said.get("earlier"), said.get("later")
        if earlier and later and earlier.started >= later.started:
            self.add_error("later", _("Choose a sitting that is later than the earlier one."))
        return said

    def sat(self, when: str, live: LiveSitting) -> Sat:
        """Return one of the two, `earlier` or `later`, with what was written down of its day."""
        said = self.cleaned_data
        row, kit = said[when], said[f"{when}_kit"]
        kelvin = said[f"{when}_light"]
        return Sat(
            live,
            timezone.localtime(row.started).date().isoformat(),
            row.analyst.username,
            ChairLight(kelvin) if kelvin else kept_lights.chair_light_of(row),
            None if kit is None else store.kit_of(kit),
        )


def _named(row: Sitting) -> str:
    when = date_format(timezone.localtime(row.started), "DATETIME_FORMAT")
    return _("%(when)s, by %(consultant)s") % {"when": when, "consultant": row.analyst.username}
