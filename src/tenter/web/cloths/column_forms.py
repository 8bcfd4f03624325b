"""Which heading of a file is which of a kit's columns: said by click, with nothing kept until the kit is read."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.colorimetry.illuminants import Observer, illuminant_names
from tenter.consultation.cloths.column_names import columns_by_heading, headings_of, renamed
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.kit_rows import KIT_COLUMNS, kit_rows, kit_text
from tenter.errors import TenterError
from tenter.report.words.wording import sentence
from tenter.web.cloths.kit_fields import column_called, kit_fields
from tenter.web.sent.sent_text import said_lines

_LIGHT = {
    "illuminant": "D65",
    "observer": str(Observer.CIE_1964_10),
}  # the bench's own, offered where a file has no such column
_ABSENT, _OURS = "-", "column-"  # what a column is when the file has none, and how the field of one of ours begins
_LONGEST = 2_000_000  # characters of a kit's table


def _heading_words(at: int, name: str, cell: str) -> str:
    """Return what a column of the file is called: its heading or its place, and its first cell as an example."""
    called = name or _("column %(place)s") % {"place": at + 1}
    return _("%(column)s (such as %(example)s)") % {"column": called, "example": cell} if cell else called


class ColumnsForm(forms.Form):
    """A file's text, and for each of our columns the heading that has it, or what it says throughout."""

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the kit"))
    text = forms.CharField(max_length=_LONGEST, strip=False, widget=forms.HiddenInput)

    def __init__(self, text: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._header, first = headings_of(text)
        found = columns_by_heading(self._header)
        shown = [
            (str(at), _heading_words(at, name, cell))
            for at, (name, cell) in enumerate(zip(self._header, first, strict=True))
        ]
        for column, label, meaning in kit_fields():
            said = {"illuminant": illuminant_names(), "observer": [str(one) for one in Observer]}.get(column, ())
            whole = [(f"={one}", _("%(value)s for all") % {"value": one}) for one in said] or [
                (_ABSENT, _("not in the file"))
            ]
            usual = str(found[column]) if column in found else f"={_LIGHT[column]}" if column in _LIGHT else _ABSENT
            self.fields[_OURS + column] = forms.ChoiceField(
                label=label, help_text=meaning, initial=usual, choices=[*whole, *shown]
            )

    def clean(self) -> dict[str, Any]:
        """Read the kit under the columns that were said; a fault is named by its row and by the file's own heading."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return said
        chosen = {column: int(at) for column in KIT_COLUMNS if (at := said[_OURS + column]).isdecimal()}
        self._check_chosen(chosen)
        if not self.errors:
            fixed = {column: said[_OURS + column][1:] for column in _LIGHT if column not in chosen}
            fixed |= {column: "" for column in ("name", *"Lab") if column not in chosen}
            table = renamed(said["text"], chosen, fixed)
            try:
                Kit.parse(table, said["name"])
                said["table"] = kit_text(kit_rows(table))
            except TenterError as error:
                lines = said_lines(error, lambda column: self._called(column, chosen))
                self.add_error(None, [f"{sentence(line)}." for line in lines])
        return said

    @property
    def left_out(self) -> list[str]:
        """The file's headings that nothing is read from, as the form has them now."""
        used = {str(self[_OURS + column].value()) for column in KIT_COLUMNS}
        return [name for at, name in enumerate(self._header) if name and str(at) not in used]

    def _check_chosen(self, chosen: dict[str, int]) -> None:
        if "id" not in chosen:
            self.add_error(f"{_OURS}id", _("Say which column has the cloths’ numbers."))
        if "hue_family" not in chosen:
            for axis in "Lab":
                if axis not in chosen:
                    self.add_error(
                        _OURS + axis, _("Say which column has %(column)s.") % {"column": column_called(axis)}
                    )
        for column, at in chosen.items():
            earlier = next(one for one in chosen if chosen[one] == at)
            if earlier != column:
                said = {"heading": self._header[at], "column": column_called(earlier)}
                self.add_error(_OURS + column, _("%(heading)s is %(column)s already. Choose again.") % said)

    def _called(self, column: str, chosen: dict[str, int]) -> str:
        """Return what a column of ours is called, with the file's own heading of it."""
        heading, usual = self._header[chosen[column]] if column in chosen else "", column_called(column)
        return _("%(column)s (your %(heading)s)") % {"column": usual, "heading": heading} if heading else str(usual)
