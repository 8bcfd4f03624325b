"""What the page of a client's consents may send: what is agreed to now, until when, and who agrees for a minor."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.consent import USUAL_DAYS, Purpose
from tenter.web.models import Client
from tenter.web.rules import consents
from tenter.web.sent.typed_fields import choice_field


class ConsentForm(forms.Form):
    """One tick for each purpose, in the words that are kept with the answer. Nothing is ticked beforehand."""

    purposes = forms.MultipleChoiceField(
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("The client says"),
        error_messages={
            "required": gettext_lazy("Tick what the client agrees to. Answers you do not tick stay as they are.")
        },
    )
    guardian = forms.CharField(
        max_length=120,
        label=gettext_lazy("The parent or guardian who agrees, by name"),
        error_messages={"required": gettext_lazy("Write down the name of the parent or guardian who agrees.")},
    )
    present = forms.BooleanField(
        label=gettext_lazy("They are present and have read these words"),
        error_messages={
            "required": gettext_lazy(
                "A consent for a minor needs the parent or guardian to be present. Tick this once they are."
            )
        },
    )
    until = forms.DateField(
        required=False,
        label=gettext_lazy("Until"),
        initial=consents.usual_end,
        help_text=gettext_lazy(
            "The consent ends automatically on that day. Leave the day empty if it is to hold until it is taken back."
        ),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def __init__(self, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._client = client
        self.standing = consents.standing(client)
        read = consents.shown_to(client).values()
        choice_field(self, "purposes").choices = [(str(one.purpose), one.wording) for one in read]
        if client.minor:
            self.fields["guardian"].initial = consents.guardian_of(client)
            self.fields["until"].required = True
            self.fields["until"].error_messages = {"required": _("A consent for a minor needs an end. Enter the day.")}
            self.fields["until"].help_text = _("The consent ends automatically on that day, within a year.")
        else:
            del self.fields["guardian"], self.fields["present"]

    def clean_until(self) -> date | None:
        """Return the day; raises `ValidationError` for one before tomorrow, and of a minor for one beyond a year."""
        day: date | None = self.cleaned_data["until"]
        today = timezone.localdate()
        if day is not None and day <= today:
            raise forms.ValidationError(_("Choose a day after today."))
        if day is not None and self._client.minor and day > today + timedelta(days=USUAL_DAYS):
            raise forms.ValidationError(_("Choose a day within a year, so that a minor is asked again as they grow."))
        return day

    @property
    def agreed(self) -> list[Purpose]:
        """Return what was ticked."""
        return [Purpose(word) for word in self.cleaned_data["purposes"]]
