"""The drawn map shows the tables that the imports are held to, and nothing that is not in them."""

import re
from itertools import pairwise
from xml.etree import ElementTree

from studies.written import write_map

MAY_IMPORT = {"low": set(), "pure": set(), "middle": {"low"}, "top": {"low", "middle", "pure"}, "door": {"middle"}}


def test_the_map_is_drawn_from_the_tables_as_they_are():
    assert write_map.MAP.read_text(encoding="utf-8") == write_map.map_svg()


def test_every_layer_and_room_is_on_it_once():
    texts = [t.text for t in ElementTree.fromstring(write_map.map_svg()).iter("{http://www.w3.org/2000/svg}text")]
    rooms = [room for layer in write_map.table("ROOMS").values() for room in layer]
    assert sorted(texts[:-1]) == sorted([*write_map.table("MAY_IMPORT"), *rooms])


def test_what_imports_is_above_what_it_imports():
    bands = write_map.from_above(MAY_IMPORT)
    height = {layer: -number for number, band in enumerate(bands) for layer in band}
    assert all(height[layer] > height[below] for layer in MAY_IMPORT for below in MAY_IMPORT[layer])
    assert {layer for band in bands for layer in band} == set(MAY_IMPORT)


def test_no_room_lies_on_another_or_leaves_the_picture():
    boxes = list(write_map.laid_out([f"room_{'x' * (n % 9)}_{n}" for n in range(40)], 0.0))
    assert len({box.top for box in boxes}) > 1
    for one, after in pairwise(boxes):
        assert one.left + one.width < write_map.WIDTH
        assert after.left > one.left + one.width or after.top > one.top


def test_the_map_loads_nothing_from_elsewhere():
    assert re.findall(r"https?://[^\"]*", write_map.map_svg()) == ["http://www.w3.org/2000/svg"]


def _glossary():
    text = write_map.ARCHITECTURE.read_text(encoding="utf-8").partition("## Glossary")[2].partition("\n## ")[0]
    return [line.strip("| ").split(" | ") for line in text.splitlines() if line.startswith("| ")][2:]


def test_each_term_of_the_glossary_is_where_it_says():
    terms = _glossary()
    assert 20 <= len(terms) <= 40
    assert len({term for term, _what, _where in terms}) == len(terms)
    for term, _what, where in terms:
        name, place = re.fullmatch(r"`(\w+)` in `([\w/]+\.py)`", where).groups()
        code = (write_map.ROOT / "src" / "tenter" / place).read_text(encoding="utf-8")
        assert re.search(rf"^(class|def) {name}\b", code, re.MULTILINE), (term, name, place)
