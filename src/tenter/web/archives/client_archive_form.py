"""The form by which a client's archive comes in."""

from django import forms


class ArchiveForm(forms.Form):
    """A client's archive."""

    file = forms.FileField(
        label="The client’s file",
        help_text="A zip file written by ‘Export everything’ on a client’s card, unchanged.",
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
    )
