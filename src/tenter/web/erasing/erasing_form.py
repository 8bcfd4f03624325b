"""What a page asks before a client is erased."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.web.models import Client


class EraseClientForm(forms.Form):
    """One tick, by which it is meant; and another for the safety copies in the data folder, if there are any."""

    sure = forms.BooleanField(
        error_messages={"required": gettext_lazy("Nothing was erased. Tick this to erase the client.")}
    )
    copies = forms.BooleanField(
        required=False,
        initial=True,
        help_text=gettext_lazy(
            "Earlier restores made them. They hold everybody who was a client then, perhaps this one too. They are "
            "deleted as a whole."
        ),
    )

    def __init__(self, client: Client, copies: Sequence[Path], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sure"].label = _("Erase %(name)s for good") % {"name": client.name}
        if copies:
            label = ngettext(
                "Delete %(count)s safety copy in the data folder too",
                "Delete %(count)s safety copies in the data folder too",
                len(copies),
            )
            self.fields["copies"].label = label % {"count": len(copies)}
        else:
            del self.fields["copies"]
