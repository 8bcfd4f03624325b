"""CxF3 (ISO 17972-1): the colours as objects with CIELAB and sRGB, each under a stated illuminant and observer.

Source: the CxF3 core schema as the library colour-cxf 0.1.1 has it; that library reads the result in the tests.
"""

from xml.sax.saxutils import escape, quoteattr

from tenter.colorimetry.measurement import Conditions
from tenter.consultation.readings.cxf import CXF_ILLUMINANTS, CXF_OBSERVERS
from tenter.errors import UnknownName
from tenter.language import _
from tenter.report.exports.colours import SCREEN, ExportColour, ExportPalette
from tenter.report.words.plain_text import one_line

_NAMESPACE = "http://colorexchangeformat.com/CxF3-core"
_PALETTE, _SCREEN = "palette", "screen"


def cxf(palette: ExportPalette) -> str:
    """Return the document (ISO 17972-1, CxF3).

    Raises `UnknownName` where the format has no name for the palette's illuminant.
    """
    objects = "\n".join(_object(colour, k, palette.date) for k, colour in enumerate(palette.colours, 1))
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="{_NAMESPACE}">
<cc:FileInformation>
<cc:Creator>Tenter</cc:Creator>
<cc:CreationDate>{palette.date}T00:00:00Z</cc:CreationDate>
<cc:Description>{escape(one_line(palette.title))}</cc:Description>
</cc:FileInformation>
<cc:Resources>
<cc:ObjectCollection>
{objects}
</cc:ObjectCollection>
<cc:ColorSpecificationCollection>
{_specification(_PALETTE, palette.conditions)}
{_specification(_SCREEN, SCREEN)}
</cc:ColorSpecificationCollection>
</cc:Resources>
</cc:CxF>
"""


def _object(colour: ExportColour, number: int, date: str) -> str:
    lightness, a, b = (f"{value + 0.0:.6f}" for value in colour.lab)
    red, green, blue = colour.rgb
    tags = {"group": colour.group, "part": colour.part, "basis": colour.basis, "title": colour.title}
    drawn = "".join(f"<cc:Tag Name={quoteattr(k)} Value={quoteattr(one_line(v))}/>" for k, v in tags.items() if v)
    in_srgb = "yes" if colour.in_srgb else "no"
    return f"""<cc:Object ObjectType="Standard" Name={quoteattr(one_line(colour.name))} Id="c{number}">
<cc:CreationDate>{date}T00:00:00Z</cc:CreationDate>
<cc:ColorValues>
<cc:ColorCIELab ColorSpecification="{_PALETTE}">
<cc:L>{lightness}</cc:L><cc:A>{a}</cc:A><cc:B>{b}</cc:B>
</cc:ColorCIELab>
<cc:ColorSRGB ColorSpecification="{_SCREEN}">
<cc:R>{red}</cc:R><cc:G>{green}</cc:G><cc:B>{blue}</cc:B>
</cc:ColorSRGB>
</cc:ColorValues>
<cc:TagCollection Name="Tenter">{drawn}<cc:Tag Name="inside sRGB" Value="{in_srgb}"/></cc:TagCollection>
</cc:Object>"""


def _specification(name: str, conditions: Conditions) -> str:
    if conditions.illuminant not in CXF_ILLUMINANTS:
        raise UnknownName(_("illuminant of CxF3"), conditions.illuminant, CXF_ILLUMINANTS)
    return f"""<cc:ColorSpecification Id="{name}">
<cc:TristimulusSpec>
<cc:Illuminant>{CXF_ILLUMINANTS[conditions.illuminant]}</cc:Illuminant>
<cc:Observer>{CXF_OBSERVERS[conditions.observer]}</cc:Observer>
<cc:Method>unknown</cc:Method>
</cc:TristimulusSpec>
<cc:MeasurementSpec>
<cc:MeasurementType>Colorimetric_Reflectance</cc:MeasurementType>
<cc:GeometryChoice><cc:UnknownGeometry>computed</cc:UnknownGeometry></cc:GeometryChoice>
</cc:MeasurementSpec>
</cc:ColorSpecification>"""
