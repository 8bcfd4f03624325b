"""Where a screen's colour lies in the phone page's grid, as its script reckons it."""

from tenter.report.phone_page.screen_colours import LEVELS


def place_in_grid(rgb):
    """Return the place in the grid of a colour of three codes, 0 to 255."""
    r, g, b = ((code * (LEVELS - 1) + 127) // 255 for code in rgb)
    return (r * LEVELS + g) * LEVELS + b
