"""The fields of forms and models as what they are: Django hands them out as fields of any kind."""

from collections.abc import Callable
from typing import TypeVar, cast

from django import forms
from django.db.models import CharField, Model, QuerySet

M = TypeVar("M", bound=Model)


def choice_field(form: forms.BaseForm, name: str) -> forms.ChoiceField:
    """Return a field of a form that offers words."""
    return cast("forms.ChoiceField", form.fields[name])


def offer_rows(form: forms.BaseForm, name: str, rows: QuerySet[M], called: Callable[[M], str] | None = None) -> None:
    """Let a field of a form offer rows, each called as `called` says, or by its own word."""
    field = cast("forms.ModelChoiceField[M]", form.fields[name])
    field.queryset = rows
    if called is not None:
        field.label_from_instance = called  # type: ignore[method-assign, assignment]  # one label needs no class of its own


def longest(model: type[Model], name: str) -> int:
    """Return how many characters a model's field of words takes."""
    return cast("CharField[str, str]", model._meta.get_field(name)).max_length or 0
