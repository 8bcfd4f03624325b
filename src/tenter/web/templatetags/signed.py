"""Numbers about a middle, with their sign."""

from django import template

from tenter.language import local_signed

register = template.Library()


@register.filter("signed")
def signed_to_hundredths(value: float) -> str:
    """Return a value, in whatever units, with its sign and two decimals."""
    return local_signed(value, 2)
