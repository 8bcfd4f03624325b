"""What the page of photographed cloths shows: the picture with its numbers, the places as they hang, each colour."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from tenter.consultation.cloths.photographed import PhotographedCloth
from tenter.language import as_written
from tenter.report.pictures.card_edge import DrawnEdge
from tenter.report.pictures.cloth_picture import DrawnCloth, cloth_overlay_svg
from tenter.web.cloths.forms import NumbersForm
from tenter.web.models import ClothPhotograph
from tenter.web.pictures.cloth_measuring import ClothResult
from tenter.web.pictures.measuring import only_covered


def read_places(result: ClothResult) -> list[str]:
    """Return the places whose cloth has a colour, in their order."""
    return [cloth["key"] for cloth in result.picture["cloths"] if cloth["key"] in result.picture["colours"]]


def cloth_page_content(row: ClothPhotograph, result: ClothResult, form: NumbersForm | None = None) -> dict[str, Any]:
    """Return what the page shows; `form` holds numbers that were typed and cannot be."""
    shown = _as_written(result.picture)
    numbers = {key: form.data.get(key, "") for key in form.fields} if form else row.numbers
    form = form or NumbersForm(read_places(result), initial=numbers)
    places = [_place(cloth, shown["colours"], form, numbers) for cloth in shown["cloths"]]
    return {
        "shown": shown,
        "lines": lines(shown, numbers),
        "numbers_form": form,
        "grid": _grid(places),
        "places": places,
        "read": [place for place in places if place["colour"]],
        "unread": [place for place in places if not place["colour"]],
        "outline": json.dumps(result.where.outline),
        "only_covered": only_covered(reason["code"] for reason in result.document["reasons"]),
        "called_even": result.where.evenly_lit,
        "first": next((numbers[key] for key in read_places(result) if numbers.get(key)), ""),
    }


def _as_written(picture: Mapping[str, Any]) -> dict[str, Any]:
    """Return a picture with the numbers of its colours as the language writes them."""
    return {
        **picture,
        "colours": {key: _values_written(colour) for key, colour in picture["colours"].items()},
        "palette": [_values_written(colour) for colour in picture["palette"]],
    }


def _values_written(colour: Mapping[str, Any]) -> dict[str, Any]:
    return {**colour, "values": [as_written(value) for value in colour["values"]]}


def _place(
    cloth: Mapping[str, Any], colours: Mapping[str, Any], form: NumbersForm, numbers: Mapping[str, str]
) -> dict[str, Any]:
    key = cloth["key"]
    faults = form.errors.get(key, ()) if form.is_bound else ()
    return {
        **cloth,
        "name": _("Row %(row)s, column %(column)s") % {"row": cloth["row"], "column": cloth["column"]},
        "colour": colours.get(key),
        "number": numbers.get(key, ""),
        "faults": list(faults),
    }


def _grid(places: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the places as they hang: rows of columns."""
    rows = sorted({place["row"] for place in places})
    return [{"row": row, "places": [place for place in places if place["row"] == row]} for row in rows]


def lines(shown: Mapping[str, Any], numbers: Mapping[str, str]) -> SafeString:
    """Return the lines upon the photograph: drawn by us, with every number in them escaped."""
    cloths = [DrawnCloth(**cloth) for cloth in shown["cloths"]]
    marked = {key: number for key, number in numbers.items() if key in shown["colours"]}
    if shown["palette"]:
        marked = {cloth.key: " " for cloth in cloths}
    edges = [DrawnEdge.from_plain(edge) for edge in shown.get("edges", ())]  # what was kept before has none
    return mark_safe(cloth_overlay_svg((shown["width"], shown["height"]), shown["card"], cloths, marked, edges))


def cloths_in(row: ClothPhotograph, result: ClothResult) -> list[PhotographedCloth]:
    """Return the cloths that have a colour and a number, in their order."""
    document = result.document
    if row.shows == ClothPhotograph.Shows.RACK:
        cells = {f"r{cell['row']}c{cell['column']}": cell for cell in document["cells"]}
    else:
        cells = dict.fromkeys(read_places(result), document)
    return [
        _photographed(row.numbers[key], cells[key]["cloth"], cells[key].get("doubt"))
        for key in read_places(result)
        if row.numbers.get(key)
    ]


def _photographed(number: str, colour: Mapping[str, Any], doubt: str | None) -> PhotographedCloth:
    low, high = np.array(colour["lab_interval_90"], dtype=float).T
    return PhotographedCloth(number, np.array(colour["lab"], dtype=float), (high - low) / 2, doubt or "")
