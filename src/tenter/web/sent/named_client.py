"""A client chosen in a form: from a list while there are few, by a name typed once there are many.

The name is looked up on the server, so it needs no script: a part of it suffices, and where several clients fit, the
form comes back with those to choose from. A number is a client's own, as a link or a list sends it.
"""

import re
from collections import Counter
from collections.abc import Iterable
from typing import Any, Final, cast

from django import forms
from django.db.models import Max, QuerySet
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.web.models import Client
from tenter.web.sent.looking_up import plain
from tenter.web.sent.row_numbers import row_number

MOST_LISTED: Final = 50  # clients in a list; set by judgement: a longer one is slow to look through
_LONGEST = 140  # characters: those of a name, and a number behind it
_NUMBERED = re.compile(r" #([0-9]+)$")  # behind a name that several clients have


class ClientField(forms.Field):
    """One of the clients that were offered; its value is the row."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._rows: QuerySet[Client] = Client.objects.none()

    def offer(self, rows: QuerySet[Client]) -> None:
        """Offer clients: as a list, or where they are many as a line to write in, with the ones who sat last."""
        self._rows = rows
        listed = list(rows[: MOST_LISTED + 1])
        if len(listed) <= MOST_LISTED:
            self.widget = _list_of((row.pk, row.name) for row in listed)
            return
        self.widget = _NameAmong(self._last_ones())

    def _last_ones(self) -> list[str]:
        names = _called(self._rows)
        seen = self._rows.annotate(last=Max("sittings__started")).values_list("pk", "created", "last")
        recent = sorted(seen, key=lambda row: row[2] or row[1], reverse=True)
        return [names[pk] for pk, *_times in recent[:MOST_LISTED]]

    def prepare_value(self, value: Any) -> Any:
        """Return what stands in the field: a client's name for the number, where a name is typed."""
        if isinstance(self.widget, forms.Select):
            return value
        number = row_number(str(value or ""))
        return _called(self._rows).get(number, value) if number is not None else value

    def to_python(self, value: Any) -> Any:
        """Return the client; raises `ValidationError` where none fits, or several do."""
        said = " ".join(str(value or "").split())[:_LONGEST]
        if not said:
            return None
        number = row_number(said)
        names = dict(self._rows.values_list("pk", "name"))
        fitting = [number] if number in names else _fitting(names, said)
        if len(fitting) != 1:
            raise forms.ValidationError(self._cannot_tell(said, {pk: names[pk] for pk in fitting}))
        return self._rows.get(pk=fitting[0])

    def _cannot_tell(self, said: str, fitting: dict[int, str]) -> str:
        """Return why a name is nobody's yet, and offer those whom it may mean."""
        if not fitting:
            none = _("No client has “%(name)s” in their name. Try a part of the name, or add the client first.")
            return none % {"name": said}
        if len(fitting) > MOST_LISTED:
            many = _("%(count)s clients have “%(name)s” in their name. Write more of it.")
            return many % {"count": len(fitting), "name": said}
        several = ngettext(
            "%(count)s client has “%(name)s” in their name. Choose one of them.",
            "%(count)s clients have “%(name)s” in their name. Choose one of them.",
            len(fitting),
        )
        choose = [("", _("Choose the client")), *_called(self._rows.filter(pk__in=fitting)).items()]
        self.widget = _list_of(choose)
        return several % {"count": len(fitting), "name": said}


def offer_clients(form: forms.BaseForm, name: str, rows: QuerySet[Client]) -> None:
    """Let a field of a form offer clients."""
    cast("ClientField", form.fields[name]).offer(rows)


def _list_of(clients: Iterable[tuple[Any, str]]) -> forms.Select:
    widget = forms.Select(choices=list(clients))
    widget.is_required = True
    return widget


def _fitting(names: dict[int, str], said: str) -> list[int]:
    """Return whose number or whole name was said, or else who has all its words."""
    numbered = _NUMBERED.search(said)
    whole, words = plain(said), plain(said).split()
    if numbered and plain(names.get(int(numbered[1]), "")) == plain(said[: numbered.start()]):
        return [int(numbered[1])]
    same = [pk for pk, name in names.items() if plain(" ".join(name.split())) == whole]
    return same or [pk for pk, name in names.items() if all(word in plain(name) for word in words)]


def _called(rows: QuerySet[Client]) -> dict[int, str]:
    """Return what each is called; those of one name by their numbers too."""
    names = dict(rows.values_list("pk", "name"))
    times = Counter(names.values())
    return {pk: f"{name} #{pk}" if times[name] > 1 else name for pk, name in names.items()}


class _NameAmong(forms.TextInput):
    """A line for a name, with some names that the browser offers while one types."""

    def __init__(self, names: list[str]) -> None:
        said = {"maxlength": _LONGEST, "placeholder": _("a part of the name")}
        super().__init__({"autocomplete": "off", "spellcheck": "false", **said})
        self.is_required = True
        self._names = names

    def render(self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None) -> SafeString:
        """Return the line and its list."""
        listed = f"{name}-names"
        line = super().render(name, value, {**(attrs or {}), "list": listed}, renderer)
        options = format_html_join("", '<option value="{}"></option>', ((each,) for each in self._names))
        return format_html('{}<datalist id="{}">{}</datalist>', line, listed, options)
