"""Files that are no pictures, spoilt: each is read or refused plainly. `./run bench breaks` spoils many of them."""

import pytest

from studies.breaks.spoilt_texts import formats, spoilt
from tenter.errors import TenterError

EACH = 7  # every way of spoiling, once


@pytest.fixture(scope="module")
def every_format(tmp_path_factory):
    return formats(tmp_path_factory.mktemp("formats"))


def test_a_sound_file_is_read_and_a_spoilt_one_is_read_or_refused(every_format, tmp_path):
    refused, spoilt_files = 0, 0
    for form in every_format:
        path = tmp_path / f"file{form.ending}"
        path.write_bytes(form.sound)
        form.read(path)
        for _, content in spoilt(form, EACH, seed=3):
            path.write_bytes(content)
            spoilt_files += 1
            try:
                form.read(path)
            except TenterError:
                refused += 1
    assert spoilt_files == EACH * len(every_format)
    assert refused > spoilt_files / 3
