"""How long a photograph is kept, as a page asks it: until a day, or so many days after the end of its sitting."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import KEPT_DAYS, LONGEST_KEPT_DAYS, Photograph, Sitting, usual_deletion
from tenter.web.rules.photo_promise import day_after_end


class KeptUntilForm(forms.Form):
    """The day by which a photograph is deleted."""

    deletes_on = forms.DateField(
        label=gettext_lazy("Deleted on"),
        initial=usual_deletion,
        help_text=gettext_lazy(
            "The day you told the client. It is deleted automatically on that day; you can erase it at any time."
        ),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def clean_deletes_on(self) -> date | None:
        """Return the day, None for none; raises `ValidationError` for one before tomorrow or beyond a year."""
        day: date | None = self.cleaned_data["deletes_on"]
        today = timezone.localdate()
        if day is None:
            return None
        if day <= today:
            raise forms.ValidationError(_("Choose a day after today. To delete a photograph now, erase it."))
        if day > today + timedelta(days=LONGEST_KEPT_DAYS):
            raise forms.ValidationError(_("Choose a day within a year: no photograph is kept forever."))
        return day


class DateForm(KeptUntilForm):
    """Another day."""


class PromiseForm(KeptUntilForm):
    """How long a client's photograph is kept: until a day, or so many days after the end of its sitting."""

    counted = forms.ChoiceField(
        choices=(
            ("day", gettext_lazy("until the day below")),
            ("end", gettext_lazy("a number of days after the sitting ends")),
        ),
        required=False,
        label=gettext_lazy("How long it is kept"),
        help_text=gettext_lazy("As you told the client, for a year at most."),
    )
    days = forms.IntegerField(
        min_value=1,
        max_value=LONGEST_KEPT_DAYS,
        initial=KEPT_DAYS,
        required=False,
        label=gettext_lazy("Days after the end of the sitting"),
        help_text=gettext_lazy("Used only for a number of days after the sitting; the day above is then ignored."),
    )
    field_order: tuple[str, ...] = ("counted", "deletes_on", "days")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["deletes_on"].required = False

    def clean(self) -> dict[str, Any]:
        """Turn a number of days after the end into a day."""
        said = self.cleaned_data
        from_end = said.get("counted") == "end"
        said["days_after_end"] = said.get("days") if from_end else None
        if from_end:
            self.errors.pop("deletes_on", None)
            self._count_from_end()
        elif said.get("deletes_on") is None and "deletes_on" not in self.errors:
            self.add_error("deletes_on", _("Choose the day on which it is deleted."))
        return dict(super().clean() or said)

    def _count_from_end(self) -> None:
        sitting, days = self.counted_sitting(), self.cleaned_data["days_after_end"]
        if sitting is None:
            self.add_error("counted", _("It belongs to no sitting, so there is no end to count from. Choose a day."))
        elif days is None:
            self.add_error("days", _("Enter the number of days after the end."))
        else:
            day = day_after_end(self.taken_on(), sitting.ended, days)
            self.cleaned_data["deletes_on"] = day
            if day <= timezone.localdate():
                said = _("That day, %(day)s, has passed. To delete a photograph now, erase it.")
                self.add_error("days", said % {"day": date_format(day, "DATE_FORMAT")})

    def counted_sitting(self) -> Sitting | None:
        """Return the sitting from whose end it is counted."""
        found: Sitting | None = self.cleaned_data.get("sitting")
        return found

    def taken_on(self) -> date:
        """Return the day on which the photograph came in."""
        return timezone.localdate()


class AnotherPromiseForm(PromiseForm):
    """Another day, or another number of days, for a photograph that is kept."""

    def __init__(self, row: Photograph, *args: Any, **kwargs: Any) -> None:
        now = {
            "counted": "day" if row.days_after_end is None else "end",
            "deletes_on": row.deletes_on,
            "days": row.days_after_end or KEPT_DAYS,
        }
        super().__init__(*args, initial=now, **kwargs)
        self._row = row
        if row.sitting is None:
            del self.fields["counted"], self.fields["days"]

    def counted_sitting(self) -> Sitting | None:
        """Return the photograph's own sitting."""
        found: Sitting | None = self._row.sitting
        return found

    def taken_on(self) -> date:
        """Return the day on which it came in."""
        return timezone.localdate(self._row.taken_at)
