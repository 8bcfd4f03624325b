"""What is answered where a client does not agree any more to what was asked for: why, and where to ask them."""

from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.deprecation import MiddlewareMixin

from tenter.web.rules.consents import ConsentMissing


class ConsentRefused(MiddlewareMixin):
    """Answers for every view that lets `ConsentMissing` pass, so that none has to say it by itself."""

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Say in words which consent is missing; any other error is not ours."""
        if not isinstance(error, ConsentMissing):
            return None
        if request.headers.get("Accept", "").startswith("application/json"):
            return JsonResponse({"problem": str(error)}, status=HTTPStatus.CONFLICT)
        return render(request, "rules/consent_refused.html", {"lacking": error}, status=HTTPStatus.CONFLICT)
