"""The documentation site builds without a warning, loads nothing from a network, and lacks no name and no command."""

import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
import typer

import tenter
from tenter.cli.main import app

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
LOADED = {"src", "srcset", "data", "poster", "action", "formaction", "background"}  # attributes that fetch something
ELSEWHERE = re.compile(r"^\s*(https?:)?//", re.IGNORECASE)


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The site of this repository, built as `./run docs` builds it."""
    out = tmp_path_factory.mktemp("site") / "html"
    command = [sys.executable, str(DOCS / "site" / "build.py"), str(out)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return out


class Fetched(HTMLParser):
    """What a page loads by itself when it is opened, and the identifiers that links can lead to."""

    def __init__(self, page):
        super().__init__()
        self.addresses, self.anchors = [], set()
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name == "id":
                self.anchors.add(value)
            if value and (name in LOADED or (tag in ("link", "use", "image") and name in ("href", "xlink:href"))):
                self.addresses.append(value)


def test_no_page_loads_anything_from_a_network(site):
    pages = sorted(site.rglob("*.html"))
    found = {page.name: Fetched(page).addresses for page in pages}
    assert len(pages) > 35
    assert sum(map(len, found.values())) > 200
    assert {name: bad for name, told in found.items() if (bad := [a for a in told if ELSEWHERE.match(a)])} == {}


def test_no_style_and_no_script_loads_anything_from_a_network(site):
    files = [*site.rglob("*.css"), *site.rglob("*.js")]
    hosts = {
        (file.name, host)
        for file in files
        for line in file.read_text(encoding="utf-8").splitlines()
        if not line.lstrip().startswith(("//", "*", "/*"))  # a comment
        for host in re.findall(r"(?:https?:)?//([a-z0-9.-]+\.[a-z]{2,})", line)
    }
    assert len(files) > 5
    assert {h for h in hosts if h[1] != "www.w3.org"} == set()  # the name of SVG, which nobody fetches


def test_every_picture_has_words(site):
    pictures = [tag for page in site.rglob("*.html") for tag in re.findall(r"<img[^>]*>", page.read_text("utf-8"))]
    assert len(pictures) > 10
    assert [tag for tag in pictures if not re.search(r'alt="[^"]{10,}"', tag)] == []


def test_every_public_name_has_a_place(site):
    anchors = set().union(*(Fetched(page).anchors for page in (site / "reference" / "api").glob("*.html")))
    wanted = {f"{getattr(tenter, name).__module__}.{name}" for name in tenter.__all__}
    assert len(wanted) > 20
    assert wanted - anchors == set()


def test_every_module_below_the_doors_has_a_place(site):
    anchors = set().union(*(Fetched(page).anchors for page in (site / "reference" / "api").glob("*.html")))
    source = ROOT / "src"
    names = {
        ".".join(path.relative_to(source).with_suffix("").parts)
        for path in (source / "tenter").rglob("*.py")
        if not path.name.startswith("_")
    }
    wanted = {n for n in names if n.split(".")[1] not in ("cli", "web", "demo_studio")}
    assert len(wanted) > 200
    assert {f"module-{name}" for name in wanted} - anchors == set()


def commands(command, path):
    for word, inner in getattr(command, "commands", {}).items():
        if not inner.hidden:
            yield f"{path} {word}", inner
            yield from commands(inner, f"{path} {word}")


def test_every_command_and_option_is_told(site):
    page = (site / "reference" / "command-line.html").read_text(encoding="utf-8")
    known = dict(commands(typer.main.get_command(app), "tenter"))
    headings = re.findall(r"<h[2-4]>(tenter [^<]+)<", page)
    assert len(known) > 40
    assert sorted(headings) == sorted(known)
    parts = dict(zip(headings, re.split(r"<h[2-4]>tenter ", page)[1:], strict=True))
    lacking = [
        (name, option)
        for name, command in known.items()
        for parameter in command.params
        for option in parameter.opts
        if option.startswith("--") and option != "--help" and option not in parts[name]
    ]
    assert lacking == []


INDEX = "# Index\n\n```{toctree}\nother\n```\n\n[x](other.md#a-heading)\n"
BROKEN = {
    "a page that is not there": "[x](gone.md)",
    "a heading that is not there": "[x](other.md#gone)",
    "a picture that is not there": "![a picture of nothing](gone.png)",
}


def test_what_leads_to_a_heading_that_is_there_is_built(tmp_path):
    assert built(INDEX, tmp_path).returncode == 0


@pytest.mark.parametrize("text", BROKEN.values(), ids=BROKEN)
def test_what_leads_nowhere_fails_the_build(text, tmp_path):
    done = built(f"{INDEX}\n{text}\n", tmp_path)
    assert done.returncode == 1
    assert "gone" in done.stderr


def built(index, folder):
    staged = folder / "docs"
    shutil.copytree(DOCS / "site", staged / "site", dirs_exist_ok=True)
    shutil.copy(DOCS / "site" / "conf.py", staged)
    (staged / "index.md").write_text(index, encoding="utf-8")
    (staged / "other.md").write_text("# Other\n\n## A heading\n", encoding="utf-8")
    program = "import build, pathlib, sys; sys.exit(build.run_sphinx(*map(pathlib.Path, sys.argv[1:])))"
    command = [sys.executable, "-c", program, str(staged), str(folder / "html")]
    return subprocess.run(command, cwd=DOCS / "site", capture_output=True, text=True, check=False)
