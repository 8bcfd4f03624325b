"""The lines over a photograph on a web page: a `FacePicture` as SVG, which the page's own style draws."""

from html import escape

from tenter.report.pictures.card_edge import svg_edge
from tenter.report.pictures.face_picture import DrawnRegion, FacePicture
from tenter.report.pictures.shares import Outline, PictureView

_BADGE, _FIGURE = 0.025, 1.3  # a number's circle, of the width that is looked at; its figure, of the circle's radius


def face_overlay_svg(picture: FacePicture, view: PictureView | None = None) -> str:
    """Return the lines as SVG, to lie upon a part of the photograph at any size: upon the picture's view, or another.

    Classes: `outline` (twice: with `halo` beneath), `unread`, `card`, `edge`, `badge`, `leader`. Each region is a group
    with its name for a title.
    """
    w, h, view = picture.width, picture.height, view or picture.view
    left, top, across, down = part_px(picture, view)
    parts = [svg_polygon(points, w, h, kind) for points in picture.card for kind in ("card halo", "card")]
    parts += [_region(region, w, h, _BADGE * across) for region in picture.regions if region.outlines]
    parts += [svg_edge(edge, w, h, view) for edge in picture.edges]
    box = f"{left} {top} {across} {down}"
    head = f'<svg class="overlay" viewBox="{box}" role="img" aria-label="{escape(picture.title)}">'
    return head + "".join(parts) + "</svg>"


def part_px(picture: FacePicture, view: PictureView) -> tuple[int, int, int, int]:
    """Return a part of the picture in whole pixels: left, top, width, height."""
    w, h = picture.width, picture.height
    left, top, right, bottom = (round(edge * size) for edge, size in zip(view, (w, h, w, h), strict=True))
    return left, top, right - left, bottom - top


def _region(region: DrawnRegion, w: int, h: int, r: float) -> str:
    kind = "outline" if region.read else "outline unread"
    lines = [svg_polygon(points, w, h, k) for k in (f"{kind} halo", kind) for points in region.outlines]
    (x, y), (ax, ay) = region.badge, region.anchor
    leader = (
        f'<line class="leader" x1="{ax * w:.1f}" y1="{ay * h:.1f}" x2="{x * w:.1f}" y2="{y * h:.1f}"/>'
        if region.leader
        else ""
    )
    badge = (
        f'<circle class="badge" cx="{x * w:.1f}" cy="{y * h:.1f}" r="{r:.1f}"/>'
        f'<text class="badge" x="{x * w:.1f}" y="{y * h:.1f}" font-size="{_FIGURE * r:.1f}">{region.number}</text>'
    )
    return f"<g><title>{escape(region.name)}</title>{''.join(lines)}{leader}{badge}</g>"


def svg_polygon(points: Outline, w: int, h: int, kind: str) -> str:
    """Return an outline, 0-1 of a picture's width and height, as a polygon of a class or several."""
    corners = " ".join(f"{x * w:.1f},{y * h:.1f}" for x, y in points)
    return f'<polygon class="{kind}" points="{corners}"/>'
