"""One's own account."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.models import User
from django.contrib.auth.views import PasswordChangeView
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.translation import gettext as _

from tenter.report.on_screen.answering import answering_words
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import answering


class ChangePassword(PasswordChangeView):
    """Changing one's password; one is logged out everywhere else."""

    template_name = "studio/password.html"
    success_url = reverse_lazy("day")

    def form_valid(self, form: Any) -> HttpResponse:
        """Change it and note that it was."""
        answer = super().form_valid(form)
        audit.note(self.request.user, Action.PASSWORD_CHANGED)
        messages.success(self.request, _("Your password is changed."))
        return answer


def answers(request: UserRequest) -> HttpResponse:
    """Show what earlier sittings taught of how one answers, and take whether new sittings use it."""
    if request.method == "POST":
        used = request.POST.get("used") == "yes"
        with transaction.atomic():
            answering.use(request.user, used=used)
            audit.note(request.user, Action.ANSWERS_USED if used else Action.ANSWERS_NOT_USED)
        said = _("Your new sittings use how you answered before.")
        messages.success(request, said if used else _("Your new sittings do not use how you answered before."))
        return redirect("answers")
    return render(request, "studio/answers.html", answers_of(request.user))


def answers_of(user: User) -> dict[str, object]:
    """Return what a page says of how a user answers."""
    learned = answering.learned_of(user)
    words = answering_words(learned.noise, learned.cuts) if learned.sittings else ()
    return {"learned": learned, "words": words, "used": answering.is_used(user)}
