"""What a page asks before a client is erased."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django import forms

from tenter.numerals import how_many
from tenter.web.models import Client


class EraseClientForm(forms.Form):
    """One tick, by which it is meant; and another for the safety copies in the data folder, if there are any."""

    sure = forms.BooleanField(error_messages={"required": "Nothing was erased. Tick this to erase the client."})
    copies = forms.BooleanField(
        required=False,
        initial=True,
        help_text="Earlier restores made them. They hold everybody who was a client then, perhaps this one "
        "too. They are deleted as a whole.",
    )

    def __init__(self, client: Client, copies: Sequence[Path], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sure"].label = f"Erase {client.name} for good"
        if copies:
            number = how_many(len(copies), "safety copy", "safety copies")
            self.fields["copies"].label = f"Delete {number} in the data folder too"
        else:
            del self.fields["copies"]
