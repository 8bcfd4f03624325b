"""Readings in CxF3 (ISO 17972-1): objects with a reflectance spectrum, CIELAB, CIELCh or CIEXYZ.

Source: the CxF3 core schema as the library colour-cxf 0.1.1 has it. XYZ are taken as percent, spectra as parts of one.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element

from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.tables import Faults, TableRow
from tenter.consultation.readings.cgats_readings import day_said, ultraviolet_said
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances, Ultraviolet
from tenter.consultation.readings.given_colour import OF_PERCENT
from tenter.consultation.readings.plain_xml import local_name, parse_xml
from tenter.consultation.readings.reading_rows import ReadingDefaults, RowsOfReadings, good_readings
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_number
from tenter.language import N_, _, as_typed

# Of the schema's illuminants those that Tenter has, under the schema's name of each.
CXF_ILLUMINANTS = {name: name for name in ("A", "C", "D50", "D55", "D65", "D75")} | {
    f"FL{n}": f"F{n}" for n in (2, 3, 7, 9, 10, 11, 12)
}
CXF_OBSERVERS = {Observer.CIE_1931_2: "2_Degree", Observer.CIE_1964_10: "10_Degree"}
_SPECTRUM = "ReflectanceSpectrum"
_VALUES = {  # the best first
    "ColorCIELab": {"L": "L", "A": "a", "B": "b"},
    "ColorCIELCh": {"L": "L", "C": "C", "H": "h"},
    "ColorCIEXYZ": {"X": "X", "Y": "Y", "Z": "Z"},
}
_STEP_NM = 10.0  # between the samples of a spectrum whose file does not say; what most of them have
_LONGEST_NM = 2500.0  # of a wavelength: what no instrument for colours reaches
_MOST_SAMPLES = 1000  # of one spectrum: 300 to 1300 nm, one by one
_AGAIN = N_("Nothing was read; export the file again.")


def cxf_readings(content: bytes, source: str, defaults: ReadingDefaults) -> tuple[tuple[ClothReading, ...], list[str]]:
    """Return the readings of a CxF3 document, and remarks on what was not read.

    The row of a reading is the number of its object.

    Raises
    ------
    UnreadableInput
        If it is no CxF3, breaks off, has a document type, gives no colour of a cloth, or an object is at fault.
    """
    root = parse_xml(content, source)
    if local_name(root) != "CxF":
        raise UnreadableInput(source, _("this is no CxF3: it begins with <{name}>", name=local_name(root)), _(_AGAIN))
    objects = [o for collection in _all(root, "ObjectCollection") for o in _children(collection, "Object")]
    specifications = _specifications(root, source)
    found = [(row, one, value) for row, one in enumerate(objects, 1) if (value := _value(one)) is not None]
    if not found:
        raise UnreadableInput(
            source, _("no object in it gives a reflectance spectrum, CIELAB, CIELCh or CIEXYZ"), _(_AGAIN)
        )
    remarks: list[str] = []
    left = len(objects) - len(found)
    if left:
        remarks.append(
            _(
                "{count} of {total} objects give no colour of a surface and were not read.",
                count=left,
                total=len(objects),
            )
        )
    faults = Faults(source)
    _check_own_ids(faults, objects)
    lit = _said_once(found, specifications, defaults)
    readings = [
        reading
        for row, one, value in lit
        for reading in _readings(faults, row, one, value, specifications, defaults, remarks)
    ]
    _check_one_light(faults, readings)
    faults.raise_any()
    return tuple(readings), list(dict.fromkeys(remarks))


@dataclass(frozen=True, slots=True)
class _Specification:
    """What a colour specification says of the values that name it."""

    conditions: Conditions | None
    step_nm: float | None
    start_nm: float | None
    instrument: str
    backing: str
    uv: Ultraviolet


_NOTHING_SAID = _Specification(None, None, None, "", "", Ultraviolet.UNKNOWN)


def _all(element: Element, name: str) -> Iterator[Element]:
    return (one for one in element.iter() if local_name(one) == name)


def _children(element: Element, name: str) -> Iterator[Element]:
    return (one for one in element if local_name(one) == name)


def _text(element: Element | None, name: str) -> str:
    """Return the text of the first element of that name inside another, or an empty text."""
    found = None if element is None else next(_all(element, name), None)
    return "" if found is None else " ".join((found.text or "").split())


def _specifications(root: Element, source: str) -> dict[str, _Specification]:
    try:
        return {one.get("Id", ""): _specification(one) for one in _all(root, "ColorSpecification")}
    except TenterError as error:
        raise UnreadableInput(source, _("a colour specification in it: {error}", error=error), _(_AGAIN)) from None


def _specification(element: Element) -> _Specification:
    device = next(_all(element, "Device"), None)
    maker = [_text(device, "Manufacturer"), _text(device, "Model"), _text(device, "SerialNumber")]
    waves = next(_all(element, "WavelengthRange"), None)
    said = ultraviolet_said(_text(device, "DeviceIllumination"))
    return _Specification(
        conditions=_conditions(element),
        step_nm=_length(waves, "Increment"),
        start_nm=_length(waves, "StartWL"),
        instrument=" ".join(word for word in maker if word),
        backing=_text(element, "Backing"),
        uv=said if said is not Ultraviolet.UNKNOWN else ultraviolet_said(_text(device, "DeviceFilter")),
    )


def _conditions(element: Element) -> Conditions | None:
    """Return the light and observer of a specification; None where Tenter has no such illuminant."""
    lights = {name: own for own, name in CXF_ILLUMINANTS.items()}
    observers = {name: own for own, name in CXF_OBSERVERS.items()}
    light, observer = lights.get(_text(element, "Illuminant")), observers.get(_text(element, "Observer"))
    return Conditions(light, observer) if light and observer else None


def _length(element: Element | None, name: str) -> float | None:
    """Return a wavelength or a step in nm that an attribute states; None where it is not there."""
    text = "" if element is None else element.get(name, "").strip()
    if not text:
        return None
    try:
        return given_number(float(text), name, 0.1, _LONGEST_NM)
    except ValueError:
        raise TenterError(
            _("{name} is {text}, which is no number of nm", name=name, text=as_typed(text[:20]))
        ) from None


def _value(one: Element) -> Element | None:
    """Return the best value of an object: its spectrum, or else Lab, LCh or XYZ."""
    values = [value for group in _children(one, "ColorValues") for value in group]
    return next((v for name in (_SPECTRUM, *_VALUES) for v in values if local_name(v) == name), None)


def _check_own_ids(faults: Faults, objects: list[Element]) -> None:
    seen: dict[str, int] = {}
    for row, one in enumerate(objects, 1):
        own = one.get("Id", "").strip()
        if own and own in seen:
            faults.add(
                row,
                "Id",
                _("{id} is in object {number} already; an id is used once", id=as_typed(own), number=seen[own]),
            )
        seen.setdefault(own, row)


def _readings(
    faults: Faults,
    row: int,
    one: Element,
    value: Element,
    specifications: Mapping[str, _Specification],
    defaults: ReadingDefaults,
    remarks: list[str],
) -> tuple[ClothReading, ...]:
    said = specifications.get(value.get("ColorSpecification", ""), _NOTHING_SAID)
    name = " ".join((one.get("Name") or one.get("Id") or "").split()) or defaults.cloth
    try:
        how = _how(one, said, defaults.how, remarks)
        cells, spectrum = _cells(value, said)
    except TenterError as error:
        faults.add(row, local_name(value), str(error))
        return ()
    rows = [TableRow(row, {"cloth": name, **cells})]
    given = RowsOfReadings(faults.source, rows, spectrum, 1.0, OF_PERCENT)
    conditions = said.conditions or defaults.conditions
    return good_readings(faults, given, replace(defaults, how=how, conditions=conditions))


def _said_once(
    found: list[tuple[int, Element, Element]],
    specifications: Mapping[str, _Specification],
    defaults: ReadingDefaults,
) -> list[tuple[int, Element, Element]]:
    """Return the objects but for those without a light after the first, so that it is asked for once."""
    lit, first = [], True
    for row, one, value in found:
        said = specifications.get(value.get("ColorSpecification", ""), _NOTHING_SAID)
        needs = local_name(value) != _SPECTRUM and not (said.conditions or defaults.conditions)
        if not needs or first:
            lit.append((row, one, value))  # the first without a light is refused where rows are read
            first = first and not needs
    return lit


def _how(one: Element, said: _Specification, how: ReadingCircumstances, remarks: list[str]) -> ReadingCircumstances:
    of_type = ultraviolet_said(one.get("ObjectType", "").partition("_")[0])  # M2_Measurement
    uv = next((u for u in (of_type, said.uv, how.uv) if u is not Ultraviolet.UNKNOWN), Ultraviolet.UNKNOWN)
    created = next((" ".join((d.text or "").split()) for d in _children(one, "CreationDate")), "")
    return replace(
        how,
        day=day_said(created, how.day, remarks),
        instrument=said.instrument or how.instrument,
        backing=said.backing or how.backing,
        uv=uv,
    )


def _cells(value: Element, said: _Specification) -> tuple[dict[str, str], dict[str, float]]:
    """Return the cells of a value, and the wavelength of each where it is a spectrum."""
    if local_name(value) != _SPECTRUM:
        return {column: _text(value, name) for name, column in _VALUES[local_name(value)].items()}, {}
    samples = (value.text or "").split()
    if not 0 < len(samples) <= _MOST_SAMPLES:
        raise TenterError(_("a spectrum has 1 to {most} samples; got {count}", most=_MOST_SAMPLES, count=len(samples)))
    start = _length(value, "StartWL") or said.start_nm
    if start is None:
        raise TenterError(_("nothing says at which wavelength the spectrum begins (StartWL)"))
    step = _length(value, "Increment") or said.step_nm or _STEP_NM
    wavelengths = {f"{start + k * step:g}": start + k * step for k in range(len(samples))}
    return dict(zip(wavelengths, samples, strict=True)), wavelengths


def _check_one_light(faults: Faults, readings: list[ClothReading]) -> None:
    """Note where the colours of a file are for several lights; a spectrum is for none of them."""
    colours = [one for one in readings if one.reflectance is None]
    for one in colours:
        first = colours[0]
        if one.conditions != first.conditions:
            problem = _(
                "{conditions} where row {line} has {shared}; a file has one",
                conditions=one.conditions,
                line=first.row,
                shared=first.conditions,
            )
            faults.add(one.row, "ColorSpecification", problem)
