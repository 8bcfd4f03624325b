"""What the pages of photographs may send: what the client agreed to, the picture, and corrections of its regions."""

import json
from collections.abc import Mapping
from datetime import date, timedelta
from enum import StrEnum
from typing import Any

from django import forms
from django.utils import timezone

from tenter.errors import TenterError
from tenter.photo.advice import HOLD_THE_CARD
from tenter.photo.card import ChartKind
from tenter.photo.keeping import kept_picture
from tenter.photo.own_card_gate import uncalibrated
from tenter.photo.own_card_kept import kept_serials
from tenter.photo.own_card_layout import MAX_SERIAL
from tenter.photo.reference import CardValues
from tenter.photo.regions import Region
from tenter.report.face_colours import region_name
from tenter.web import access
from tenter.web.measuring import Corrections
from tenter.web.models import KEPT_DAYS, Client, Photograph, Picture, Sitting, usual_deletion
from tenter.web.photo_promise import LONGEST_KEPT_DAYS, day_after_end
from tenter.web.pictures import LARGEST_UPLOAD

PICTURES = "image/*,.webp,.heic,.heif,.dng,.tif,.tiff,.nef,.cr2,.cr3,.arw"  # as a browser's chooser of files wants it
_MOST_OUTLINES, _MOST_CORNERS, _LONGEST_OUTLINES = 20, 60, 20_000
_FEWEST_CORNERS = 3
BOX = {"left": "From the left", "top": "From the top", "width": "Width", "height": "Height"}
_FARTHEST, _SMALLEST_BOX = 100_000, 8  # pixels


class Purpose(StrEnum):
    """What a photograph may be used for; each is asked for on its own."""

    MEASURE = "measure"
    COMPARE = "compare"
    SHEET = "sheet"


CARDS = {
    ChartKind.CLASSIC24.value: "24-patch card",
    ChartKind.OWN.value: "Our own printed card",
    ChartKind.GREY.value: "Grey card",
    ChartKind.PAPER.value: "White paper",
    ChartKind.NONE.value: "No card",
}
VALUES = {
    CardValues.MEAN_OF_30.value: "mean of 30 cards",
    CardValues.OF_1976.value: "published 1976",
    CardValues.OF_2005.value: "published 2005",
    CardValues.BEFORE_2014_11.value: "made before November 2014",
    CardValues.FROM_2014_11.value: "made from November 2014",
}


_ANOTHER_CARD = "Another card is chosen above. Choose our own printed card, or leave this empty."
_MOST_NUMBERS = 12  # that a help text lists


def own_card_help() -> str:
    """Return what is said of the number of our own card: what it needs first, and which were measured."""
    serials = kept_serials()
    named = ", ".join(f"No. {serial}" for serial in serials[:_MOST_NUMBERS])
    more = f" and {len(serials) - _MOST_NUMBERS} more" if len(serials) > _MOST_NUMBERS else ""
    measured = f"Measured here: {named}{more}." if serials else "None was measured here yet: tenter card calibrate."
    return (
        "Each print is measured once beside a 24-patch card; a borrowed one will do. "
        f"{measured} The number is read from the picture. Name it too, and another card is refused."
    )


def figures_of(row: Picture) -> str:
    """Return whose values a photograph's card was said to have; empty where nothing was said."""
    if row.chart == ChartKind.OWN and row.card.isdigit():
        return f"No. {row.card}"
    return VALUES.get(row.card, "") if row.chart == ChartKind.CLASSIC24 else ""


