"""Which folder pictures come in by, as the studio's page asks it."""

import os
from pathlib import Path
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import IncomingFolder
from tenter.web.server.data_dir import data_dir

_LONGEST = 4000  # characters of a path: Linux takes 4096 bytes


class IncomingForm(forms.Form):
    """The folder, and whether pictures leave it."""

    path = forms.CharField(
        max_length=_LONGEST,
        required=False,
        strip=True,
        label=gettext_lazy("Folder"),
        help_text=gettext_lazy(
            "Choose it above or type it, for example /home/you/Pictures/From my phone. Leave it empty for none."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    removes = forms.BooleanField(
        required=False,
        label=gettext_lazy("Remove each picture from the folder once it is sealed here"),
        help_text=gettext_lazy(
            "A folder shared with a phone or a cloud loses the picture there too. Without this, unsealed pictures of "
            "your clients stay in the folder."
        ),
    )

    def clean_path(self) -> str:
        """Return the folder, without links in it; raises `ValidationError` saying why it does not serve."""
        said: str = self.cleaned_data["path"]
        if not said:
            return ""
        named = Path(said).expanduser()
        if not named.is_absolute():
            raise forms.ValidationError(_("Give the whole path of the folder, from / on."))
        folder = named.resolve()
        if not folder.is_dir():
            raise forms.ValidationError(
                _("There is no such folder on this computer. Make it first, or look at its name.")
            )
        if not os.access(folder, os.R_OK | os.X_OK):
            raise forms.ValidationError(
                _("Tenter may not read that folder. Change its permissions, or choose another.")
            )
        own = data_dir().resolve()
        if folder == own or own in folder.parents or folder in own.parents:
            raise forms.ValidationError(_("Tenter’s own data are in that folder. Choose one of its own for pictures."))
        return str(folder)

    def clean(self) -> dict[str, Any]:
        """Hold the wish to remove pictures against what the folder allows."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        path = said.get("path")
        if path and said.get("removes") and not os.access(path, os.W_OK):
            self.add_error("removes", _("Tenter may not write in that folder, so it cannot remove anything from it."))
        return said

    @classmethod
    def of(cls, row: IncomingFolder | None, chosen: str = "") -> "IncomingForm":
        """Return the form as it stands. chosen: another folder, which is not used before it is sent."""
        stands = {"path": row.path, "removes": row.removes} if row else {}
        return cls(initial=stands | ({"path": chosen} if chosen else {}))
