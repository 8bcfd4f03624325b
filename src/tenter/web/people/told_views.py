"""Results from before: taken in from a CSV, and erased."""

from http import HTTPStatus

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.consultation.client.told_results import told_results
from tenter.errors import TenterError
from tenter.web.people.told_rows import keep_told
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.sent_text import said_lines, text_of
from tenter.web.sweeping import traces

_LARGEST_TABLE = 2_000_000  # bytes: ten thousand rows


class ToldTableForm(forms.Form):
    """A table of results from before."""

    table = forms.FileField(
        label=gettext_lazy("A CSV"),
        help_text=gettext_lazy(
            "The columns are name, date and result, and note if you like. A date may be 2019-05-12, 12.05.2019, "
            "2019-05 or 2019."
        ),
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
    )

    file_name = ""

    def clean_table(self) -> str:
        """Return the table's text; raises `ValidationError` for a file over 2 MB or one that is no text."""
        file = self.cleaned_data["table"]
        self.file_name = str(file.name)
        if file.size > _LARGEST_TABLE:
            raise forms.ValidationError(_("The file is larger than 2 MB. Send it in parts."))
        return text_of(file)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def results_before(request: UserRequest) -> HttpResponse:
    """Ask for a table of results from before, or take one in: all of it or nothing."""
    form = ToldTableForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        name = form.file_name
        try:
            rows = told_results(form.cleaned_data["table"], name, timezone.localdate())
            results, cards = keep_told(request.user, rows, name)
        except TenterError as error:
            form.add_error(None, [f"{line}." for line in said_lines(error)])
        else:
            messages.success(request, _taken_in(len(rows), results, cards))
            return redirect("people")
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "people/told.html", {"form": form}, status=status)


def _taken_in(rows: int, results: int, cards: int) -> str:
    new = ngettext("%(count)s new card", "%(count)s new cards", cards) % {"count": cards}
    kept = ngettext(
        "%(count)s result kept, with %(new_cards)s.", "%(count)s results kept, with %(new_cards)s.", results
    )
    told = kept % {"count": results, "new_cards": new}
    if rows == results:
        return told
    again = rows - results
    known = ngettext(
        "%(count)s row said what was kept already.", "%(count)s rows said what was kept already.", again
    ) % {"count": again}
    return f"{told} {known}"


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase what was told of a client before."""
    client = access.card_to_edit(request.user, pk)
    with transaction.atomic():
        if client.told.all().delete()[0]:
            audit.note(request.user, Action.RESULTS_ERASED, client)
            messages.success(request, _("The results from before are erased."))
    traces.remove_traces()
    return redirect("person", client.pk)
