"""What the page of the photographs' key may send."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

if TYPE_CHECKING:
    from django.utils.functional import _StrOrPromise

_LONG = gettext_lazy("Ten characters or more; a few words are good.")


def _word(label: "_StrOrPromise", autocomplete: str = "off", focused: bool = False, **said: Any) -> forms.CharField:
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete} | ({"autofocus": True} if focused else {}))
    return forms.CharField(max_length=1000, strip=False, label=label, widget=widget, **said)


class CopyKeyForm(forms.Form):
    """A passphrase, twice."""

    passphrase = _word(gettext_lazy("Passphrase"), "new-password", help_text=_LONG)
    again = _word(gettext_lazy("Once more"), "new-password")

    def clean(self) -> dict[str, Any]:
        """Hold the two against one another."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and said["passphrase"] != said["again"]:
            self.add_error("again", _("The two are not the same. Type both again."))
        return said


class GivePassphraseForm(forms.Form):
    """The passphrase of the photographs."""

    prefix = "give"
    passphrase = _word(gettext_lazy("Passphrase"), "current-password", focused=True)


class BeginPassphraseForm(CopyKeyForm):
    """A passphrase to seal by from now on, twice."""

    prefix = "begin"


class ChangePassphraseForm(CopyKeyForm):
    """The passphrase as it is, and another, twice."""

    prefix = "change"
    now = _word(gettext_lazy("Current passphrase"), "current-password")
    passphrase = _word(gettext_lazy("New passphrase"), "new-password", help_text=_LONG)
    field_order = ("now", "passphrase", "again")


class TakeKeyForm(forms.Form):
    """A copy of a key with its passphrase, or a passphrase alone."""

    prefix = "take"
    file = forms.FileField(
        required=False,
        label=gettext_lazy("A copy of a key"),
        help_text=gettext_lazy("Not needed if the photographs were sealed with a passphrase."),
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )
    word = _word(gettext_lazy("Its passphrase"))
