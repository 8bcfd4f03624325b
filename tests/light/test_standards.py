from tenter.light.standards import standard_figures, standards_on


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
