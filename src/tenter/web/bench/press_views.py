"""What each press of a key, a pedal or a presenter would do on the bench, tried where nothing is written down."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from tenter.web.bench.bench_views import EQUAL, LEFT_KEYS, RIGHT_KEYS, WHO
from tenter.web.bench.bench_words import STRENGTHS
from tenter.web.rules.logged_in import UserRequest

# As the bench has them beside its buttons; a test holds both together.
_OTHER_PRESSES = (
    ("u Backspace", "Undo"),
    ("Escape", "Show or hide the buttons"),
    ("h", "Half-face view"),
    ("y", "Another pair"),
    ("t i", "Flags and signs for one of the cloths"),
    ("m", "A cloth is missing"),
    ("x", "Void an entry"),
    ("o c", "Cloths of your own choice: a pair, a fan, one on its own, or some worn together"),
    ("v", "Leave the bench for the verdict"),
    ("?", "The list of keys"),
)


@require_safe
def presses(request: UserRequest) -> HttpResponse:
    """Show what a press does while a pair is held. The page sends nothing."""
    left = [(keys, f"Left better, {word}") for keys, word in zip(LEFT_KEYS, STRENGTHS.values(), strict=True)]
    right = [(keys, f"Right better, {word}") for keys, word in zip(RIGHT_KEYS, STRENGTHS.values(), strict=True)]
    equal = [(keys, label) for _, label, keys in EQUAL]
    who = [(key, f"{label} answers") for _, label, key in WHO]
    return render(request, "bench/presses.html", {"presses": [*left, *right, *equal, *who, *_OTHER_PRESSES]})
