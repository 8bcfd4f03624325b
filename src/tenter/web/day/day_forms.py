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


def _in_order(name: str) -> str:
    """Return a name with its spaces in order; raises `ValidationError` for one that has no letter."""
    name = " ".join(name.split())
    if not any(sign.isalpha() for sign in name):
        raise forms.ValidationError(_("A name needs a letter. Write what you call the client."))
    return name


def _known(user: User, name: str) -> list[Client]:
    """Return the clients on file who have a name, whatever its accents and capitals."""
    asked = plain(name)
    return [client for client in access.clients(user) if plain(" ".join(client.name.split())) == asked]


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
        return _in_order(self.cleaned_data["name"])

    def known(self, user: User) -> list[Client]:
        """Return the clients on file who have this name."""
        return _known(user, self.cleaned_data["name"])


def _visits() -> list[tuple[Visit, str]]:
    return [(visit, visit_words(visit)) for visit in Visit]


class AppointmentForm(forms.Form):
    """A client on a day: one on file, or somebody new by a name, which goes before whoever the list has."""

    client = ClientField(label=gettext_lazy("Client"), required=False)
    new = forms.CharField(
        max_length=120,
        required=False,
        label=gettext_lazy("Or somebody new, by name"),
        help_text=gettext_lazy("A card is made for them."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
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
        self._user = user
        clients = access.clients(user)
        offer_clients(self, "client", clients)
        if not clients.exists():
            del self.fields["client"]

    def clean_new(self) -> str:
        """Return a new client's name, or nothing; raises `ValidationError` for a name that is on file already."""
        said = self.cleaned_data["new"]
        name = _in_order(said) if said.strip() else ""
        if name and _known(self._user, name):
            on_file = _("%(name)s is on file: choose them above. For somebody else of this name add a card first.")
            raise forms.ValidationError(on_file % {"name": name})
        return name

    def clean(self) -> dict[str, Any]:
        """Ask for somebody: raises `ValidationError` where nobody was chosen or named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not said["new"] and not said.get("client"):
            self.add_error("new", _("Say who comes."))
        return said

    def clean_begins(self) -> datetime:
        """Return when it begins; raises `ValidationError` for a day that is over."""
        begins: datetime = self.cleaned_data["begins"]
        if timezone.localdate(begins) < timezone.localdate():
            raise forms.ValidationError(_("That day is over. Choose today or a later day."))
        return begins
