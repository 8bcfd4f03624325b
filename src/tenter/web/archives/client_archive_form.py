"""The form by which a client's archive comes in."""

from django import forms
from django.utils.translation import gettext_lazy


class ArchiveForm(forms.Form):
    """A client's archive."""

    file = forms.FileField(
        label=gettext_lazy("The client’s file"),
        help_text=gettext_lazy("A zip file written by ‘Export everything’ on a client’s card, unchanged."),
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
    )
