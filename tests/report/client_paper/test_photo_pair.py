"""Two photographs on the papers: of one size, spoken, and nothing at all where there are none."""

from dataclasses import replace

import numpy as np
import pytest

from tenter.photo.together.side_by_side import SideBySide
from tenter.report.client_paper.content import client_paper
from tenter.report.client_paper.pdf import write_client_paper
from tenter.report.client_paper.photo_pair import photo_pair
from tenter.report.studio_sheet.content import studio_sheet
from tenter.report.studio_sheet.pdf import write_studio_sheet
from tests.support.clients.invented_palette import invented_palette
from tests.support.tag_tree import tags


def papers(sitting, sheet, card, pair):
    palette = invented_palette()
    yield write_client_paper, replace(client_paper(card(), sitting, palette), photographs=pair)
    yield write_studio_sheet, studio_sheet(sheet, sitting.kit, palette, pair)


@pytest.mark.parametrize("count", [0, 2])
def test_both_papers_print_them_or_nothing(sitting_of, sheet_of, card, tmp_path, count):
    pixels = np.full((60, 46, 3), 150, np.uint8)
    pair = photo_pair(SideBySide((pixels, pixels)), agreed=True) if count else None
    for write, paper in papers(sitting_of("K3"), sheet_of("K3"), card, pair):
        assert write(paper, tmp_path / "paper.pdf") == ()
        told = [t.alt for page in tags(tmp_path / "paper.pdf") for t in page if "corrected by the card" in t.alt]
        assert len(told) == count
        assert len(set(told)) == count
        assert len(tags(tmp_path / "paper.pdf")) <= 5
