"""A palette as a JSON object, and back: complete, so that a garment can be checked from this file alone.

It carries the colours with what is known of each, what is known of the client, and the method, an own one included.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import numpy as np

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.consultation.colours.colours import (
    Basis,
    Honoured,
    MissingHue,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
    Suited,
)
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_fields import Fields, choice, finite_number, items, truth, within
from tenter.consultation.conventions.method_writing import method_document
from tenter.consultation.personal.suitability import Known
from tenter.consultation.words.odds_words import OddsWord
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path, shown
from tenter.inference.utility import Shape, UtilityForm
from tenter.language import N_, _, in_a_row

_DECIMALS = 6  # of a probability and a suitability in the file
T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class KeptPalette:
    """A palette with what is known of its client: what a file holds, and what a garment is checked against."""

    client: str
    palette: PersonalPalette
    known: Known


# -- writing -----------------------------------------------------------------------------------------------------------


def palette_document(client: str, palette: PersonalPalette, known: Known) -> dict[str, object]:
    """Return a palette as plain values for JSON."""
    conditions = palette.conditions
    light = {"illuminant": conditions.illuminant, "observer": str(conditions.observer)}
    every = palette.every
    return {
        "client": client,
        "categories": list(palette.categories),
        "odds_word": str(palette.odds_word),
        "by_judgement": palette.by_judgement,
        "colours": [_colour(c, light) for c in every],
        "missing": [{"hue_family": str(m.hue_family), "instead": m.instead} for m in palette.missing],
        "staples": [
            {"name": s.name, "lab": list(s.lab), "answer": str(s.answer), "swap_for": s.swap_for}
            for s in palette.staples
        ],
        "wishes": [{"sentence": h.sentence, "answer": h.answer} for h in palette.honoured],
        "probabilities": {category: round(p, _DECIMALS) for category, p in palette.probabilities.items()},
        "posterior": {
            "shapes": [{"form": s.form.value, "weights": list(s.weights), "share": s.share} for s in known.shapes],
            "ideals": known.ideals.tolist(),
            "weights": known.weights.tolist(),
        },
        "method": method_document(known.method),
    }


def _colour(colour: PaletteColour, light: Mapping[str, str]) -> dict[str, object]:
    return {
        "lab": list(colour.lab),
        **light,
        "name": colour.name,
        "hue_family": str(colour.hue_family),
        "role": str(colour.part),
        "fit": str(colour.fit),
        "basis": str(colour.basis),
        "cloth": colour.cloth,
        "suitability": round(colour.suitability, _DECIMALS),
        "interval_90": [round(end, _DECIMALS) for end in colour.interval],
        "answer": colour.answer,
        "title": colour.title,
        "chosen": colour.chosen,
    }


# -- reading -----------------------------------------------------------------------------------------------------------


def read_palette(path: str | Path) -> KeptPalette:
    """Return the palette of a file.

    Raises `UnreadableInput` naming what is wrong with it, and `TenterError` for what is no path.
    """
    source = given_path(path)
    return palette_from(json_of(read_text(source), str(source), _REMEDY), str(source))


_REMEDY = N_("A palette file is written by 'tenter palette … --out palette.json'.")


def palette_from(document: object, source: str = "palette") -> KeptPalette:
    """Return the palette of a document; raises `UnreadableInput` naming what is wrong with it."""
    if not isinstance(document, Mapping):
        raise UnreadableInput(
            source, _("a palette is one JSON object, got {document}", document=shown(document)), _(_REMEDY)
        )
    try:
        return _read(Fields(document, source))
    except UnreadableInput:
        raise
    except TenterError as error:
        raise UnreadableInput(source, str(error), _(_REMEDY)) from None


def _read(fields: Fields) -> KeptPalette:
    method = Method.of_document(fields.get("method", _mapping), f"{fields.path} [method]")
    colours, conditions = _colours(fields)
    palette = PersonalPalette(
        colours=tuple(c for c in colours if c.part is not Part.METAL and c.fit is not Suited.BORROW),
        metals=tuple(c for c in colours if c.part is Part.METAL),
        borrowed=tuple(c for c in colours if c.part is not Part.METAL and c.fit is Suited.BORROW),
        missing=tuple(_missing(f) for f in fields.tables("missing")),
        staples=tuple(_staple(f) for f in fields.tables("staples")),
        categories=tuple(method.region(c).name for c in fields.get("categories", items(_words))),
        probabilities={c: within(0, 1)(p) for c, p in fields.get("probabilities", _mapping).items()},
        odds_word=fields.get("odds_word", choice(OddsWord)) if "odds_word" in fields else OddsWord.OPEN,
        by_judgement=fields.get("by_judgement", truth) if "by_judgement" in fields else False,
        conditions=conditions,
        honoured=tuple(_honoured(f) for f in fields.tables("wishes")) if "wishes" in fields else (),
    )
    return KeptPalette(fields.get("client", _words), palette, _known(fields.table("posterior"), method))


def _known(fields: Fields, method: Method) -> Known:
    ideals = fields.get("ideals", items(items(finite_number, 3)))
    weights = fields.get("weights", items(items(within(0, 1), len(ideals))))
    shapes = tuple(_shape(f) for f in fields.tables("shapes"))
    return Known(method, shapes, np.array(ideals).reshape(-1, 3), np.array(weights).reshape(len(weights), -1))


def _shape(fields: Fields) -> Shape:
    weights = fields.get("weights", items(within(0, 100), 3))
    return Shape(
        UtilityForm(fields.get("form", _one_of([f.value for f in UtilityForm]))),
        tuple(weights),
        fields.get("share", finite_number),
    )


def _colours(fields: Fields) -> tuple[list[PaletteColour], Conditions]:
    tables = fields.tables("colours")
    lights = {(f.get("illuminant", _words), f.get("observer", _words)) for f in tables}
    if len(lights) != 1:
        raise TenterError(
            _("the colours of a palette share one illuminant and one observer, and there is at least one")
        )
    [(illuminant, observer)] = lights
    return [_read_colour(f) for f in tables], Conditions(illuminant, observer_from(observer))


def _read_colour(fields: Fields) -> PaletteColour:
    low, high = fields.get("interval_90", items(within(0, 1), 2))
    return PaletteColour(
        lab=_lab(fields),
        name=fields.get("name", _words),
        hue_family=fields.get("hue_family", choice(HueFamily)),
        part=fields.get("role", choice(Part)),
        fit=fields.get("fit", choice(Suited)),
        basis=fields.get("basis", choice(Basis)),
        suitability=fields.get("suitability", within(0, 1)),
        interval=(low, high),
        cloth=_or(fields, "cloth", _words, None),
        answer=_or(fields, "answer", _words, ""),
        title=_or(fields, "title", _words, ""),
        chosen=_or(fields, "chosen", truth, False),
    )


def _or(fields: Fields, name: str, parse: Callable[[object], T], left_out: T) -> T:
    """Return a field, or what stands for it where it is left out or null."""
    found: list[T] = [] if name not in fields else fields.get(name, lambda v: [] if v is None else [parse(v)])
    return found[0] if found else left_out


def _lab(fields: Fields) -> Lab:
    L, a, b = fields.get("lab", items(within(-200, 200), 3))
    return L, a, b


def _missing(fields: Fields) -> MissingHue:
    return MissingHue(fields.get("hue_family", choice(HueFamily)), fields.get("instead", _words))


def _honoured(fields: Fields) -> Honoured:
    return Honoured(fields.get("sentence", _words), fields.get("answer", _words))


def _staple(fields: Fields) -> Staple:
    answer = fields.get("answer", choice(StapleAnswer))
    return Staple(fields.get("name", _words), _lab(fields), answer, _or(fields, "swap_for", _words, ""))


def _mapping(value: object) -> Mapping[str, object]:
    if not isinstance(value, Mapping):
        raise TenterError(_("a table is needed, got {value}", value=shown(value)))
    return value


def _words(value: object) -> str:
    if not isinstance(value, str):
        raise TenterError(_("a text is needed, got {value}", value=shown(value)))
    return value


def _one_of(known: list[str]) -> Callable[[object], str]:
    def read(value: object) -> str:
        if value not in known:
            raise TenterError(_("one of {names} is needed, got {value}", names=in_a_row(known), value=shown(value)))
        return str(value)

    return read
