"""XML from elsewhere, read as a plain tree: no document type, no entities of its own, nothing fetched, nothing endless.

A document type is where an XML file can make itself grow without end or ask for other files, and no format that is
read here has one: a file with one is refused as soon as it begins.
"""

from typing import NoReturn
from xml.etree.ElementTree import Element, ParseError, TreeBuilder
from xml.parsers import expat

from tenter.errors import UnreadableInput
from tenter.language import _

_DEEPEST = 40  # elements inside one another; CxF3 has nine
_MOST_ELEMENTS = 400_000  # 20 MB of the smallest there are, and what a tree of them takes in memory: 100 MB


def parse_xml(content: bytes, source: str) -> Element:
    """Return the root of an XML document; tags are '{namespace}name', as `xml.etree` has them.

    Raises
    ------
    UnreadableInput
        If it is not well-formed, breaks off, has a document type, or is deeper or longer than any file of readings.
    """
    builder = _Bounded(source)
    parser = expat.ParserCreate(namespace_separator="}")
    parser.StartDoctypeDeclHandler = builder.refuse_document_type
    parser.EntityDeclHandler = builder.refuse_document_type
    parser.StartElementHandler, parser.EndElementHandler = builder.start, builder.end
    parser.CharacterDataHandler = builder.data
    parser.buffer_text = True
    try:
        parser.Parse(content, True)
        return builder.root()
    except expat.ExpatError as error:
        problem = _(
            "line {number}: {error}; the XML is broken or breaks off",
            number=error.lineno,
            error=expat.ErrorString(error.code),
        )
        raise UnreadableInput(source, problem, _("Nothing was read; export the file again.")) from None
    except (ParseError, ValueError, LookupError) as error:  # an encoding that there is not, half a letter
        raise UnreadableInput(
            source, _("this is not XML ({error})", error=error), _("Nothing was read; export the file again.")
        ) from None


class _Bounded:
    """Builds the tree, and stops where it grows beyond any file of readings."""

    def __init__(self, source: str) -> None:
        self.source, self.tree = source, TreeBuilder()
        self.depth = self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth, self.count = self.depth + 1, self.count + 1
        if self.depth > _DEEPEST or self.count > _MOST_ELEMENTS:
            self._refuse(
                _("the XML is more than {most} elements deep", most=_DEEPEST)
                if self.depth > _DEEPEST
                else _("the XML is more than {most} elements long", most=_MOST_ELEMENTS),
                _("Nothing was read; a file of readings is far smaller."),
            )
        self.tree.start(_named(tag), {_named(name): value for name, value in attributes.items()})

    def end(self, tag: str) -> None:
        self.depth -= 1
        self.tree.end(_named(tag))

    def data(self, text: str) -> None:
        self.tree.data(text)

    def root(self) -> Element:
        return self.tree.close()

    def refuse_document_type(self, *_event: object) -> NoReturn:
        self._refuse(
            _("it has a document type (DOCTYPE), which could make it grow without end or fetch other files"),
            _("Nothing was read; export the file again without one."),
        )

    def _refuse(self, problem: str, remedy: str) -> NoReturn:
        raise UnreadableInput(self.source, problem, remedy)


def _named(tag: str) -> str:
    return f"{{{tag}" if "}" in tag else tag


def looks_like_xml(content: bytes) -> bool:
    """Return whether a file's content begins as XML does, in UTF-8 or UTF-16."""
    return content.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"<" or content[:4] in (b"\xff\xfe<\0", b"\xfe\xff\0<")


def local_name(element: Element) -> str:
    """Return an element's name without its namespace."""
    return element.tag.rpartition("}")[2]
