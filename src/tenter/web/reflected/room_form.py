"""What the pages of the studio's own room may send: photographs with two drapes in turn, or a room from a file."""

from collections.abc import Sequence
from secrets import token_hex
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS, ReflectionFactor
from tenter.consultation.cloths.tables import json_of, text_in
from tenter.consultation.reflected.in_turn import require_apart
from tenter.consultation.reflected.room import factors_of_room
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.report.words.wording import sentence
from tenter.web.models import Client, Photograph
from tenter.web.sent.sent_text import said_lines
from tenter.web.series.forms import SeriesForm
from tenter.web.store.asked_surface import KnownCloths

_LARGEST = 200_000  # bytes: a room has a dozen numbers
_REMEDY = gettext_lazy("Choose a file that a measured room was saved in")
_DRAPES = {
    "cloth_a": (
        gettext_lazy("Drape in the first photograph"),
        gettext_lazy("White or black: a cloth of the kit, or L*, a*, b* such as 94,0,1."),
    ),
    "cloth_b": (gettext_lazy("The other drape"), gettext_lazy("Black or white, likewise.")),
}


class RoomSeriesForm(SeriesForm):
    """Photographs of one client with a white and a black drape in turn, beside the card of 24 patches."""

    def __init__(
        self, cloths: KnownCloths, client: Client, able: Sequence[Photograph], *args: Any, **kwargs: Any
    ) -> None:
        super().__init__(client, able, *args, **kwargs)
        self._cloths = cloths
        for name, (label, help_text) in _DRAPES.items():
            self.fields[name].label, self.fields[name].help_text = label, help_text
        self.fields["pattern"].label = _("The order of the drapes")
        self.fields["pattern"].help_text = _("A is the drape in the first photograph. ABABAB lets one of six fail.")
        only = ChartKind.CLASSIC24.value
        self.fields["chart"] = forms.ChoiceField(choices=[(only, only)], initial=only, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        """Hold the drapes against one another first: their light has to be known, and to differ."""
        said = self.cleaned_data
        found = []
        for name in _DRAPES:
            try:
                found += [self._cloths.surface(said[name])] if name in said else []
            except TenterError as error:
                self.add_error(name, [f"{sentence(line)}." for line in said_lines(error)])
        if len(found) == len(_DRAPES):
            try:
                require_apart(*found)
            except TenterError as error:
                self.add_error("cloth_b", str(error))
        return super().clean()


class RoomFileForm(forms.Form):
    """The studio's own room, as it was measured elsewhere."""

    prefix = "room"

    file = forms.FileField(
        label=gettext_lazy("A saved room"),
        help_text=gettext_lazy("The file that a measured room was saved in, on this page or another machine."),
        widget=forms.ClearableFileInput(attrs={"accept": ".json,application/json"}),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def clean_file(self) -> dict[str, ReflectionFactor]:
        """Return the room's factors; raises `ValidationError` for a file that holds none."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        if (file.size or 0) > _LARGEST:
            raise forms.ValidationError(
                _("The file is larger than 200 kB, but a room is a short text. Choose another.")
            )
        try:
            name = str(file.name)
            found = factors_of_room(json_of(text_in(file.read(), name), name, str(_REMEDY)), name)
        except TenterError as error:
            raise forms.ValidationError([f"{sentence(line)}." for line in said_lines(error)]) from None
        known = {region: found[region] for region in REFLECTION_REGIONS if region in found}
        if not known:
            raise forms.ValidationError(
                _("The file names no place of the face. Choose a file that a measured room was saved in.")
            )
        return known
