"""Kits and methods, as a page sends them."""

from typing import Any

from django import forms

from tenter import Kit, Method, TenterError
from tenter.web.models import MethodRecord
from tenter.web.sent.sent_text import said_lines, text_of
from tenter.web.sent.typed_fields import longest

_LARGEST_KIT, _LARGEST_METHOD = 2_000_000, 200_000  # bytes


class KitForm(forms.Form):
    """A kit as a table."""

    name = forms.CharField(max_length=80, label="Name of the kit")
    table = forms.FileField(
        label="drapes.csv",
        help_text="Comma-separated UTF-8 with the columns id, name, L, a, b, illuminant and observer.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv"}),
    )

    def clean_table(self) -> str:
        """Return the table's text; raises `ValidationError` for a file over 2 MB or one that is no text."""
        file = self.cleaned_data["table"]
        if file.size > _LARGEST_KIT:
            raise forms.ValidationError(
                "The file is larger than 2 MB, but a kit is a short table of text. Choose another file."
            )
        return text_of(file, "table of text", "CSV UTF-8")

    def clean(self) -> dict[str, Any]:
        """Read the table, so that each faulty row is named."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "table" in cleaned and "name" in cleaned:
            try:
                Kit.parse(cleaned["table"], cleaned["name"])
            except TenterError as error:
                self.add_error("table", [f"{line}." for line in said_lines(error)])
        return cleaned


class MethodForm(forms.Form):
    """A method file of the owner's own."""

    file = forms.FileField(
        label="Method file",
        help_text='A TOML file in UTF-8. It may begin with extends = "four-by-three" and list only what differs.',
        widget=forms.ClearableFileInput(attrs={"accept": ".toml,application/toml"}),
    )

    def clean_file(self) -> str:
        """Return the file's text, read by the method's own reader.

        Raises `ValidationError` for a file over 200 kB or that is no text, for a name too long to keep, and for a fault
        in the method, with the field at fault.
        """
        file = self.cleaned_data["file"]
        if file.size > _LARGEST_METHOD:
            raise forms.ValidationError(
                "The file is larger than 200 kB, but a method file is a few pages of text. Choose another file."
            )
        toml = text_of(file, "text", "UTF-8")
        try:
            method = Method.parse(toml, file.name)
        except TenterError as error:
            raise forms.ValidationError([f"{line}." for line in said_lines(error)]) from None
        for field, said in (("name", method.name), ("title", method.title)):
            most = longest(MethodRecord, field)
            if len(said) > most:
                raise forms.ValidationError(f"The {field} has {len(said)} characters. Use at most {most}.")
        return toml
