"""Numbers about a middle: always with their sign, and with a minus that is as wide as the plus."""

from django import template

register = template.Library()


@register.filter
def signed(value: float) -> str:
    """Return a number with its sign and two decimals."""
    return f"{round(value, 2) + 0.0:+.2f}".replace("-", "−")
