"""Builds the documentation site: lays the pages ready, writes the reference from the program, runs Sphinx strictly.

python docs/site/build.py OUT

A broken link, a link to a heading that is gone, a picture that is missing or a page that no list names fails the build.
"""

import re
import shutil
import subprocess
import sys
import tempfile
from os.path import relpath
from pathlib import Path

from api_pages import write_api
from command_pages import write_commands

ROOT = Path(__file__).parents[2]
PROJECT = {  # documents that a reader of the repository looks for at its top
    ROOT / "ARCHITECTURE.md": "project/architecture.md",
    ROOT / "CONTRIBUTING.md": "project/contributing.md",
    ROOT / "SECURITY.md": "project/security.md",
    ROOT / "CHANGELOG.md": "project/changelog.md",
}
_LINK = re.compile(r"\[(?P<words>[^][]*)\]\((?P<file>[^)#\s:]+)(?P<heading>#[^)\s]*)?\)")


def lay_ready(docs: Path, staged: Path) -> None:
    """Copy the documents to `staged`, and those at the top of the repository with their links bent."""
    shutil.copytree(docs, staged, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    shutil.copy(docs / "site" / "conf.py", staged)
    for source, name in PROJECT.items():
        page = staged / name
        page.parent.mkdir(exist_ok=True)
        page.write_text(source.read_text(encoding="utf-8"), encoding="utf-8")
    places = {path: staged / path.relative_to(docs) for path in docs.rglob("*")}
    places |= {path: staged / name for path, name in PROJECT.items()}
    for path, page in places.items():
        if page.suffix == ".md":
            page.write_text(_bent(path, page, places), encoding="utf-8")


def _bent(path: Path, page: Path, places: dict[Path, Path]) -> str:
    """Return the text of a document with its links leading to where the documents are laid."""

    def bend(found: re.Match[str]) -> str:
        target = (path.parent / found["file"]).resolve()
        if target not in places:
            return found[0]
        words = _title(target) if found["words"].endswith(target.name) else found["words"]
        return f"[{words}]({relpath(places[target], page.parent)}{found['heading'] or ''})"

    return _LINK.sub(bend, path.read_text(encoding="utf-8"))


def _title(document: Path) -> str:
    """Return what a reader of the site knows a document by, in place of the name of its file."""
    first = document.read_text(encoding="utf-8").lstrip().splitlines()[0]
    return first.removeprefix("# ") if document.suffix == ".md" else document.name


def run_sphinx(staged: Path, out: Path) -> int:
    """Build pages that lie ready into `out`, in place of what was there, and return Sphinx's exit code."""
    shutil.rmtree(out, ignore_errors=True)
    sphinx = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-b", "html"]
    with tempfile.TemporaryDirectory() as trees:
        return subprocess.run([*sphinx, "-d", trees, str(staged), str(out)], check=False).returncode


def main(out: Path) -> int:
    """Build the site of this repository into `out`."""
    with tempfile.TemporaryDirectory() as folder:
        staged = Path(folder) / "docs"
        lay_ready(ROOT / "docs", staged)
        write_api(ROOT / "src" / "tenter", staged / "reference" / "api")
        write_commands(staged / "reference" / "command-line.md")
        return run_sphinx(staged, out)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
