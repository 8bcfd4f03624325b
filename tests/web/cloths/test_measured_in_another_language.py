"""Photographs of cloths that were measured in English, read in a language that has no letter of English."""

import pytest

from tests.support.cloth_studio import print_picture, sent, shaded_rack_picture
from tests.support.photo_studio import portrait
from tests.web.other_language import left_in_english, speak_another_language

pytestmark = pytest.mark.usefixtures("folder")
SAID_ALIKE = "Lab", "count"  # the second is filled in by a script


def test_what_was_read_of_cloths_in_english_is_said_in_the_language_of_the_page(visitor, owner, tmp_path, settings):
    rows = [
        *(sent(visitor, picture) for picture in (shaded_rack_picture(), portrait())),
        sent(visitor, print_picture(), shows="cloth"),
    ]
    speak_another_language(owner, tmp_path, settings)
    pages = [visitor.get(f"/kit/cloths/{row.pk}").text for row in rows]
    assert [left_in_english(page, *SAID_ALIKE) for page in pages] == [[]] * len(rows)
