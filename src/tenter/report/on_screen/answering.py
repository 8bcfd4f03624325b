"""How a consultant answers, in words: what earlier sittings taught."""

_SLIGHT, _CLEAR = 1.07, 1.25  # times the usual, or one over it; ours


def answering_words(noise: float, cuts: float) -> tuple[str, str]:
    """Return a sentence each on how much answers vary and how soon a difference is called.

    noise, cuts: the scales of noise and cut points, 1 is a new consultant's.
    """
    varied = _graded(noise, "less", "a little less", "a little more", "more")
    called = _graded(cuts, "sooner", "a little sooner", "a little later", "later")
    return (
        f"Your answers vary {varied} than Tenter expects of a new consultant."
        if varied
        else "Your answers vary as much as Tenter expects of a new consultant.",
        f"You call a small difference {called}."
        if called
        else "You call a small difference about when Tenter expects it.",
    )


def _graded(scale: float, *words: str) -> str:
    """Return the word for a scale beside the usual, from far below to far above; nothing for about the same."""
    much_less, less, more, much_more = words
    if 1 / _SLIGHT < scale < _SLIGHT:
        return ""
    if scale < 1:
        return less if scale > 1 / _CLEAR else much_less
    return more if scale < _CLEAR else much_more
