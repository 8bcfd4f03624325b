"""What the tests of several commands share."""

import pytest

from tenter import translations
from tests.support.pseudo import TAG, write_catalogue


@pytest.fixture
def spoken(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the tag of the language that nobody speaks, which Tenter then has the catalogue of."""
    folder = write_catalogue(tmp_path_factory.mktemp("catalogues"))
    monkeypatch.setattr(translations, "catalogue_folder", lambda: folder)
    return TAG
