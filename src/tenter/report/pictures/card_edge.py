"""Where light seems to change on the card, as it is drawn: a dashed line, and words beside the card that name it.

The words are beyond the card, with a thin line to the edge, so that they hide none of its patches. It is drawn where a
shadow is suspected, and where somebody looked and overruled that. What the frame alone shows (`card_shines`) is not
drawn: of one card with one sheen it was another line or block in each of five real photographs, across patches on which
nothing is to be seen, and what to do about it needs no place.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.language import N_, _
from tenter.photo.card.finding import ChartFinding
from tenter.photo.reasons import Code, Reason
from tenter.report.pictures.shares import Outline, PictureView, Point, share_of

_LABELS = {Code.CHART_COVERED: N_("suspected shadow"), Code.CARD_CALLED_EVEN: N_("called evenly lit")}
_LINE = 2  # corners of a line across the card; more go round some patches
_SIZE, _BOLD = 0.033, 0.63  # of the width that is looked at: the words' size; of their size, a character's width
_LINES = 1.2  # between the card and the middle of the words, of their size
_LOWEST = 0.92  # of the picture's height: a card that reaches lower has the words above it


@dataclass(frozen=True, slots=True)
class DrawnEdge:
    """An edge of light, in shares of the picture's width and height.

    points: two are a line across the card, more a way round some patches. tip: from where on them a line goes straight
    up or down to the words. rim: the height, 0 to 1, at which the card ends there; the words are beyond it, above or
    below.
    """

    points: Outline
    label: str
    tip: Point
    rim: float
    above: bool

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> "DrawnEdge":
        """Return an edge from its plain values, as `dataclasses.asdict` gives them and JSON keeps them."""
        return cls(**{**plain, "points": tuple(map(tuple, plain["points"]))})


def drawn_edges(chart: ChartFinding, reasons: Iterable[Reason], size: FloatArray) -> tuple[DrawnEdge, ...]:
    """Return what is to be drawn of the light on a card.

    size (2,): width and height of the upright original, in pixels.
    """
    labels = [_(_LABELS[reason.code]) for reason in reasons if reason.code in _LABELS]
    if chart.suspected_edge_px is None or chart.corners_px is None or not labels:
        return ()
    points = share_of(chart.suspected_edge_px, size)
    card = np.array(share_of(chart.corners_px, size))
    above = bool(card[:, 1].max() > _LOWEST)
    nearest = min(points, key=lambda p: p[1]) if above else max(points, key=lambda p: p[1])
    level = card[:, 1].min() if above else card[:, 1].max()
    return (DrawnEdge(points, labels[0], nearest, round(float(level), 5), above),)


def svg_edge(edge: DrawnEdge, w: int, h: int, view: PictureView) -> str:
    """Return an edge as SVG upon a picture of w by h pixels; view: the part of it that is looked at."""
    left, right = view[0] * w, view[2] * w
    font = _SIZE * (right - left)
    half = _BOLD * font * len(edge.label) / 2
    tip = edge.tip[0] * w
    x = min(max(tip, left + half), right - half)  # words near the picture's border stay within it
    y = edge.rim * h + (-_LINES if edge.above else _LINES) * font
    corners = " ".join(f"{px * w:.1f},{py * h:.1f}" for px, py in edge.points)
    shape = "polyline" if len(edge.points) == _LINE else "polygon"
    lines = "".join(f'<{shape} class="{kind}" points="{corners}"/>' for kind in ("edge halo", "edge"))
    leader = "".join(
        f'<line class="{kind}" x1="{tip:.1f}" y1="{edge.tip[1] * h:.1f}" x2="{tip:.1f}" y2="{y:.1f}"/>'
        for kind in ("leader halo", "leader")
    )
    words = f'<text class="edge" x="{x:.1f}" y="{y:.1f}" font-size="{font:.1f}">{escape(edge.label)}</text>'
    return f"<g><title>{escape(edge.label)}</title>{lines}{leader}{words}</g>"
