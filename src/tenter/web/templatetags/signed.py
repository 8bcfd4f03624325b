"""Numbers about a middle, with their sign."""

from django import template

from tenter import numerals

register = template.Library()


@register.filter("signed")
def signed_to_hundredths(value: float) -> str:
    """Return a value, in whatever units, with its sign and two decimals."""
    return numerals.signed(value, 2)