class KeptUntilForm(forms.Form):
    """The day by which a photograph is deleted."""

    deletes_on = forms.DateField(
        label="Deleted on",
        initial=usual_deletion,
        help_text="The day you have told her. It is deleted then by itself; you can erase it at any time.",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def clean_deletes_on(self) -> date | None:
        """Hold the day against today and a year."""
        day: date | None = self.cleaned_data["deletes_on"]
        today = timezone.localdate()
        if day is None:
            return None
        if day <= today:
            raise forms.ValidationError("Choose a day after today. To delete a photograph now, erase it.")
        if day > today + timedelta(days=LONGEST_KEPT_DAYS):
            raise forms.ValidationError("Choose a day within a year: a photograph is not kept for good.")
        return day


class DateForm(KeptUntilForm):
    """Another day."""


class PromiseForm(KeptUntilForm):
    """How long a client's photograph is kept: until a day, or so many days after the end of its sitting."""

    counted = forms.ChoiceField(
        choices=(("day", "until the day below"), ("end", "so many days after the end of her sitting")),
        required=False,
        label="She is told that it is kept",
        help_text="From the end of the sitting, when she goes with her sheet; at the longest for a year.",
    )
    days = forms.IntegerField(
        min_value=1,
        max_value=LONGEST_KEPT_DAYS,
        initial=KEPT_DAYS,
        required=False,
        label="Days after the end of her sitting",
        help_text="Where it is counted from there; the day above does not matter then.",
    )
    field_order: tuple[str, ...] = ("counted", "deletes_on", "days")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["deletes_on"].required = False

    def clean(self) -> dict[str, Any]:
        """Turn a number of days after the end into a day."""
        said = self.cleaned_data
        from_end = said.get("counted") == "end"
        said["days_after_end"] = said.get("days") if from_end else None
        if from_end:
            self.errors.pop("deletes_on", None)
            self._count_from_end()
        elif said.get("deletes_on") is None and "deletes_on" not in self.errors:
            self.add_error("deletes_on", "Say on which day it is deleted.")
        return dict(super().clean() or said)

    def _count_from_end(self) -> None:
        sitting, days = self.counted_sitting(), self.cleaned_data["days_after_end"]
        if sitting is None:
            self.add_error("counted", "It belongs to no sitting, so there is no end to count from. Choose a day.")
        elif days is None:
            self.add_error("days", "Say for how many days after the end.")
        else:
            day = day_after_end(self.taken_on(), sitting.ended, days)
            self.cleaned_data["deletes_on"] = day
            if day <= timezone.localdate():
                self.add_error(
                    "days", f"That is {day:%-d %B %Y}, and has passed. To delete a photograph now, erase it."
                )

    def counted_sitting(self) -> Sitting | None:
        """Return the sitting from whose end it is counted."""
        found: Sitting | None = self.cleaned_data.get("sitting")
        return found

    def taken_on(self) -> date:
        """Return the day on which the photograph came in."""
        return timezone.localdate()


class AnotherPromiseForm(PromiseForm):
    """Another day, or another number of days, for a photograph that is kept."""

    def __init__(self, row: Photograph, *args: Any, **kwargs: Any) -> None:
        now = {
            "counted": "day" if row.days_after_end is None else "end",
            "deletes_on": row.deletes_on,
            "days": row.days_after_end or KEPT_DAYS,
        }
        super().__init__(*args, initial=now, **kwargs)
        self._row = row
        if row.sitting is None:
            del self.fields["counted"], self.fields["days"]

    def counted_sitting(self) -> Sitting | None:
        """Return the photograph's own sitting."""
        found: Sitting | None = self._row.sitting
        return found

    def taken_on(self) -> date:
        """Return the day on which it came in."""
        return timezone.localdate(self._row.taken_at)


class UploadForm(KeptUntilForm):
    """A photograph, and what stands in it to calibrate by. too_large: its file was let pass by unread."""

    picture = forms.FileField(
        required=False,
        label="A file",
        help_text="Choose it, or drop it here. JPEG, PNG, WebP, TIFF, HEIC or a raw file, as it came from the camera.",
        widget=forms.FileInput(attrs={"accept": PICTURES}),
    )
    camera = forms.FileField(
        required=False,
        label="Or take one now",
        help_text="Opens the camera on a tablet or phone.",
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
    )
    chart = forms.ChoiceField(
        choices=list(CARDS.items()),
        label="Beside the face",
        help_text=f"{HOLD_THE_CARD}, in the same light, unshaded, and so that nothing shines in it.",
    )
    values = forms.ChoiceField(
        choices=list(VALUES.items()),
        required=False,
        label="The 24-patch card’s figures",
        help_text="By the year printed on it; the mean does where you do not know.",
    )
    own_number = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=MAX_SERIAL,
        label="The number of our own printed card",
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, too_large: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._too_large = too_large
        self.fields["own_number"].help_text = own_card_help()

    def clean(self) -> dict[str, Any]:
        """Read the picture, once all else is as it should be: what it holds besides the picture is dropped with it."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        file = said.get("picture") or said.get("camera")
        if said.get("own_number") is not None and said.get("chart") != ChartKind.OWN:
            self.add_error(
                "own_number", "Another card is chosen above. Choose our own printed card, or leave this empty."
            )
        if self._too_large or (file and file.size > LARGEST_UPLOAD):
            self.add_error(
                "picture", f"The file is larger than {LARGEST_UPLOAD // 1_000_000} MB. Export a smaller one."
            )
        elif file is None:
            self.add_error("picture", "Choose a file, or take a photograph.")
        elif not self.errors:
            try:
                said["kept"], said["notes"] = kept_picture(file.read())
            except TenterError as error:
                self.add_error("picture", f"{error}.")
            said["card"] = self._card()
        return said

    def _card(self) -> str:
        """Return whose values the card has, as a row keeps it; a note is added for a number without values."""
        chart, number = self.cleaned_data["chart"], self.cleaned_data.get("own_number")
        if chart == ChartKind.CLASSIC24:
            return str(self.cleaned_data["values"])
        if chart != ChartKind.OWN or number is None:
            return ""
        if number not in kept_serials():
            self.cleaned_data["notes"] = (*self.cleaned_data.get("notes", ()), uncalibrated(number))
        return str(number)


class PhotographForm(PromiseForm, UploadForm):
    """A photograph, and first of all what the client agrees to."""

    measure = forms.BooleanField(
        label="She agrees to a photograph, and to its colours being measured",
        help_text="It is her choice, and a sitting goes well without. It stays in this studio and is kept sealed.",
        error_messages={"required": "Without her consent no photograph is kept."},
    )
    compare = forms.BooleanField(
        required=False,
        label="It may be laid beside her other photographs",
        help_text="To see whether they agree.",
    )
    sheet = forms.BooleanField(
        required=False,
        label="Its colours may stand on her reading sheet",
        help_text="The colours, not the picture. They stay with the reading until you take them out.",
    )
    guardian = forms.BooleanField(
        label="A parent or guardian is present and agrees",
        help_text="Nothing of it is published, and it is deleted on the day below.",
        error_messages={"required": "A minor is photographed with a parent or guardian present."},
    )
    sitting = forms.ModelChoiceField(None, required=False, label="Of the sitting", empty_label="none of them")
    field_order = (
        *("measure", "compare", "sheet", "guardian", "picture", "camera", "chart", "values", "own_number", "sitting"),
        *PromiseForm.field_order,
    )

    def __init__(self, user: Any, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not client.minor:
            del self.fields["guardian"]
        self.fields["sitting"].queryset = access.sittings(user).filter(client=client)
        self.fields["sitting"].label_from_instance = lambda row: f"{timezone.localtime(row.started):%d %B %Y, %H:%M}"

    @property
    def purposes(self) -> list[str]:
        """Return what was agreed to, in the words that are kept."""
        return [str(purpose) for purpose in Purpose if self.cleaned_data.get(purpose)]


def called_even(sent: Mapping[str, Any]) -> bool:
    """Return whether a page that was sent calls its card evenly lit: by the button pressed, or else as it was before.

    The button and what was said before have names of their own: a field of a form would come last and win.
    """
    return {"even": True, "uneven": False}.get(sent.get("light", ""), "evenly_lit" in sent)


class CorrectionsForm(forms.Form):
    """What the consultant says of a photograph's regions."""

    drop = forms.MultipleChoiceField(
        choices=[(region.value, region_name(region.value)) for region in Region],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    hair = forms.ChoiceField(
        choices=(("", "not said"), ("yes", "it is hair"), ("no", "it is not hair")), required=False, label="Hair"
    )
    excluded = forms.CharField(required=False, max_length=_LONGEST_OUTLINES, widget=forms.HiddenInput)
    left = forms.IntegerField(required=False, min_value=0, max_value=_FARTHEST)
    top = forms.IntegerField(required=False, min_value=0, max_value=_FARTHEST)
    width = forms.IntegerField(required=False, min_value=_SMALLEST_BOX, max_value=_FARTHEST)
    height = forms.IntegerField(required=False, min_value=_SMALLEST_BOX, max_value=_FARTHEST)

    def clean_excluded(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Return the outlines that were drawn, each of three corners or more."""
        try:
            drawn = json.loads(self.cleaned_data["excluded"] or "[]")
            outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in drawn)
        except (ValueError, TypeError, RecursionError):
            raise forms.ValidationError("The outlines cannot be read. Draw them again.") from None
        corners = [len(outline) for outline in outlines]
        if len(outlines) > _MOST_OUTLINES or any(not _FEWEST_CORNERS <= n <= _MOST_CORNERS for n in corners):
            raise forms.ValidationError(
                f"Draw at most {_MOST_OUTLINES} outlines of {_FEWEST_CORNERS} to {_MOST_CORNERS} corners."
            )
        if not all(abs(number) <= 1e5 for outline in outlines for corner in outline for number in corner):
            raise forms.ValidationError("An outline leaves the picture. Draw it again.")
        return outlines

    def clean(self) -> dict[str, Any]:
        """Hold the card's place together: all of its four numbers, or none."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if 0 < sum(said.get(name) is not None for name in BOX) < len(BOX) and not self.errors:
            raise forms.ValidationError("Say where the card lies by all four numbers, or leave all of them empty.")
        return said

    def corrections(self) -> Corrections:
        """Return what was said."""
        said = self.cleaned_data
        hair = {"yes": True, "no": False}.get(said["hair"])
        left, top, width, height = (said[name] for name in BOX)
        at = None if left is None else (float(left), float(top), float(width), float(height))
        return Corrections(tuple(said["drop"]), said["excluded"], hair, at, called_even(self.data))

    def faults(self) -> str:
        """Return what is wrong, in words."""
        return " ".join(
            f"{BOX[name]}: {error}" if name in BOX else error
            for name, errors in self.errors.items()
            for error in errors
        )
