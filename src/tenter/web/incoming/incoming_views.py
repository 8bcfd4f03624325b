"""The incoming folder: where it is, and whether pictures leave it."""

from http import HTTPStatus

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.web.incoming.incoming_form import IncomingForm
from tenter.web.models import IncomingFolder
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def folder(request: UserRequest) -> HttpResponse:
    """Name the folder, from whoever opened the studio on this machine; raises `Http404` for anybody else."""
    if not request.user.is_superuser:
        raise Http404
    row = IncomingFolder.objects.filter(owner=request.user).first()
    chosen = request.GET.get("path", "")
    form = IncomingForm(request.POST) if request.method == "POST" else IncomingForm.of(row, chosen)
    if request.method == "POST" and form.is_valid():
        _set(request, form.cleaned_data["path"], form.cleaned_data["removes"])
        return redirect("studio")
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "incoming/folder.html", {"form": form, "row": row}, status=status)


def _set(request: UserRequest, path: str, removes: bool) -> None:
    if not path:
        IncomingFolder.objects.filter(owner=request.user).delete()
        messages.success(request, _("Pictures come in by no folder any more."))
    else:
        said = {"path": path, "removes": removes, "taken": []}
        IncomingFolder.objects.update_or_create(owner=request.user, defaults=said)
        messages.success(request, _("New pictures in the folder are now offered on a client’s photograph page."))
    audit.note(request.user, Action.INCOMING_SET)
