"""What a client's taken back consent shows, in a real browser: it fits every screen, and axe finds nothing."""

import pytest

from studies.web.live_studio import Visitor
from tests.support.in_browser import at_every_width, fits, violations

pytestmark = pytest.mark.browser


@pytest.fixture
def stopped(studio):
    """The second client has taken the consent to the analysis back; afterwards they agree again."""
    visitor = Visitor(studio)
    visitor.log_in()
    visitor.get("/people/2/consents")
    visitor.post("/people/2/consents/take-back", {"purpose": "analysis"})
    yield
    visitor.post("/people/2/consents", {"purposes": "analysis"})


def test_the_pages_of_a_stopped_sitting_fit_every_screen_and_axe_finds_nothing(page, stopped):
    for address in ("/sittings/2", "/sittings/2/verdict", "/sittings/2/palette", "/sittings/2/papers", "/people/2"):
        for width in at_every_width(page, address):
            assert fits(page), (address, width)
            assert violations(page) == [], (address, width)
