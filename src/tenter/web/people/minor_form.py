"""A client's card changed: where it says from now on that the client is under 18, what follows is said beforehand."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS
from tenter.web.people.forms import ClientForm
from tenter.web.rules import photo_promise


class ChangedCardForm(ClientForm):
    """The card, and one more tick where photographs would be deleted sooner because the client is under 18."""

    sooner = forms.BooleanField(required=False)
    field_order = ("name", "note", "minor", "sooner", "words_only", "language")

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(owner, *args, **kwargs)
        self._was_minor = self.instance.minor
        due = [] if self._was_minor else photo_promise.sooner_for_a_minor(self.instance)
        if not due:
            del self.fields["sooner"]
            return
        label = ngettext(
            "If under 18: delete %(count)s photograph sooner",
            "If under 18: delete %(count)s photographs sooner",
            len(due),
        )
        self.fields["sooner"].label = label % {"count": len(due)}
        self.fields["sooner"].help_text = _help(sum(photo_promise.is_past(day) for _shot, day in due))

    @property
    def is_minor_now(self) -> bool:
        """Whether the card says from now on that the client is under 18, which it did not say before."""
        return bool(self.cleaned_data["minor"]) and not self._was_minor

    def clean(self) -> dict[str, Any]:
        """Ask for the tick where photographs would be deleted sooner."""
        said = super().clean() or self.cleaned_data
        if "sooner" in self.fields and self.is_minor_now and not said.get("sooner"):
            self.add_error("sooner", _("Tick this too, or leave ‘Under 18’ as it was. Nothing was changed."))
        return dict(said)


def _help(past: int) -> str:
    """Return what the tick means. past: how many photographs would be past their day at once."""
    usual = _("A photograph of somebody under 18 is deleted %(days)s days after it was taken.")
    usual %= {"days": MINORS_PHOTOGRAPH_DAYS}
    if not past:
        return f"{usual} {_('To keep one longer, choose a later day on its own page.')}"
    at_once = ngettext(
        "%(count)s of them is past that day, and is not opened any more and deleted within the hour.",
        "%(count)s of them are past that day, and are not opened any more and deleted within the hour.",
        past,
    ) % {"count": past}
    return f"{usual} {at_once} {_('To keep one of the others longer, choose a later day on its own page.')}"
