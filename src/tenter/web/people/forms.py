"""What a page may send."""

from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.utils import timezone

from tenter.consultation.conventions.bundled import BUNDLED, DEFAULT_METHOD
from tenter.web.models import Client, MethodRecord
from tenter.web.rules import access
from tenter.web.sent.typed_fields import choice_field, offer_rows
from tenter.web.store import store


class AccessForm(forms.Form):
    """Which associates see a client."""

    users = forms.ModelMultipleChoiceField(
        get_user_model().objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, owner: User, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = get_user_model().objects.filter(associate_of__in=access.associates(owner)).order_by("username")
        self.before = people.filter(accesses__client=client)
        offer_rows(self, "users", people)
        self.fields["users"].initial = list(self.before)

    @property
    def added(self) -> set[User]:
        """Return those who are let in anew."""
        return set(self.cleaned_data["users"]) - set(self.before)


class ClientForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """A client's card."""

    class Meta:
        model = Client
        fields = ("name", "note", "minor", "words_only")
        labels = {"minor": "Under 18", "words_only": "Words only, no swatches"}
        help_texts = {
            "note": "Read in the studio. If you export everything for the client, it is in the file.",
            "minor": "The result is provisional, a parent or guardian agrees and is present, and nothing is published.",
            "words_only": "For a client who cannot tell hues apart.",
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 4})}


class StartForm(forms.Form):
    """Who sits, on which kit and by which method."""

    client = forms.ModelChoiceField(Client.objects.none(), empty_label=None)
    kit = forms.ModelChoiceField(Client.objects.none(), empty_label=None)
    method = forms.ChoiceField(choices=())
    _OWN = "own-"

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_rows(self, "client", access.clients(user))
        offer_rows(self, "kit", access.kits(user))
        bundled = [(name, store.method_named(name).title) for name in BUNDLED]
        self.own = {f"{self._OWN}{record.pk}": record for record in access.methods(user)}
        choice_field(self, "method").choices = bundled + [(word, self._called(own)) for word, own in self.own.items()]
        self.fields["method"].initial = DEFAULT_METHOD

    def _called(self, record: MethodRecord) -> str:
        """Return a method's title, with its day where another of the studio's own has the same."""
        same = sum(own.title == record.title for own in self.own.values()) > 1
        return (
            f"{record.title} (the studio’s no. {record.pk}, {timezone.localtime(record.created):%d.%m.%Y})"
            if same
            else record.title
        )

    def clean_method(self) -> str | MethodRecord:
        """Return the word of a bundled method, or the record of one of the studio's own."""
        word: str = self.cleaned_data["method"]
        return self.own.get(word, word)
