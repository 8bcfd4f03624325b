"""The guide and the how-to pages name what the screens show."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
GUIDES = sorted((ROOT / "docs" / "guide").glob("*.md"))
PAGES = (*GUIDES, *sorted((ROOT / "docs" / "how-to").glob("*.md")))
SCREENS = [p for p in (ROOT / "src" / "tenter").rglob("*") if p.suffix in (".html", ".py", ".js")]


def labels(guide):
    """Return what a page says is on a screen: words between single asterisks."""
    text = re.sub(r"```.*?```|\\\*", "", guide.read_text(encoding="utf-8"), flags=re.DOTALL)
    return re.findall(r"(?<!\*)\*([A-Z][^*\n]+)\*(?!\*)", text)


def on_screens():
    shown = " ".join(path.read_text(encoding="utf-8") for path in SCREENS)
    return re.sub(r"\s+", " ", shown).replace("’", "'") + " Maren Tolliver"  # whose name comes with the demo studio


def test_what_a_page_says_is_on_a_screen_is():
    shown = on_screens()
    named = {label for page in PAGES for label in labels(page)}
    assert len(named) > 80
    assert {label for label in named if label.replace("’", "'") not in shown} == set()


@pytest.mark.parametrize("guide", GUIDES, ids=lambda path: path.stem)
def test_the_keys_of_the_guide_are_those_of_the_bench(guide):
    stage = (ROOT / "src" / "tenter" / "web" / "bench" / "templates" / "bench" / "bench_stage.html").read_text(
        encoding="utf-8"
    )
    known = {key for keys in re.findall(r'data-keys="([^"]*)"', stage) for key in keys.split()} | {"←", "→"}
    rows = re.findall(r"^\| ((?:`[^`]+`)(?: or `[^`]+`)?)[^|]*\| ", guide.read_text(encoding="utf-8"), re.MULTILINE)
    told = {key.replace("Esc", "Escape") for row in rows for key in re.findall(r"`([^`]+)`", row)}
    assert told <= known
    assert (len(told) > 5) == (guide.stem == "a-sitting")
