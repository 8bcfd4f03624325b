"""Labels to stick on the cloths: a short number, the name, and a QR code, on sheets to print and cut."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import islice
from typing import Final
from urllib.parse import quote

from tenter.consultation.cloths.kit import Drape
from tenter.errors import TenterError
from tenter.given import given_number
from tenter.language import N_, _, as_written, language, local_number
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.drawing.pdf import pdf_bytes
from tenter.report.own_words.studio_words import Language, language_from
from tenter.report.words.plain_text import one_line
from tenter.report.workshop.qr_code import LEAST_SQUARE_MM, QUIET_SQUARES, qr_path, qr_squares

DEFAULT_LABEL_MM: Final = (60.0, 20.0)  # width and height
_TEMPLATE: Final = "workshop/labels.typ"
_MARGIN_MM: Final = (14.0, 20.0)  # of the page, at the sides and above and below: room for marks, heading and ruler
_WORDS_MM: Final = 20.0  # of a label's width that its words need at least
_MARK_MM: Final = (1.0, 5.0)  # of a cut mark: where it begins and ends, off the outermost labels
_RULER_MM: Final = 50.0
_HOW: Final = N_(
    "Print at 100 % on self-adhesive paper or fabric, cut from mark to mark, and stick each on its cloth’s back."
)

CutMark = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class ClothLabel:
    """One label: the number, name and place of a cloth, what its QR code says, and the code as an SVG path.

    code_told: the code for who hears the page.
    left, top: of its upper left corner on the page, in mm. squares: how many squares of the code are in a row.
    """

    number: str
    name: str
    place: str
    code: str
    code_told: str
    code_path: str
    squares: int
    left: float
    top: float


@dataclass(frozen=True, slots=True)
class LabelPage:
    """One sheet. marks: cut marks, from x, y to x, y in mm."""

    heading: str
    labels: tuple[ClothLabel, ...]
    marks: tuple[CutMark, ...]


@dataclass(frozen=True, slots=True)
class LabelSheets:
    """All that is drawn. language: what it is written in.

    page_mm, label_mm: width and height. code_mm: the side of a code with its light rim.
    """

    language: Language
    title: str
    how: str
    check: str
    ruler_mm: float
    page_mm: tuple[float, float]
    label_mm: tuple[float, float]
    code_mm: float
    pages: tuple[LabelPage, ...]


def label_sheets(
    drapes: Sequence[Drape],
    label_mm: tuple[float, float] = DEFAULT_LABEL_MM,
    paper: PaperSize = PaperSize.A4,
    address: str = "",
) -> LabelSheets:
    """Return the sheets of labels for some cloths, in their order.

    label_mm: width and height of a label. address: what stands before the number in the code, such as the address of
    the kit's page; without one the code says the number alone.

    Raises
    ------
    TenterError
        If there are no cloths, or a label is too small for its code and words, or larger than the page.
    """
    if not drapes:
        raise TenterError(_("there are no cloths to label; give a kit that has some"))
    size = _checked_size(label_mm, paper)
    codes = [address + (quote(one.id, safe="") if address else one.id) for one in drapes]
    squares = [qr_squares(code) for code in codes]
    _check_code(max(len(one) for one in squares), size)
    columns, rows = _counts(size, paper)
    drawn = list(zip(drapes, codes, squares, strict=True))
    rest = iter(drawn)
    sheets = list(iter(lambda: tuple(islice(rest, columns * rows)), ()))
    pages = []
    for number, on_sheet in enumerate(sheets, 1):
        places = _places(size, paper, len(on_sheet))
        labels = tuple(
            ClothLabel(
                number=drape.id,
                name="" if drape.name == drape.id else one_line(drape.name),
                place=one_line(drape.place),
                code=code,
                code_told=_("QR code: {text}", text=code),
                code_path=qr_path(dark),
                squares=len(dark),
                left=left,
                top=top,
            )
            for (drape, code, dark), (left, top) in zip(on_sheet, places, strict=True)
        )
        heading = _("Labels for cloths, sheet {number} of {count}", number=number, count=len(sheets))
        pages.append(LabelPage(heading, labels, _marks(places, size)))
    return LabelSheets(
        language=language_from(language().code),
        title=_("Labels for cloths"),
        how=_(_HOW),
        check=_(
            "This line is {mm} mm long. If it is not, the printer has changed the size.", mm=local_number(_RULER_MM, 0)
        ),
        ruler_mm=_RULER_MM,
        page_mm=paper.size_mm,
        label_mm=size,
        code_mm=size[1],
        pages=tuple(pages),
    )


def label_pdf(sheets: LabelSheets, iso_date: str, paper: PaperSize = PaperSize.A4) -> tuple[bytes, tuple[str, ...]]:
    """Return the sheets as a tagged PDF, and what could not be drawn; the same sheets and day give the same bytes.

    Raises
    ------
    MissingPart
        If what draws PDFs is not installed.
    """
    return pdf_bytes(_TEMPLATE, asdict(sheets), iso_date, paper)


def _checked_size(label_mm: tuple[float, float], paper: PaperSize) -> tuple[float, float]:
    (width, height), (page_width, page_height) = label_mm, paper.size_mm
    most = (page_width - 2 * _MARGIN_MM[0], page_height - 2 * _MARGIN_MM[1])
    return (
        given_number(width, _("a label's width in mm"), 1, most[0]),
        given_number(height, _("a label's height in mm"), 1, most[1]),
    )


def _check_code(squares: int, label_mm: tuple[float, float]) -> None:
    """Raise `TenterError` where a phone could not read the code, or no words fit beside it."""
    width, height = label_mm
    least = LEAST_SQUARE_MM * (squares + 2 * QUIET_SQUARES)
    if height < least:
        raise TenterError(
            _(
                "a label {height} mm high is too low for its code, which a phone reads from {least} mm on; make "
                "it higher, or give a shorter address",
                height=as_written(f"{height:g}"),
                least=as_written(f"{least:.1f}"),
            )
        )
    if width < height + _WORDS_MM:
        raise TenterError(
            _(
                "a label {width} mm wide has no room for number and name beside its code; make it {least} mm "
                "wide or more",
                width=as_written(f"{width:g}"),
                least=as_written(f"{height + _WORDS_MM:g}"),
            )
        )


def _counts(label_mm: tuple[float, float], paper: PaperSize) -> tuple[int, int]:
    """Return how many columns and rows of labels a page has."""
    sizes = zip(paper.size_mm, _MARGIN_MM, label_mm, strict=True)
    columns, rows = (int((page - 2 * margin + 1e-9) // label) for page, margin, label in sizes)
    return columns, rows


def _places(label_mm: tuple[float, float], paper: PaperSize, count: int) -> list[tuple[float, float]]:
    """Return the upper left corners of labels in mm: edge to edge, row by row, in the middle of the page's width."""
    (width, height), columns = label_mm, _counts(label_mm, paper)[0]
    left = (paper.size_mm[0] - columns * width) / 2
    return [(left + k % columns * width, _MARGIN_MM[1] + k // columns * height) for k in range(count)]


def _marks(places: Sequence[tuple[float, float]], label_mm: tuple[float, float]) -> tuple[CutMark, ...]:
    """Return cut marks in the margin at every line that is cut, so that a whole sheet is cut from mark to mark."""
    width, height = label_mm
    lines_x = sorted({round(x + step, 6) for x, _ in places for step in (0.0, width)})
    lines_y = sorted({round(y + step, 6) for _, y in places for step in (0.0, height)})
    near, far = _MARK_MM
    marks: list[CutMark] = []
    for x in lines_x:
        marks += [(x, lines_y[0] - near, x, lines_y[0] - far), (x, lines_y[-1] + near, x, lines_y[-1] + far)]
    for y in lines_y:
        marks += [(lines_x[0] - near, y, lines_x[0] - far, y), (lines_x[-1] + near, y, lines_x[-1] + far, y)]
    return tuple(marks)
