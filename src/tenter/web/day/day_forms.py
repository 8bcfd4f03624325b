"""What the day may send: a walk-in's name, and an appointment."""

from datetime import datetime
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.visits import LONGEST_MINUTES, SHORTEST_MINUTES, USUAL_MINUTES, Visit, visit_words
from tenter.web.models import Client
from tenter.web.rules import access
from tenter.web.sent.looking_up import plain
from tenter.web.sent.named_client import ClientField, offer_clients


class WalkInForm(forms.Form):
    """Somebody who comes without an appointment: a name suffices."""

    name = forms.CharField(
        max_length=120,
        label=gettext_lazy("Somebody without an appointment"),
        error_messages={"required": gettext_lazy("Write a name.")},
    )
    new = forms.BooleanField(required=False)  # another person than those on file of the same name

    def clean_name(self) -> str:
        """Return the name with its spaces in order; raises `ValidationError` for one that has no letter."""
        name = " ".join(self.cleaned_data["name"].split())
        if not any(sign.isalpha() for sign in name):
            raise forms.ValidationError(_("A name needs a letter. Write what you call the client."))
        return name

    def known(self, user: User) -> list[Client]:
        """Return the clients on file who have this name, whatever its accents and capitals."""
        asked = plain(self.cleaned_data["name"])
        return [client for client in access.clients(user) if plain(" ".join(client.name.split())) == asked]


def _visits() -> list[tuple[Visit, str]]:
    return [(visit, visit_words(visit)) for visit in Visit]


class AppointmentForm(forms.Form):
    """A client on a day."""

    client = ClientField(label=gettext_lazy("Client"))
    begins = forms.DateTimeField(
        label=gettext_lazy("When"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        error_messages={"required": gettext_lazy("Say when, for example 2026-12-01 10:00.")},
    )
    minutes = forms.IntegerField(
        label=gettext_lazy("Minutes"),
        initial=USUAL_MINUTES,
        min_value=SHORTEST_MINUTES,
        max_value=LONGEST_MINUTES,
    )
    visit = forms.ChoiceField(label=gettext_lazy("What for"), choices=_visits, initial=Visit.ANALYSIS)

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_clients(self, "client", access.clients(user))

    def clean_begins(self) -> datetime:
        """Return when it begins; raises `ValidationError` for a day that is over."""
        begins: datetime = self.cleaned_data["begins"]
        if timezone.localdate(begins) < timezone.localdate():
            raise forms.ValidationError(_("That day is over. Choose today or a later day."))
        return begins
