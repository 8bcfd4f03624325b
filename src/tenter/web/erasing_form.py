"""What a page asks before a client is erased."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django import forms

from tenter.numerals import how_many
from tenter.web.models import Client


class EraseClientForm(forms.Form):
    """One tick, by which it is meant; and another for the safety copies in the data folder, if there are any."""

    sure = forms.BooleanField(error_messages={"required": "Tick this to erase the client. Nothing was erased."})
    copies = forms.BooleanField(
        required=False,
        initial=True,
        help_text="Restores left them behind. They hold everybody who was a client then, this one perhaps among them. "
        "They are deleted as a whole.",
    )

    def __init__(self, client: Client, copies: Sequence[Path], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sure"].label = f"Erase {client.name} for good"
        if copies:
            number = how_many(len(copies), "safety copy", "safety copies")
            self.fields["copies"].label = f"Delete {number} in the data folder too"
        else:
            del self.fields["copies"]
