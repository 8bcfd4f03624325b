"""A drawing that was made as SVG, as a PNG file, drawn by typst."""

from typing import Final

from tenter.report.drawing.typesetting import typst_for

_PAGE: Final = b'#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")\n'


def svg_png(svg: str, pixels_per_inch: float = 144) -> bytes:
    """Return an SVG as a PNG; the same drawing gives the same bytes on one machine.

    pixels_per_inch: in pixels to the inch, of which an SVG counts 96 of its units; 144 make 1440 pixels of 960 units.

    Raises
    ------
    MissingPart
        If what draws it is not installed.
    """
    drawn: bytes | list[bytes] = typst_for("a PNG").compile(
        _PAGE, format="png", ppi=pixels_per_inch, sys_inputs={"svg": svg}, timestamp=0
    )
    return drawn[0] if isinstance(drawn, list) else drawn
