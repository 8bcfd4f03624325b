"""Every colour of a page has the neutral grey around it: read from templates and style sheets alone."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

import tenter.web

WEB = Path(tenter.web.__file__).parent
SHEETS = "".join(sheet.read_text(encoding="utf-8") for sheet in (WEB / "static" / "tenter").glob("*.css"))
NO_PAGE = {"archive.html"}  # a file that a client takes along, for their own paper
OF_STUDIO = ("words-picture-shown", "{% static")  # logos, signatures and our own drawings: no colours to look at
ON_GREY = {"on-grey", "shot"}
# What is all on grey, by the class of its body, and which templates are its parts.
WHOLE_PAGES = {"palette-page": "verdict/palette", "turned-page": "verdict/verdict.html", "screen": "screen/"}
CHIP = re.compile(r'\{% include "tenter/chip\.html"([^%]*)%\}')


class Painted(HTMLParser):
    """The colours and pictures of a template that have nothing on grey around them."""

    def __init__(self) -> None:
        super().__init__()
        self.around: list[tuple[str, bool]] = []
        self.colours: list[bool] = []

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        grey = any(grey for _tag, grey in self.around) or bool(ON_GREY & set((said.get("class") or "").split()))
        shows = tag == "img" and not any(place in (said.get("src") or "") for place in OF_STUDIO)
        if shows or "hex" in (said.get("fill") or ""):
            self.colours.append(grey)
        if tag not in ("img", "input", "br", "link", "meta", "rect"):
            self.around.append((tag, grey))

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if self.around and self.around[-1][0] == tag:
            self.around.pop()

    def handle_endtag(self, tag):
        opened = [place for place, (name, _grey) in enumerate(self.around) if name == tag]
        self.around = self.around[: opened[-1]] if opened else self.around


def colours_of(path):
    """Return of each colour of a template whether it lies on grey; a chip that does not stand alone is one, too."""
    text = path.read_text(encoding="utf-8")
    told = CHIP.sub(lambda found: "" if "alone=True" in found[1] else '<rect fill="{{ swatch.hex }}"/>', text)
    reader = Painted()
    reader.feed(re.sub(r"\{% (?:if|elif)[^%]*%\}|\{% (?:else|endif) %\}", "", told))
    return reader.colours


TEMPLATES = [path for path in sorted(WEB.rglob("*.html")) if path.name not in NO_PAGE and colours_of(path)]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_what_paints_a_colour_lies_on_the_neutral_grey(path):
    # Common practice, no source: beside white or a colour, what one looks at seems darker or turned in hue.
    whole = any(part in path.as_posix() for part in WHOLE_PAGES.values())
    assert whole or all(colours_of(path))


def test_the_templates_that_paint_are_found():
    assert len(TEMPLATES) >= 25
    assert sum(len(colours_of(path)) for path in TEMPLATES) >= 35


def test_what_is_called_so_is_the_grey_around_colours():
    assert re.search(r"\.on-grey \{ padding: var\(--around\); background: var\(--surround\);", SHEETS)
    assert re.search(r"\.shot \{[^}]*outline: var\(--around\) solid var\(--surround\)", SHEETS)
    for name in WHOLE_PAGES:
        assert re.search(rf"\.{name} \{{ background: var\(--surround\);", SHEETS), name
        assert any(f"{{% block body_class %}}{name}" in path.read_text("utf-8") for path in WEB.rglob("*.html")), name
    others = r"\.(on-grey|swatches|one-region|two-drapes)\b[^{}]*\{[^}]*background: (?!var\(--surround\))"
    assert not re.search(others, SHEETS)
