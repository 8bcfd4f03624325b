"""What the pages of the studio may send: associates, who sees whom, and second readings."""

from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password

from tenter.web import access
from tenter.web.body_limit import LARGEST_BACKUP
from tenter.web.forms import WelcomeForm
from tenter.web.models import Associate, Client, Sitting
from tenter.web.typed_fields import offer_rows


class AssociateForm(WelcomeForm):
    """Somebody who is to work in the studio."""

    demo = studio = None  # type: ignore[assignment]  # how Django leaves fields of the parent out

    def __init__(self, owner: Any, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner
        self.fields["name"].label = "Name"
        self.fields["name"].help_text = "Used to log in."
        self.fields["password"].help_text = "Ten characters or more. Tell it to them; they can change it."

    def clean_name(self) -> str:
        """Return the name, unless somebody else has it. One who left the studio may come back by it."""
        name = super().clean_name()
        taken = get_user_model().objects.filter(username__iexact=name)
        if taken.exclude(is_active=False, associate_of__owner=self.owner).exists():
            raise forms.ValidationError("Somebody has that name already. Choose another.")
        return name

    def save(self) -> Associate:
        """Make the associate, or let one who left come back."""
        users, said = get_user_model().objects, self.cleaned_data
        user = users.filter(username__iexact=said["name"]).first() or users.create_user(said["name"])
        user.is_active = True
        user.set_password(said["password"])
        user.save()
        return Associate.objects.get_or_create(owner=self.owner, user=user)[0]


class PasswordForm(forms.Form):
    """A new password for an associate who has lost hers."""

    password = forms.CharField(
        max_length=256,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Ten characters or more. They are logged out everywhere.",
    )

    def __init__(self, user: Any, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        """Hold the password against the rules."""
        password: str = self.cleaned_data["password"]
        validate_password(password, self.user)
        return password


class AccessForm(forms.Form):
    """Which associates see a client."""

    users = forms.ModelMultipleChoiceField(
        get_user_model().objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, owner: Any, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = get_user_model().objects.filter(associate_of__in=access.associates(owner)).order_by("username")
        self.before = people.filter(accesses__client=client)
        offer_rows(self, "users", people)
        self.fields["users"].initial = list(self.before)

    @property
    def added(self) -> set[Any]:
        """Return those who are let in anew."""
        return set(self.cleaned_data["users"]) - set(self.before)


class SecondForm(forms.Form):
    """Who reads a client again, without knowing what was read."""

    analyst = forms.ModelChoiceField(
        get_user_model().objects.none(),
        empty_label=None,
        label="Second consultant",
        help_text="A consultant who has not seen the first reading.",
    )

    def __init__(self, owner: Any, first: Sitting, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        studio = get_user_model().objects.filter(associate_of__in=access.associates(owner))
        anybody = studio | get_user_model().objects.filter(pk=owner.pk)
        done = [first.analyst_id, *first.seconds.values_list("analyst", flat=True)]
        offer_rows(self, "analyst", anybody.exclude(pk__in=done).distinct().order_by("username"))


class BackupFileForm(forms.Form):
    """A backup to look at."""

    file = forms.FileField(
        label="The backup",
        help_text="A file written by ‘Download a backup’ or ./run backup.",
        widget=forms.ClearableFileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_file(self) -> Any:
        """Refuse what is too large to be a backup, unread."""
        file = self.cleaned_data["file"]
        if file.size > LARGEST_BACKUP:
            most = f"{LARGEST_BACKUP // 1_000_000:,} MB"
            raise forms.ValidationError(
                f"The file is larger than {most}, the most that this page accepts. Stop Tenter and put it back "
                "with ./run restore FILE --replace."
            )
        return file


class RestoreForm(forms.Form):
    """The owner's word that everything is to be replaced."""

    WORD = "replace"

    password = forms.CharField(
        max_length=256,
        strip=False,
        label="Your password",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text="The one you log in with now.",
    )
    word = forms.CharField(
        max_length=20, label=f"Type the word {WORD}", widget=forms.TextInput(attrs={"autocomplete": "off"})
    )

    def __init__(self, user: Any, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        """Hold the password against the user's."""
        password: str = self.cleaned_data["password"]
        if not self.user.check_password(password):
            raise forms.ValidationError("That is not your password. Nothing was changed.")
        return password

    def clean_word(self) -> str:
        """Hold the word against the one asked for."""
        word: str = self.cleaned_data["word"].strip().casefold()
        if word != self.WORD:
            raise forms.ValidationError(f"The word is ‘{self.WORD}’. Nothing was changed.")
        return word


def _word(label: str, autocomplete: str = "off", **said: Any) -> forms.CharField:
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
    return forms.CharField(max_length=1000, strip=False, label=label, widget=widget, **said)


class CopyKeyForm(forms.Form):
    """A passphrase, twice."""

    passphrase = _word("Passphrase", "new-password", help_text="Ten characters or more; a few words are good.")
    again = _word("Once more", "new-password")

    def clean(self) -> dict[str, Any]:
        """Hold the two against one another."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and said["passphrase"] != said["again"]:
            self.add_error("again", "The two are not the same. Type both again.")
        return said


class ChangePassphraseForm(CopyKeyForm):
    """The passphrase as it is, and another, twice."""

    prefix = "change"
    now = _word("Current passphrase", "current-password")
    passphrase = _word("New passphrase", "new-password", help_text="Ten characters or more; a few words are good.")
    field_order = ("now", "passphrase", "again")


class TakeKeyForm(forms.Form):
    """A copy of a key with its passphrase, or a passphrase alone."""

    prefix = "take"
    file = forms.FileField(
        required=False,
        label="A copy of a key",
        help_text="Not needed if the photographs were sealed with a passphrase.",
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )
    word = _word("Its passphrase")
