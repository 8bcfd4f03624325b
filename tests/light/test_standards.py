from pathlib import Path

from tenter.light.standards import standard_figures, standards_in_a_line, standards_on


def test_every_figure_says_where_it_was_read():
    figures = standard_figures()
    assert len(figures) == 13
    assert all(f.standard and f.item and f.value and f.status for f in figures)
    assert {f.of for f in figures} == {"", "lux", "cct", "ra", "duv"}


def test_a_figure_from_memory_is_marked():
    assert any("ISO 3668:2017" in s and "1000 to 4000 lx" in s and "clause 5.2" in s for s in standards_on("lux"))
    remembered = [f for f in standard_figures() if "memory" in f.status]
    assert len(remembered) == 6
    assert all("check before use" in f.sentence for f in remembered)
    assert standards_on("r9") == ()


def test_in_a_line_each_standard_comes_once_and_what_is_from_memory_is_starred():
    line = standards_in_a_line("lux")
    assert line.startswith("1000 to 4000 lx, the upper end for dark colours (ISO 3668:2017); ")
    assert line.endswith(
        "2000 lx ± 500 for critical comparison*, 500 lx ± 125 for practical appraisal* (ISO 3664:2009)"
    )
    assert standards_in_a_line("r9") == ""


def test_the_document_has_every_figure_and_where_it_was_read():
    text = (Path(__file__).parents[2] / "docs" / "how-it-works" / "light.md").read_text(encoding="utf-8")
    for figure in standard_figures():
        assert f"| {figure.standard} | {figure.item} | {figure.value} | {figure.status} |".replace("*", r"\*") in text
