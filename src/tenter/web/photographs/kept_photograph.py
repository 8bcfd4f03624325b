"""A client's photograph kept: one door for the page's form, the incoming folder and a connected phone."""

from collections.abc import Mapping

from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import QueryDict

from tenter.web.models import Client, Photograph, Sitting
from tenter.web.photographs.forms import PhotographForm
from tenter.web.pictures import intake
from tenter.web.rules import keeping
from tenter.web.rules.logged_in import UserRequest


def keep_photograph(request: UserRequest, client: Client, form: PhotographForm) -> Photograph | None:
    """Keep a photograph, sealed, and put it in line; None where there is no key, and the form says so then."""
    said = form.cleaned_data
    row = Photograph(
        client=client,
        sitting=said["sitting"],
        by=request.user,
        phone=said.get("phone", ""),
        chart=said["chart"],
        card=said["card"],
        deletes_on=keeping.photograph_day(client),
    )
    return row if intake.taken_in(request, form, row) else None


def form_of_shot(
    user: User, client: Client, sitting: Sitting | None, picture: bytes, card: Mapping[str, object]
) -> PhotographForm:
    """Return the page's own form, filled in for a picture that came another way.

    card: as `CardForm` asks for it.
    """
    sent = QueryDict(mutable=True)
    sent.update({name: str(value) for name, value in card.items() if value is not None})
    sent["sitting"] = str(sitting.pk) if sitting else ""
    file = SimpleUploadedFile("picture", picture) if picture else None
    return PhotographForm(user, client, sent, {"picture": file} if file else {})
