"""What the page of a drape's effect may ask: what throws the light, on which skin, in which room."""

from collections.abc import Mapping
from secrets import token_hex
from typing import Any

import numpy as np
from django import forms
from django.core.files.uploadedfile import UploadedFile

from tenter import Face, Kit
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.consultation.client.face import FaceColour
from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS, ReflectionFactor
from tenter.consultation.cloths.tables import json_of, text_in
from tenter.consultation.garments.given import is_reading, parse_reading
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.on_face import (
    FacePrediction,
    SurfaceKind,
    SurfacePlace,
    drape_surface,
    predict_on_face,
)
from tenter.consultation.reflected.room import factors_of_room
from tenter.consultation.reflected.wall import FURTHEST_METRES, NEAREST_METRES, WallPlace
from tenter.errors import TenterError
from tenter.light.on_kit import skins_by_depth
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import said_lines

_LARGEST = 200_000  # bytes: a room has a dozen numbers
_REMEDY = "Send the file that 'tenter reflect room --json' wrote"
_COLOUR = "A cloth of the kit, or L*, a*, b* such as 94,0,1."
_WALLS = {
    WallPlace.FRONT: "in front of the client",
    WallPlace.LEFT: "at the client’s left",
    WallPlace.RIGHT: "at the client’s right",
    WallPlace.BEHIND: "behind the client",
}


class EffectForm(forms.Form):
    """A surface, what it is compared with, a skin and a room."""

    surface = forms.CharField(max_length=60, label="Cloth or colour", help_text=_COLOUR)
    against = forms.CharField(
        max_length=60, required=False, label="Compared with", help_text="The same; a black when empty."
    )
    kind = forms.ChoiceField(
        required=False, label="It is", choices=[(str(kind), f"a {kind}") for kind in SurfaceKind]
    )  # fmt: skip
    wall_at = forms.ChoiceField(
        required=False, label="A wall is", choices=[(str(p), said) for p, said in _WALLS.items()]
    )
    metres = forms.FloatField(
        required=False, initial=1.0, min_value=NEAREST_METRES, max_value=FURTHEST_METRES, label="A wall’s distance, m"
    )
    skin = forms.ChoiceField(required=False, choices=lambda: [(name, name) for name in skins_by_depth()])
    usual_room = forms.BooleanField(
        required=False, label="Use the default room", help_text="Even where your own was measured."
    )

    def __init__(self, kit: Kit, book: ReadingBook, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kit, self.book = kit, book

    def clean_surface(self) -> ThrowingSurface:
        """Return what throws the light; raises `ValidationError` for a colour or a cloth that cannot."""
        return self._surface(self.cleaned_data["surface"])

    def clean_against(self) -> ThrowingSurface | None:
        """Return what it is compared with, or None; raises `ValidationError` as for the surface."""
        text = self.cleaned_data["against"]
        return self._surface(text) if text else None

    def _surface(self, text: str) -> ThrowingSurface:
        try:
            if is_reading(text):
                return ThrowingSurface.of_lab(text, parse_reading(text, D65_10).colours[0].lab, D65_10)
            same = next((name for name in self.kit.ids if name.casefold() == text.casefold()), text)
            return drape_surface(self.kit, same, self.book)
        except TenterError as error:
            raise forms.ValidationError([f"{sentence(line)}." for line in said_lines(error)]) from None

    def prediction(self, face: Face | None, room: Mapping[str, ReflectionFactor] | None) -> FacePrediction:
        """Return what the surface does; face: a client's, or None for the skin that was chosen.

        Raises `Refused` for a face without a colour where anything is predicted.
        """
        said = self.cleaned_data
        place = SurfacePlace(
            SurfaceKind(said["kind"] or SurfaceKind.DRAPE),
            WallPlace(said["wall_at"] or WallPlace.FRONT),
            said["metres"] or 1.0,
        )
        of = face or face_of_skin(said["skin"] or next(iter(skins_by_depth())))
        used = None if said["usual_room"] else room
        return predict_on_face(of, said["surface"], place, said["against"], used)


def face_of_skin(name: str) -> Face:
    """Return a face whose every place is the mean skin of a depth, under D65 by the 10 degree observer."""
    lab = reflectance_to_lab(np.asarray(skins_by_depth()[name]), D65_10.illuminant, D65_10.observer)
    L, a, b = (float(value) for value in lab)
    colour = FaceColour((L, a, b), ((L, L), (a, a), (b, b)))
    return Face(D65_10, dict.fromkeys(REFLECTION_REGIONS, colour))


class RoomForm(forms.Form):
    """The studio's own room, as the command measured it."""

    prefix = "room"

    file = forms.FileField(
        label="Your room",
        help_text="The file that tenter reflect room --json wrote.",
        widget=forms.ClearableFileInput(attrs={"accept": ".json,application/json"}),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def clean_file(self) -> dict[str, ReflectionFactor]:
        """Return the room's factors; raises `ValidationError` for a file that holds none."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        if (file.size or 0) > _LARGEST:
            raise forms.ValidationError("The file is larger than 200 kB, but a room is a short text. Choose another.")
        try:
            name = str(file.name)
            found = factors_of_room(json_of(text_in(file.read(), name), name, _REMEDY), name)
        except TenterError as error:
            raise forms.ValidationError([f"{sentence(line)}." for line in said_lines(error)]) from None
        known = {region: found[region] for region in REFLECTION_REGIONS if region in found}
        if not known:
            raise forms.ValidationError(f"The file names no place of the face. {_REMEDY}.")
        return known
