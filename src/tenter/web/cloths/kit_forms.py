"""Kits and methods, as a page sends them."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter import Kit, Method, TenterError
from tenter.consultation.cloths.column_names import is_named_otherwise
from tenter.consultation.cloths.kit_rows import example_rows, kit_rows, kit_text
from tenter.consultation.cloths.tables import delimiter_of
from tenter.web.models import MethodRecord
from tenter.web.sent.sent_text import said_lines, text_of
from tenter.web.sent.typed_fields import longest

_LARGEST_KIT, _LARGEST_METHOD = 2_000_000, 200_000  # bytes
_TOO_LONG = {
    "name": gettext_lazy("The name has %(length)s characters. Use at most %(most)s."),
    "title": gettext_lazy("The title has %(length)s characters. Use at most %(most)s."),
}


class KitForm(forms.Form):
    """A kit as a table."""

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the kit"))
    table = forms.FileField(
        label=gettext_lazy("Table of cloths"),
        help_text=gettext_lazy(
            "The template filled in, or a table of your own, saved as CSV UTF-8 in your spreadsheet. With other "
            "headings, you say which column is which."
        ),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv"}),
    )

    def clean_table(self) -> str:
        """Return the table's text; raises `ValidationError` for a file over 2 MB or one that is no text."""
        file = self.cleaned_data["table"]
        if file.size > _LARGEST_KIT:
            raise forms.ValidationError(
                _("The file is larger than 2 MB, but a kit is a short table of text. Choose another file.")
            )
        return text_of(file)

    def clean(self) -> dict[str, Any]:
        """Read the table, so that each faulty row is named; one with other headings waits for them to be named."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "table" in cleaned and "name" in cleaned and not self.is_named_otherwise:
            try:
                self._read(cleaned["table"], cleaned["name"])
            except TenterError as error:
                self.add_error("table", [f"{line}." for line in said_lines(error)])
        return cleaned

    @property
    def is_named_otherwise(self) -> bool:
        """Whether the table's headings are not a kit's."""
        return is_named_otherwise(self.cleaned_data.get("table", ""))

    def _read(self, table: str, name: str) -> None:
        kit = Kit.parse(table, name)
        for row in example_rows(kit.ids):
            problem = _("Cloth %(place)s is the template’s example. Delete its row and send the table again.")
            self.add_error("table", problem % {"place": row})
        if delimiter_of(table) != ",":
            self.cleaned_data["table"] = kit_text(kit_rows(table))


class MethodForm(forms.Form):
    """A method file of the owner's own."""

    file = forms.FileField(
        label=gettext_lazy("Method file"),
        help_text=gettext_lazy(
            'A TOML file in UTF-8. It may begin with extends = "four-by-three" and list only what differs.'
        ),
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
                _("The file is larger than 200 kB, but a method file is a few pages of text. Choose another file.")
            )
        toml = text_of(file, table=False)
        try:
            method = Method.parse(toml, file.name)
        except TenterError as error:
            raise forms.ValidationError([f"{line}." for line in said_lines(error)]) from None
        for field, said in (("name", method.name), ("title", method.title)):
            most = longest(MethodRecord, field)
            if len(said) > most:
                raise forms.ValidationError(_TOO_LONG[field], params={"length": len(said), "most": most})
        return toml
