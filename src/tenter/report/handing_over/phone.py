"""What the client carries on the phone, as files: the page that works offline, and the picture for the lock screen."""

from collections.abc import Iterator
from dataclasses import asdict, replace

from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.personal.document import palette_document
from tenter.consultation.personal.suitability import Known
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.errors import MissingPart
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.report.phone_page.files import lock_screen_file, phone_page_file
from tenter.report.reading.content import ClientCard


def drawn_phone_page(
    client: ClientCard, palette: PersonalPalette, known: Known, wishes: Wishes = NO_WISHES
) -> HandedFile:
    """Return the page for the client's phone, one file. What was just drawn is not drawn again."""
    told = ["page", asdict(client), palette_document("", palette, known), repr(wishes)]
    content = _JUST_DRAWN.of(told, lambda: phone_page_file(client, palette, known, wishes))
    return HandedFile(file_name(client, "phone", "html"), "text/html; charset=utf-8", content)


def lock_screen(client: ClientCard, palette: PersonalPalette) -> HandedFile:
    """Return the picture for the lock screen; raises `MissingPart` where no font is installed to draw it."""
    return HandedFile(file_name(client, "lock-screen", "png"), "image/png", lock_screen_file(palette))


_JUST_DRAWN: JustDrawn[bytes] = JustDrawn(most=1)


def for_phone(
    client: ClientCard, palette: PersonalPalette, known: Known, wishes: Wishes = NO_WISHES
) -> Iterator[HandedFile]:
    """Yield both; where the picture cannot be drawn the page is all, and a note of it says why."""
    page = drawn_phone_page(client, palette, known, wishes)
    try:
        picture = lock_screen(client, palette)
    except MissingPart as error:
        yield replace(page, notes=(*page.notes, f"there is no lock screen: {error}"))
        return
    yield from (page, picture)
