"""What the pages of a backup put back may send."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.files.uploadedfile import UploadedFile

from tenter.web.pictures.body_limit import LARGEST_BACKUP


class BackupFileForm(forms.Form):
    """A backup to look at."""

    file = forms.FileField(
        label="The backup",
        help_text="A file written by ‘Download a backup’, by the daily backup or by ./run backup.",
        widget=forms.ClearableFileInput(attrs={"accept": ".zip,.sealed,application/zip"}),
    )
    passphrase = forms.CharField(
        max_length=1000,
        strip=False,
        required=False,
        label="Its passphrase",
        help_text="Only for a sealed backup: the passphrase that the studio had on that day.",
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )

    def clean_file(self) -> "UploadedFile[bytes]":
        """Return the file unread; raises `ValidationError` for one too large to be a backup."""
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        if (file.size or 0) > LARGEST_BACKUP:
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

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        """Return the password; raises `ValidationError` unless it is the user's."""
        password: str = self.cleaned_data["password"]
        if not self.user.check_password(password):
            raise forms.ValidationError("That is not your password. Nothing was changed.")
        return password

    def clean_word(self) -> str:
        """Return the word; raises `ValidationError` unless it is the one asked for."""
        word: str = self.cleaned_data["word"].strip().casefold()
        if word != self.WORD:
            raise forms.ValidationError(f"The word is ‘{self.WORD}’. Nothing was changed.")
        return word
