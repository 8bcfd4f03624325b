"""The word beside a mark's sign."""

from django import template

from tenter.report.words.marks import Mark, in_a_word

register = template.Library()


@register.filter
def mark_word(mark: str) -> str:
    """Return the word of a mark, given as a `Mark` or by its value."""
    return in_a_word(Mark(mark))
