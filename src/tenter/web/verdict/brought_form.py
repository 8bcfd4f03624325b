"""What the page of brought things may send: a photograph, of a thing that is named already or of one shown now."""

from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.words.answers import Brought
from tenter.photo.cards import ChartKind
from tenter.web.bench.bench_words import BROUGHT, WORTHS
from tenter.web.models import ThingPhotograph
from tenter.web.photographs.forms import UploadForm

_LONGEST_NAME = 80  # characters, as on the page of the sitting; set by judgement


def kind_words(kind: str) -> str:
    """Return what somebody brought, a word of `Brought`, as the page says it."""
    return str(BROUGHT[Brought(kind)])


def _kinds() -> list[tuple[str, str]]:
    return [(str(kind), capfirst(str(words))) for kind, words in BROUGHT.items()]


def _worths() -> list[tuple[str, str]]:
    return [(str(worth), capfirst(str(words))) for worth, words in WORTHS.items()]


class BroughtPhotographForm(UploadForm):
    """A photograph of something that the client brought; its card, if there is one, gives its colour."""

    key = forms.CharField(max_length=60, widget=forms.HiddenInput)
    entry = forms.IntegerField(required=False, min_value=1, widget=forms.HiddenInput)
    brought = forms.ChoiceField(choices=_kinds, required=False, label=gettext_lazy("What they brought"))
    name = forms.CharField(
        max_length=_LONGEST_NAME,
        required=False,
        label=gettext_lazy("Its name"),
        help_text=gettext_lazy("If you leave it empty, Tenter names it by its kind and a number."),
    )
    worth = forms.ChoiceField(choices=_worths, required=False, label=gettext_lazy("How it looks on the client"))
    field_order = ("brought", "name", "worth", "picture", "camera", "chart", "values", "own_number", "deletes_on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="photo-%s", **kwargs)
        self.fields["chart"].label = _("Beside it")
        self.fields["chart"].initial = ChartKind.NONE.value
        self.fields["chart"].help_text = _(
            "A card gives the colour of a garment. Without one, only the picture is kept."
        )

    def clean(self) -> dict[str, Any]:
        """Ask for what it is and how it did, unless it is named already."""
        said = super().clean()
        if not said.get("entry"):
            for name in ("brought", "worth"):
                if not said.get(name) and name not in self.errors:
                    self.add_error(name, _("Choose one for what you show now."))
        return said

    @property
    def is_measured(self) -> bool:
        """Whether there is a card to read its colour by."""
        return bool(self.cleaned_data["chart"] != ChartKind.NONE)

    def fields_of(self) -> dict[str, Any]:
        """Return what a row keeps of the form."""
        said = self.cleaned_data
        state = ThingPhotograph.State.QUEUED if self.is_measured else ThingPhotograph.State.DONE
        return {name: said[name] for name in ("chart", "card", "deletes_on")} | {"kept": True, "state": state}
