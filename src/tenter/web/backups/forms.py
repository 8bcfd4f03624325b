"""What the pages of a backup put back may send."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.files.uploadedfile import UploadedFile
from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.web.pictures.body_limit import LARGEST_BACKUP


class BackupFileForm(forms.Form):
    """A backup to look at."""

    file = forms.FileField(
        label=gettext_lazy("The backup"),
        help_text=gettext_lazy("A file written by ‘Download a backup’, by the daily backup or by ./run backup."),
        widget=forms.ClearableFileInput(attrs={"accept": ".zip,.sealed,application/zip"}),
    )
    passphrase = forms.CharField(
        max_length=1000,
        strip=False,
        required=False,
        label=gettext_lazy("Its passphrase"),
        help_text=gettext_lazy("Only for a sealed backup: the passphrase that the studio had on that day."),
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )

    def clean_file(self) -> "UploadedFile[bytes]":
        """Return the file unread; raises `ValidationError` for one too large to be a backup."""
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        if (file.size or 0) > LARGEST_BACKUP:
            large = _(
                "The file is larger than %(most)s MB, the most that this page accepts. Stop Tenter and put it back "
                "with ./run restore FILE --replace."
            )
            raise forms.ValidationError(
                large % {"most": number_format(LARGEST_BACKUP // 1_000_000, force_grouping=True)}
            )
        return file


class RestoreForm(forms.Form):
    """The owner's word that everything is to be replaced."""

    WORD = pgettext_lazy("a word to type", "replace")

    password = forms.CharField(
        max_length=256,
        strip=False,
        label=gettext_lazy("Your password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text=gettext_lazy("The one you log in with now."),
    )
    word = forms.CharField(max_length=20, widget=forms.TextInput(attrs={"autocomplete": "off"}))

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        self.fields["word"].label = _("Type the word %(word)s") % {"word": self.WORD}

    def clean_password(self) -> str:
        """Return the password; raises `ValidationError` unless it is the user's."""
        password: str = self.cleaned_data["password"]
        if not self.user.check_password(password):
            raise forms.ValidationError(_("That is not your password. Nothing was changed."))
        return password

    def clean_word(self) -> str:
        """Return the word; raises `ValidationError` unless it is the one asked for."""
        word: str = self.cleaned_data["word"].strip().casefold()
        if word != str(self.WORD).casefold():
            raise forms.ValidationError(_("The word is ‘%(word)s’. Nothing was changed.") % {"word": self.WORD})
        return word
