"""What the page of the photographs' key may send."""

from typing import Any

from django import forms


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


class GivePassphraseForm(forms.Form):
    """The passphrase of the photographs."""

    prefix = "give"
    passphrase = _word("Passphrase", "current-password")


class BeginPassphraseForm(CopyKeyForm):
    """A passphrase to seal by from now on, twice."""

    prefix = "begin"


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
