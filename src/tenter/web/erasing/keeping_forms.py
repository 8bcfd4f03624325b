"""What pages ask about how long things are kept."""

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import KeepingTimes
from tenter.web.rules.keeping import DatedKind, Thing

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

_LONGEST_DAYS = 366 * 30


class KeepUntilForm(forms.Form):
    """Another day for one thing, and why; without a day the studio's months count."""

    day = forms.DateField(
        required=False,
        label=gettext_lazy("Keep it until"),
        help_text=gettext_lazy("Leave it empty to use the studio’s months again."),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    reason = forms.CharField(
        max_length=200,
        required=False,
        label=gettext_lazy("Why"),
        help_text=gettext_lazy("A few words for anyone who asks later, such as: the client comes back, tax records."),
    )

    def __init__(self, thing: Thing, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial = {"day": thing.day, "reason": thing.reason}

    def clean_day(self) -> date | None:
        """Return the day; raises `ValidationError` for one before tomorrow or beyond thirty years."""
        day: date | None = self.cleaned_data["day"]
        today = timezone.localdate()
        if day is not None and not today < day <= today + timedelta(days=_LONGEST_DAYS):
            raise forms.ValidationError(
                _("Choose a day after today and within thirty years. To erase it now, go back.")
            )
        return day

    def clean(self) -> dict[str, Any]:
        """Ask for the reason of a day."""
        said = super().clean() or self.cleaned_data
        if said.get("day") and not said.get("reason"):
            self.add_error("reason", _("Say why in a few words."))
        return dict(said)


class KeepingTimesForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """For how many months a studio keeps what, and whether what is due is erased without a click."""

    class Meta:
        model = KeepingTimes
        fields = (*(str(kind) for kind in DatedKind if kind is not DatedKind.PICTURE), "photograph_days", "by_itself")
        labels: ClassVar[dict[str, "_StrPromise"]] = {
            "client": gettext_lazy("A client, in months after the last sitting"),
            "sitting": gettext_lazy("A sitting, in months after it began"),
            "papers": gettext_lazy("Papers handed over, in months after they were written"),
            "notes": gettext_lazy("Notes and letters, in months after the last sitting"),
            "wishes": gettext_lazy("Wishes, in months after the latest one"),
            "wardrobe": gettext_lazy("A wardrobe, in months after its latest piece"),
            "consents": gettext_lazy("Answers about consents, in months after the consent ended"),
            "photograph_days": gettext_lazy("A new photograph of a client, in days"),
            "by_itself": gettext_lazy("Erase automatically what is due"),
        }
        help_texts: ClassVar[dict[str, "_StrPromise"]] = {
            "client": gettext_lazy("Everything else of the client is erased with them."),
            "consents": gettext_lazy(
                "They are your proof of what was agreed. A consent that holds is kept for as long as it holds."
            ),
            "photograph_days": gettext_lazy(
                "You can change the day of each photograph on its own page. A minor’s goes sooner."
            ),
            "by_itself": gettext_lazy(
                "Tenter checks at its start and every hour. Without this tick only photographs are deleted "
                "automatically, on the day you told the client."
            ),
        }
