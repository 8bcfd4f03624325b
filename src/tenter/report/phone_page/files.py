"""The two files that a client takes home on the phone, as bytes, from a palette and what is known of its client."""

from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.personal.suitability import Known
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.report.phone_page.asking import asking
from tenter.report.phone_page.content import phone_page, shown_on_phone
from tenter.report.phone_page.drawing import phone_page_html
from tenter.report.phone_page.lock_screen import SIZE, lock_screen_png
from tenter.report.reading.content import ClientCard


def phone_page_file(card: ClientCard, palette: PersonalPalette, known: Known, wishes: Wishes = NO_WISHES) -> bytes:
    """Return the phone page: one HTML file in UTF-8 that needs nothing beside it."""
    asked = asking(palette, known, wishes) if palette.colours else None
    return phone_page_html(phone_page(card, palette), asked)


def lock_screen_file(palette: PersonalPalette, size: tuple[int, int] = SIZE) -> bytes:
    """Return the lock screen as a PNG of a size in pixels, width and height.

    Raises `MissingPart` where no Noto font is installed, and `TenterError` where the size is no phone's.
    """
    return lock_screen_png(shown_on_phone(palette), size)
