"""What the phone's tests share: palettes of the invented clients with what is known of each, and their pages."""

from collections.abc import Callable
from functools import cache

import pytest

from tenter import Sitting
from tenter.consultation.personal.document import KeptPalette
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.report.phone_page.files import phone_page_file
from tenter.report.reading.content import ClientCard


@pytest.fixture(scope="session")
def kept(sitting_of: Callable[..., Sitting], names: dict[str, str]) -> Callable[[str], KeptPalette]:
    """Return the palettes of the invented clients, each made once."""

    @cache
    def made(client: str) -> KeptPalette:
        sitting = sitting_of(client)
        verdict = sitting.verdict()
        return KeptPalette(names[client], personal_palette(sitting, verdict), known_of(sitting, verdict))

    return made


@pytest.fixture(scope="session")
def page_of(kept: Callable[[str], KeptPalette]) -> Callable[[str], bytes]:
    """Return the phone pages of the invented clients, each made once."""

    @cache
    def made(client: str) -> bytes:
        one = kept(client)
        return phone_page_file(ClientCard(one.client, "The North Room", "", "2026-03-14"), one.palette, one.known)

    return made
