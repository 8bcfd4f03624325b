"""What the start of a sitting may send, and what it takes where nothing is said: the kit and method of the last one."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.conventions.bundled import BUNDLED, DEFAULT_METHOD
from tenter.report.words import terms
from tenter.web.models import KitRecord, MethodRecord, Sitting
from tenter.web.rules import access
from tenter.web.sent.named_client import ClientField, offer_clients
from tenter.web.sent.typed_fields import choice_field, offer_rows
from tenter.web.store import store

_OWN = "own-"  # before the number of a method of the studio's own


class StartForm(forms.Form):
    """Who sits, on which kit and by which method; the last two as they were last where they are left out."""

    client = ClientField(label=gettext_lazy("Client"))
    kit = forms.ModelChoiceField(KitRecord.objects.none(), empty_label=None, required=False, label=gettext_lazy("Kit"))
    method = forms.ChoiceField(choices=(), required=False, label=gettext_lazy("Method"))

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_clients(self, "client", access.clients(user))
        offer_rows(self, "kit", access.kits(user))
        bundled = [(name, terms.method_title(store.method_named(name).title)) for name in BUNDLED]
        self.own = {f"{_OWN}{record.pk}": record for record in access.methods(user)}
        choice_field(self, "method").choices = bundled + [(word, self._called(own)) for word, own in self.own.items()]
        self._kit, self._method = last_used(user)
        self.fields["kit"].initial, self.fields["method"].initial = self._kit, self._method

    def _called(self, record: MethodRecord) -> str:
        """Return a method's title, with its day where another of the studio's own has the same."""
        if sum(own.title == record.title for own in self.own.values()) == 1:
            return record.title
        day = date_format(timezone.localtime(record.created), "SHORT_DATE_FORMAT")
        told = {"title": record.title, "number": record.pk, "day": day}
        return _("%(title)s (the studio’s no. %(number)s, %(day)s)") % told

    def clean_kit(self) -> KitRecord:
        """Return the kit, the last one where none is named; raises `ValidationError` for a studio without any."""
        kit = self.cleaned_data["kit"] or self._kit
        if kit is None:
            raise forms.ValidationError(_("There is no kit yet. Add one first."))
        found: KitRecord = kit
        return found

    def clean_method(self) -> str | MethodRecord:
        """Return the word of a bundled method, or the record of one of the studio's own."""
        word: str = self.cleaned_data["method"] or self._method
        return self.own.get(word, word)


def last_used(user: User) -> tuple[KitRecord | None, str]:
    """Return the kit and the word of the method that a user's next sitting begins with: those of their last one.

    The kit is the latest of the studio where they never sat on one that is still there; None where there is none.
    """
    last = Sitting.objects.filter(analyst=user).select_related("kit__origin").first()
    offered = access.kits(user)
    used = last and (last.kit.origin or last.kit)
    kit = offered.filter(pk=used.pk).first() if used else None
    return kit or offered.first(), _method_word(user, last)


def _method_word(user: User, last: Sitting | None) -> str:
    if last is None:
        return DEFAULT_METHOD
    if last.own_method_id:
        known = access.methods(user).filter(pk=last.own_method_id).exists()
        return f"{_OWN}{last.own_method_id}" if known else DEFAULT_METHOD
    return last.method if last.method in BUNDLED else DEFAULT_METHOD
