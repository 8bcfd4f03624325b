"""What each column of a kit's table means, for whoever fills one in or says which of their columns is which."""

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit_rows import KIT_COLUMNS

# The column of a kit file: what a page calls it, and what it means.
_SAID: dict[str, tuple[str, str]] = {
    "id": ("Number", "What is written on the cloth’s label, such as D001. No spaces; each number once."),
    "name": ("Name", "What the cloth is called on screen and on paper, such as Orchard Peach."),
    "L": ("L*", "Lightness as your instrument shows it, 0 for black to 100 for white."),
    "a": ("a*", "Below 0 towards green, above 0 towards red."),
    "b": ("b*", "Below 0 towards blue, above 0 towards yellow."),
    "place": ("Place", "Where the cloth hangs, such as rail A."),
    "hue_family": ("Hue family", f"Only to overrule the colour, or without one: {', '.join(HueFamily)}."),
    "undertone": ("Undertone by hand", "For a metal: warm above 0, cool below, at most 5. Otherwise leave it empty."),
    "role": ("Test", "What the cloth is for, such as undertone-red-warm with its partner undertone-red-cool."),
    "group": ("Group", "The maker’s or shop’s own label. It decides nothing."),
    "bench_only": ("Only for comparing", "yes for a cloth that nobody would wear, otherwise empty."),
    "notes": ("Notes", "Anything you want to keep with the cloth."),
    "illuminant": (
        "Light",
        "The light that the numbers are for, such as D65; your instrument says it. The same in all rows.",
    ),
    "observer": ("Observer", "2 or 10 (degrees), as your instrument says. The same in all rows."),
}
KIT_FIELDS = tuple((column, *_SAID[column]) for column in KIT_COLUMNS)


def column_called(column: str) -> str:
    """Return what a page calls a column of a kit file, or the column where it has no other name."""
    return _SAID[column][0] if column in _SAID else column
