"""What the page of a drape's effect may ask: what throws the light, on which skin, in which room."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from tenter import Face
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.typology import ItaClass, skins_by_ita_class
from tenter.consultation.client.face import FaceColour
from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS, ReflectionFactor
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.on_face import (
    FacePrediction,
    SurfaceKind,
    SurfacePlace,
    predict_on_face,
)
from tenter.consultation.reflected.wall import FURTHEST_METRES, NEAREST_METRES, WallPlace
from tenter.errors import TenterError
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import said_lines
from tenter.web.store.asked_surface import KnownCloths

_COLOUR = gettext_lazy("A cloth of the kit, or L*, a*, b* such as 94,0,1.")
_KINDS = {
    SurfaceKind.DRAPE: gettext_lazy("a drape"),
    SurfaceKind.CAPE: gettext_lazy("a cape"),
    SurfaceKind.WALL: gettext_lazy("a wall"),
}
_WALLS = {
    WallPlace.FRONT: gettext_lazy("in front of the client"),
    WallPlace.LEFT: gettext_lazy("at the client’s left"),
    WallPlace.RIGHT: gettext_lazy("at the client’s right"),
    WallPlace.BEHIND: gettext_lazy("behind the client"),
}


def cloth_input() -> forms.TextInput:
    """Return a field that offers the cloths of the page's list."""
    return forms.TextInput(attrs={"list": "cloths", "autocomplete": "off"})


def surface_in_field(cloths: KnownCloths, text: str) -> ThrowingSurface:
    """Return the surface that a field names; raises `ValidationError` for one whose light is not known."""
    try:
        return cloths.surface(text)
    except TenterError as error:
        raise forms.ValidationError([f"{sentence(line)}." for line in said_lines(error)]) from None


class EffectForm(forms.Form):
    """A surface, what it is compared with, a skin and a room."""

    surface = forms.CharField(
        max_length=60, label=gettext_lazy("Cloth or colour"), help_text=_COLOUR, widget=cloth_input()
    )
    against = forms.CharField(
        max_length=60,
        required=False,
        label=gettext_lazy("Compared with"),
        help_text=gettext_lazy("A cloth or colour likewise; a perfect black when empty."),
        widget=cloth_input(),
    )
    kind = forms.ChoiceField(
        required=False, label=gettext_lazy("It is"), choices=[(str(kind), said) for kind, said in _KINDS.items()]
    )
    wall_at = forms.ChoiceField(
        required=False, label=gettext_lazy("A wall is"), choices=[(str(p), said) for p, said in _WALLS.items()]
    )
    metres = forms.FloatField(
        required=False,
        initial=1.0,
        min_value=NEAREST_METRES,
        max_value=FURTHEST_METRES,
        label=gettext_lazy("A wall’s distance, m"),
        help_text=gettext_lazy("1 m when empty."),
    )
    skin = forms.ChoiceField(
        required=False,
        label=gettext_lazy("Skin"),
        choices=lambda: [(str(name), terms.skin(name)) for name in skins_by_ita_class()],
    )
    usual_room = forms.BooleanField(required=False)  # in place of the studio's own

    def __init__(self, cloths: KnownCloths, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.cloths = cloths

    def clean_surface(self) -> ThrowingSurface:
        """Return what throws the light; raises `ValidationError` for a colour or a cloth that cannot."""
        return self._surface(self.cleaned_data["surface"])

    def clean_against(self) -> ThrowingSurface | None:
        """Return what it is compared with, or None; raises `ValidationError` as for the surface."""
        text = self.cleaned_data["against"]
        return self._surface(text) if text else None

    def _surface(self, text: str) -> ThrowingSurface:
        return surface_in_field(self.cloths, text)

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
        of = face or face_of_skin(ItaClass(said["skin"] or next(iter(skins_by_ita_class()))))
        used = None if said["usual_room"] else room
        return predict_on_face(of, said["surface"], place, said["against"], used)


def face_of_skin(name: ItaClass) -> Face:
    """Return a face whose every place is the mean skin of a class, under D65 by the 10 degree observer."""
    lab = reflectance_to_lab(skins_by_ita_class()[name], D65_10.illuminant, D65_10.observer)
    L, a, b = (float(value) for value in lab)
    colour = FaceColour((L, a, b), ((L, L), (a, a), (b, b)))
    return Face(D65_10, dict.fromkeys(REFLECTION_REGIONS, colour))
