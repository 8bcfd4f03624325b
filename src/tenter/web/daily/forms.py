"""What the page of the daily backup may send."""

import os
from pathlib import Path
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.keys.forms import CopyKeyForm
from tenter.web.server.data_dir import data_dir


class FolderForm(forms.Form):
    """Where the backups go."""

    folder = forms.CharField(
        max_length=1000,
        label=gettext_lazy("Folder for the backups"),
        help_text=gettext_lazy(
            "Choose it above or type its whole path. Best on another disk. A cloud folder will do too, as the backups "
            "are sealed."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    def clean_folder(self) -> str:
        """Return the folder's path; raises `ValidationError` for one where no backup can be kept."""
        folder = Path(self.cleaned_data["folder"]).expanduser()
        if not folder.is_absolute() or not folder.is_dir():
            raise forms.ValidationError(
                _("There is no such folder. Make it, or plug in its disk, and give its whole path.")
            )
        if folder.resolve().is_relative_to(data_dir().resolve()):
            raise forms.ValidationError(
                _("This folder is inside the data folder and would be lost with it. Choose one on another disk.")
            )
        if not os.access(folder, os.W_OK | os.X_OK):
            raise forms.ValidationError(_("Tenter may not write in this folder. Choose another, or change its rights."))
        return str(folder)


class FolderAndPassphraseForm(FolderForm, CopyKeyForm):
    """The folder, and the passphrase that opens the backups, twice."""

    field_order = ("folder", "passphrase", "again")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["passphrase"].help_text = _(
            "It opens the backups. If your photographs have a passphrase, use the same. Ten characters or more."
        )
