"""What each column of a kit's table means, for whoever fills one in or says which of their columns is which."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit_rows import KIT_COLUMNS

# The column of a kit file: what a page calls it, and what it means.
_SAID: dict[str, tuple[str | Promise, str | Promise]] = {
    "id": (
        gettext_lazy("Number"),
        gettext_lazy("What is written on the cloth’s label, such as D001. No spaces; each number once."),
    ),
    "name": (
        gettext_lazy("Name"),
        gettext_lazy("What the cloth is called on screen and on paper, such as Orchard Peach."),
    ),
    "L": ("L*", gettext_lazy("Lightness as your instrument shows it, 0 for black to 100 for white.")),
    "a": ("a*", gettext_lazy("Below 0 towards green, above 0 towards red.")),
    "b": ("b*", gettext_lazy("Below 0 towards blue, above 0 towards yellow.")),
    "place": (gettext_lazy("Place"), gettext_lazy("Where the cloth hangs, such as rail A.")),
    "hue_family": (
        gettext_lazy("Hue family"),
        gettext_lazy("Only to overrule the colour, or without one: %(families)s."),
    ),
    "undertone": (
        gettext_lazy("Undertone by hand"),
        gettext_lazy("For a metal: warm above 0, cool below, at most 5. Otherwise leave it empty."),
    ),
    "role": (
        pgettext_lazy("what a cloth is for", "Test"),
        gettext_lazy("What the cloth is for, such as undertone-red-warm with its partner undertone-red-cool."),
    ),
    "group": (gettext_lazy("Group"), gettext_lazy("The maker’s or shop’s own label. It decides nothing.")),
    "bench_only": (
        gettext_lazy("Only for comparing"),
        gettext_lazy("yes for a cloth that nobody would wear, otherwise empty."),
    ),
    "notes": (gettext_lazy("Notes"), gettext_lazy("Anything you want to keep with the cloth.")),
    "illuminant": (
        pgettext_lazy("that a colour was measured under", "Light"),
        gettext_lazy("The light that the numbers are for, such as D65; your instrument says it. The same in all rows."),
    ),
    "observer": (
        gettext_lazy("Observer"),
        gettext_lazy("2 or 10 (degrees), as your instrument says. The same in all rows."),
    ),
}


def kit_fields() -> list[tuple[str, str, str]]:
    """Return each column of a kit file, what a page calls it, and what it means."""
    values = {"families": ", ".join(HueFamily)}  # the words that a file may hold, in every language
    return [(column, column_called(column), str(_SAID[column][1]) % values) for column in KIT_COLUMNS]


def column_called(column: str) -> str:
    """Return what a page calls a column of a kit file, or the column where it has no other name."""
    return str(_SAID[column][0]) if column in _SAID else column
