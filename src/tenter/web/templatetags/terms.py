"""Words of the trade that come as data, in the language of the page."""

from django import template

from tenter.language import pgettext

register = template.Library()


@register.filter
def term(word: str, kind: str) -> str:
    """Return a word as the page's language has it; one that no catalogue has, such as a method's own, as it is.

    kind: which words it belongs to, as `report/term_list.py` lists them: "axis", "season", "odds" and so on.
    """
    return pgettext(kind, str(word))
