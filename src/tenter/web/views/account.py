"""One's own account."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.views import PasswordChangeView
from django.http import HttpResponse
from django.urls import reverse_lazy

from tenter.web import audit
from tenter.web.audit import Action


class ChangePassword(PasswordChangeView):
    """Changing one's password; one is logged out everywhere else."""

    template_name = "tenter/password.html"
    success_url = reverse_lazy("day")

    def form_valid(self, form: Any) -> HttpResponse:
        """Change it and note that it was."""
        answer = super().form_valid(form)
        audit.note(self.request.user, Action.PASSWORD_CHANGED)
        messages.success(self.request, "Your password is changed.")
        return answer
