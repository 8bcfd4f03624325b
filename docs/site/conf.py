"""How Sphinx builds the site from what `build.py` has laid ready; nothing of it comes from the network."""

from importlib.metadata import version as version_of
from typing import Any

from pygments.lexers.special import TextLexer
from sphinx.addnodes import pending_xref

project = "Tenter"
author = copyright = "the Tenter project"
version = release = version_of("tenter")

extensions = ["myst_parser"]
root_doc = "index"
myst_heading_anchors = 4  # every heading can be linked to, and a link to one that is gone fails
myst_enable_extensions = ["colon_fence"]
html_use_index = False  # some three thousand names; the search finds them
html_domain_indices = False
toc_object_entries = False  # the contents beside a page name its modules
default_role = "literal"  # what docstrings write in back quotes is code
python_maximum_signature_line_length = 88  # characters, what a page of 1280 pixels shows without scrolling

html_theme = "furo"  # draws with the fonts of the machine
html_title = "Tenter"
html_show_sphinx = False
html_copy_source = False
html_static_path = ["site/static"]
html_css_files = ["tenter.css"]
pygments_style = "friendly"
pygments_dark_style = "monokai"


def setup(app: Any) -> None:
    """Leave the types of signatures as plain words: Sphinx would search all names of the program for each of them."""
    app.connect("doctree-read", _plain_types)
    app.add_lexer("csv", TextLexer)


def _plain_types(_: Any, tree: Any) -> None:
    for reference in list(tree.findall(pending_xref)):
        if reference.get("refdomain") == "py" and not reference["reftarget"].startswith("tenter."):
            reference.replace_self(reference.children)
