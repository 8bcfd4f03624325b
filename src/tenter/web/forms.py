"""What a page may send."""

import re
from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.utils import timezone

from tenter import Kit, Method, TenterError
from tenter.consultation.bundled import BUNDLED, DEFAULT_METHOD
from tenter.web import access, store, time_zone
from tenter.web.models import Client, MethodRecord, StudioName
from tenter.web.typed_fields import choice_field, longest, offer_rows

_LARGEST_KIT, _LARGEST_METHOD = 2_000_000, 200_000  # bytes


class WelcomeForm(forms.Form):
    """The first user of a studio."""

    name = forms.CharField(
        max_length=150,
        label="Your name",
        help_text="Use it to log in.",
        widget=forms.TextInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        max_length=256,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Ten characters or more; a few words are good.",
    )
    studio = forms.CharField(
        max_length=80,
        required=False,
        label="The studio’s name",
        help_text="Printed on the reading sheets. It is optional, and you can change it.",
        widget=forms.TextInput(attrs={"autocomplete": "organization"}),
    )
    demo = forms.BooleanField(
        required=False, label="Load the demo studio", help_text="96 cloths and five invented clients, to explore."
    )

    def clean_name(self) -> str:
        """Return the name with single spaces."""
        return get_user_model().normalize_username(" ".join(self.cleaned_data["name"].split()))

    def clean_password(self) -> str:
        """Hold the password against the rules."""
        password: str = self.cleaned_data["password"]
        validate_password(password, get_user_model()(username=self.cleaned_data.get("name", "")))
        return password


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


class ZoneForm(forms.Form):
    """By which zone the studio tells days and times."""

    zone = forms.ChoiceField(
        label="Time zone",
        choices=[(name, name.replace("_", " ")) for name in time_zone.zones()],
        help_text="A city that has the same time as your studio.",
    )


class StudioNameForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """What the studio is called."""

    class Meta:
        model = StudioName
        fields = ("name",)
        labels = {"name": "The studio’s name"}
        help_texts = {"name": "Shown at the top of every page and on the reading sheets."}


class KitForm(forms.Form):
    """A kit as a table."""

    name = forms.CharField(max_length=80, label="Name of the kit")
    table = forms.FileField(
        label="drapes.csv",
        help_text="Comma-separated UTF-8 with the columns id, name, L, a, b, illuminant and observer.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv"}),
    )

    def clean_table(self) -> str:
        """Return the table's text."""
        file = self.cleaned_data["table"]
        if file.size > _LARGEST_KIT:
            raise forms.ValidationError(
                "The file is larger than 2 MB, but a kit is a short table of text. Choose another file."
            )
        return text_of(file, "table of text", "CSV UTF-8")

    def clean(self) -> dict[str, Any]:
        """Read the table, so that each faulty row is named."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "table" in cleaned and "name" in cleaned:
            try:
                Kit.parse(cleaned["table"], cleaned["name"])
            except TenterError as error:
                self.add_error("table", [f"{line}." for line in said_lines(error)])
        return cleaned


class MethodForm(forms.Form):
    """A method file of the owner's own."""

    file = forms.FileField(
        label="Method file",
        help_text='A TOML file in UTF-8. It may begin with extends = "four-by-three" and list only what differs.',
        widget=forms.ClearableFileInput(attrs={"accept": ".toml,application/toml"}),
    )

    def clean_file(self) -> str:
        """Return the file's text, read by the method's own reader, which names the field at fault."""
        file = self.cleaned_data["file"]
        if file.size > _LARGEST_METHOD:
            raise forms.ValidationError(
                "The file is larger than 200 kB, but a method file is a few pages of text. Choose another file."
            )
        toml = text_of(file, "text", "UTF-8")
        try:
            method = Method.parse(toml, file.name)
        except TenterError as error:
            raise forms.ValidationError([f"{line}." for line in said_lines(error)]) from None
        for field, said in (("name", method.name), ("title", method.title)):
            most = longest(MethodRecord, field)
            if len(said) > most:
                raise forms.ValidationError(f"The {field} has {len(said)} characters. Use at most {most}.")
        return toml


def text_of(file: Any, kind: str, saved_as: str) -> str:
    """Return the text of an uploaded file; raises `ValidationError` where it is none."""
    try:
        text = str(file.read().decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise forms.ValidationError(f"The text is not UTF-8. Save it as ‘{saved_as}’ and send it again.") from None
    if "\0" in text:
        raise forms.ValidationError(f"This is not a {kind}. Save it as ‘{saved_as}’ and send it again.")
    return text


def said_lines(error: TenterError) -> list[str]:
    """Return what is wrong, a line each, and at last what to do."""
    problem, remedy = getattr(error, "problem", str(error)), getattr(error, "remedy", "")
    return [part.rstrip(".") for part in (*re.split(r"; (?=row )", problem), remedy) if part]


class StartForm(forms.Form):
    """Who sits, on which kit and by which method."""

    client = forms.ModelChoiceField(Client.objects.none(), empty_label=None)
    kit = forms.ModelChoiceField(Client.objects.none(), empty_label=None)
    method = forms.ChoiceField(choices=())
    _OWN = "own-"

    def __init__(self, user: Any, *args: Any, **kwargs: Any) -> None:
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
