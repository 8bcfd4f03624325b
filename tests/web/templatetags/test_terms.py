"""Words of the trade that come as data are said in the page's language."""

from pathlib import Path

import pytest
from django.template import Context, Template

from tenter.consultation.axes import Axis
from tenter.consultation.compared.agreement import Compared
from tenter.language import written_in
from tenter.translations import catalogue
from tests.support.pseudo import TAG, pseudo, write_catalogue


@pytest.mark.one_database
def test_a_term_is_said_in_the_language_and_a_name_of_the_studio_as_it_is(tmp_path: Path) -> None:
    page = Template(
        '{% load terms %}{{ axis|term:"axis" }}, {{ how|term:"two readings" }}, '
        '{{ known|term:"season" }}, {{ own|term:"season" }}'
    )
    said = Context({"axis": Axis.DEPTH, "how": Compared.OPEN, "known": "soft summer", "own": "spring at the sea"})
    assert page.render(said) == "depth, both open, soft summer, spring at the sea"
    with written_in(catalogue(TAG, write_catalogue(tmp_path))):
        told = [pseudo(word) for word in ("depth", "both open", "soft summer")]
        assert page.render(said) == ", ".join([*told, "spring at the sea"])
