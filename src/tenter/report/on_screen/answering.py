"""How a consultant answers, in words: what earlier sittings taught."""

from tenter.language import N_, _

_SLIGHT, _CLEAR = 1.07, 1.25  # times the usual, or one over it; ours
# From far below the usual to far above it; the third of five is for about the same.
_VARY = (
    N_("Your answers vary less than Tenter expects of a new consultant."),
    N_("Your answers vary a little less than Tenter expects of a new consultant."),
    N_("Your answers vary as much as Tenter expects of a new consultant."),
    N_("Your answers vary a little more than Tenter expects of a new consultant."),
    N_("Your answers vary more than Tenter expects of a new consultant."),
)
_CALL = (
    N_("You call a small difference sooner."),
    N_("You call a small difference a little sooner."),
    N_("You call a small difference about when Tenter expects it."),
    N_("You call a small difference a little later."),
    N_("You call a small difference later."),
)


def answering_words(noise: float, cuts: float) -> tuple[str, str]:
    """Return a sentence each on how much answers vary and how soon a difference is called.

    noise, cuts: the scales of noise and cut points, 1 is a new consultant's.
    """
    return _(_VARY[_grade(noise)]), _(_CALL[_grade(cuts)])


def _grade(scale: float) -> int:
    """Return the place of a scale beside the usual: 0 far below it, 2 about the same, 4 far above."""
    if 1 / _SLIGHT < scale < _SLIGHT:
        return 2
    if scale < 1:
        return 1 if scale > 1 / _CLEAR else 0
    return 3 if scale < _CLEAR else 4
