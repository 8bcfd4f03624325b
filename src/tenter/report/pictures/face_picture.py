"""A picture of what was measured: the photograph with regions and card drawn, and each colour with its interval.

One description, `FacePicture`, is drawn twice: by typst as PNG or PDF (`face_drawing.py`), and as the lines over the
photograph on a web page (`face_overlay.py`). It holds words and places and no pixel; the photograph is handed over
apart, and kept nowhere.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import Colours
from tenter.language import N_, _, in_a_row, local_number, local_signed
from tenter.photo.face.result import FaceMeasurement, RegionColour
from tenter.photo.files.loading import Photo
from tenter.photo.reasons import Reason
from tenter.photo.regions.regions import Region
from tenter.report.pictures.card_edge import DrawnEdge, drawn_edges
from tenter.report.pictures.face_colours import region_name
from tenter.report.pictures.shares import WHOLE, Outline, PictureView, share_of
from tenter.report.words import terms
from tenter.report.words.wording import card_fit, plain_number, sentence

_ROOM = 0.06  # about what is drawn, of the photograph's width and height
_CAUTION = N_(
    "Colours of one photograph, as a colorimeter would read them there under D65: shading and gloss are in them. I "
    "describe how light falls on a face; I don't assess or treat skin. Ask a clinician about any change that worries "
    "you."
)
_KEY = N_("Each value with its 90 % interval, on a scale from the lowest to the highest in this picture.")


@dataclass(frozen=True, slots=True)
class Value:
    """One coordinate in words, and as a bar: low, middle and high, 0-1 along the axis."""

    text: str
    bar: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class DrawnRegion:
    """A region: its outlines, 0-1 of the picture's width and height, and its colour. number: its place in the list."""

    number: int
    name: str
    outlines: tuple[Outline, ...]
    read: bool
    hex: str | None
    values: tuple[Value, ...]
    note: str


@dataclass(frozen=True, slots=True)
class SaidReason:
    """A reason of the gate, and whether it refuses the photograph."""

    text: str
    refuses: bool


@dataclass(frozen=True, slots=True)
class FacePicture:
    """Everything on the picture but the photograph.

    width, height: of the photograph, in pixels. view: the part of it that is worth looking at, 0-1: left, top, right,
    bottom. differences, unread: lines to print. edges: of light on the card.
    """

    title: str
    verdict: str
    basis: str
    width: int
    height: int
    view: PictureView
    card: tuple[Outline, ...]
    regions: tuple[DrawnRegion, ...]
    reasons: tuple[SaidReason, ...]
    facts: tuple[str, ...]
    differences: tuple[str, ...]
    unread: tuple[str, ...]
    key: str = _KEY
    caution: str = _CAUTION
    edges: tuple[DrawnEdge, ...] = ()

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> "FacePicture":
        """Return a picture from its plain values, as `dataclasses.asdict` gives them and JSON keeps them."""
        regions = tuple(_region_from_plain(region) for region in plain["regions"])
        reasons = tuple(SaidReason(**reason) for reason in plain["reasons"])
        edges = tuple(DrawnEdge.from_plain(edge) for edge in plain.get("edges", ()))  # kept before edges were drawn
        return cls(**{**plain, "regions": regions, "reasons": reasons, "view": tuple(plain["view"]), "edges": edges})


def _region_from_plain(plain: Mapping[str, Any]) -> DrawnRegion:
    """Return a region; leaves out what was kept of one while its number stood on the face."""
    known = {one.name: plain[one.name] for one in fields(DrawnRegion)}
    return DrawnRegion(**{**known, "values": tuple(Value(**value) for value in plain["values"])})


def face_picture(measured: FaceMeasurement, photo: Photo, title: str = "") -> FacePicture:
    """Return the picture of a measurement and the photograph it was made of, in the language that is written."""
    height, width = photo.rgb.shape[:2]
    size = np.array([width, height]) * photo.reduction
    card = () if measured.chart.corners_px is None else (share_of(measured.chart.corners_px, size),)
    outlines = {region: tuple(share_of(o, size) for o in lines) for region, lines in measured.outlines.items()}
    shown = [*card, *(outline for lines in outlines.values() for outline in lines)] if measured.accepted else []
    view = _view(shown)
    regions = _regions(measured, outlines)
    return FacePicture(
        title=title or _("A face, measured"),
        verdict=_verdict(measured),
        basis=_basis(measured),
        width=width,
        height=height,
        view=view,
        card=card,
        regions=regions,
        reasons=tuple(_said(reason) for reason in measured.reasons),
        facts=_facts(measured),
        differences=() if any(region.values for region in regions) else _differences(measured),
        unread=_unread(regions),
        key=_(_KEY),
        caution=_(_CAUTION),
        edges=drawn_edges(measured.chart, measured.reasons, size),
    )


def colours_and_facts(measured: FaceMeasurement) -> tuple[tuple[DrawnRegion, ...], tuple[str, ...]]:
    """Return the regions and facts of a measurement that no single photograph shows, so without outlines."""
    return _regions(measured, {}), _facts(measured)


