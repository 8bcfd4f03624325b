"""What is tried of a studio's things before the bench: each press of a key, a pedal or a presenter, and the screen."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from tenter.web.bench.bench_views import EQUAL, LEFT_KEYS, RIGHT_KEYS, WHO
from tenter.web.bench.bench_words import STRENGTHS
from tenter.web.rules.logged_in import UserRequest

# As the bench has them beside its buttons; a test holds both together.
_OTHER_PRESSES = (
    ("u Backspace", gettext_lazy("Undo")),
    ("Escape", gettext_lazy("Show or hide the buttons")),
    ("h", gettext_lazy("Half-face view")),
    ("y", gettext_lazy("Another pair")),
    ("t i", gettext_lazy("Flags and signs for one of the cloths")),
    ("m", gettext_lazy("A cloth is missing")),
    ("x", gettext_lazy("Void an entry")),
    (
        "o c",
        gettext_lazy("Cloths of your own choice: a pair, a fan, one on its own, or some worn together"),
    ),
    ("v", gettext_lazy("Leave the bench for the verdict")),
    ("?", gettext_lazy("The list of keys")),
)


@require_safe
def presses(request: UserRequest) -> HttpResponse:
    """Show what a press does while a pair is held. The page sends nothing."""
    strengths = STRENGTHS.values()
    left, right = _("Left better, %(how_much)s"), _("Right better, %(how_much)s")
    on_left = [(keys, left % {"how_much": word}) for keys, word in zip(LEFT_KEYS, strengths, strict=True)]
    on_right = [(keys, right % {"how_much": word}) for keys, word in zip(RIGHT_KEYS, strengths, strict=True)]
    equal = [(keys, label) for _answer, label, keys in EQUAL]
    who = [(key, says) for _source, _label, key, says, _noted in WHO]
    return render(request, "bench/presses.html", {"presses": [*on_left, *on_right, *equal, *who, *_OTHER_PRESSES]})


@require_safe
def card(request: UserRequest) -> HttpResponse:
    """Show the outline of a bank card, by which a browser learns how large a millimetre is. The page sends nothing."""
    return render(request, "bench/card.html")