def _view(outlines: Sequence[Outline]) -> PictureView:
    """Return the part of the photograph that holds everything drawn, with room about it; all of it without any."""
    if not outlines:
        return WHOLE
    points = np.concatenate([np.array(outline) for outline in outlines])
    low, high = np.maximum(points.min(axis=0) - _ROOM, 0), np.minimum(points.max(axis=0) + _ROOM, 1)
    left, top, right, bottom = (round(float(v), 5) for v in (*low, *high))
    return left, top, right, bottom


def _differences(measured: FaceMeasurement) -> tuple[str, ...]:
    """Return what can be said where no colour stands by itself."""
    return tuple(
        _(
            "{region} against {other}: {differences}",
            region=sentence(region_name(str(d.to))),
            other=region_name(str(d.origin)),
            differences=in_a_row(
                [
                    f"{axis} {local_signed(delta)} ± {local_number(half, 1)}"
                    for axis, delta, half in zip(("L*", "a*", "b*"), d.delta_lab, d.half_width_90, strict=True)
                ]
            ),
        )
        for d in measured.relative
    )


def _unread(regions: Sequence[DrawnRegion]) -> tuple[str, ...]:
    """Return why regions have no colour, each reason once, with the regions that share it."""
    shared: dict[str, list[str]] = {}
    for region in regions:
        if not region.values:
            shared.setdefault(region.note, []).append(region.name)
    return tuple(f"{sentence(in_a_row(names))}: {reason}." for reason, names in shared.items())


def _said(reason: Reason) -> SaidReason:
    return SaidReason(reason.text, reason.refuses)


def _verdict(measured: FaceMeasurement) -> str:
    if not measured.accepted:
        return _("Not measured: please take it again")
    if any(colour.lab is not None for colour in measured.regions.values()):
        return _("Measured")
    return _("One place by another")


def _basis(measured: FaceMeasurement) -> str:
    words = {
        "chart": _("Calibrated by the card in the picture."),
        "grey": _("Calibrated by a grey or a white in the picture: the intervals are wide."),
        "relative": _("Without a usable card, only differences are given."),
    }
    return words[measured.basis]


# -- regions -----------------------------------------------------------------------------------------------------------


def _regions(measured: FaceMeasurement, outlines: Mapping[Region, tuple[Outline, ...]]) -> tuple[DrawnRegion, ...]:
    ordered = list(measured.regions.items())
    axes = _Axes.of([colour for _, colour in ordered])
    colours = [_swatch(colour, measured) for _, colour in ordered]
    return tuple(
        DrawnRegion(
            number=number,
            name=region_name(str(region)),
            outlines=outlines.get(region, ()),
            read=colour.lab is not None,
            hex=swatch,
            values=axes.values(colour),
            note=_note(colour, swatch, truly),
        )
        for number, ((region, colour), (swatch, truly)) in enumerate(zip(ordered, colours, strict=True), 1)
    )


def _swatch(colour: RegionColour, measured: FaceMeasurement) -> tuple[str | None, bool]:
    if colour.lab is None:
        return None, True
    shown, truly = Colours(colour.lab[None], measured.conditions).on_screen()
    return shown[0], bool(truly[0])


def _note(colour: RegionColour, swatch: str | None, truly: bool) -> str:
    if swatch is None:
        return colour.reason or ""
    return "" if truly else _("outside what a screen shows")


# -- values ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Axes:
    """The least and the most (3,) of L*, a* and b* with their intervals, between which every bar is drawn."""

    low: FloatArray
    high: FloatArray

    @classmethod
    def of(cls, colours: Sequence[RegionColour]) -> "_Axes":
        found = [
            (c.lab - c.half_width_90, c.lab + c.half_width_90)
            for c in colours
            if c.lab is not None and c.half_width_90 is not None
        ]
        if not found:
            return cls(np.zeros(3), np.ones(3))
        return cls(np.min([low for low, _ in found], axis=0), np.max([high for _, high in found], axis=0))

    def values(self, colour: RegionColour) -> tuple[Value, ...]:
        if colour.lab is None or colour.half_width_90 is None:
            return ()
        along = (np.array([-1, 0, 1])[:, None] * colour.half_width_90 + colour.lab - self.low) / (self.high - self.low)
        low, middle, high = (np.round(end, 4).tolist() for end in along)
        words = [
            f"{plain_number(v)} ±\u00a0{local_number(half, 1)}"
            for v, half in zip(colour.lab, colour.half_width_90, strict=True)
        ]
        return tuple(Value(word, bar) for word, bar in zip(words, zip(low, middle, high, strict=True), strict=True))


def _facts(measured: FaceMeasurement) -> tuple[str, ...]:
    facts = []
    if measured.ita is not None:
        low, high = map(plain_number, measured.ita.interval_90)
        angle = _(
            "Individual typology angle (ITA) of the skin: {angle}° (90 %: {low}° to {high}°), class {ita_class}.",
            angle=plain_number(measured.ita.degrees),
            low=low,
            high=high,
            ita_class=terms.skin_light(measured.ita.ita_class),
        )
        facts.append(angle)
    if measured.chart.leave_one_out is not None:
        facts.append(card_fit(measured.chart.leave_one_out.mean))
    return tuple(facts)
