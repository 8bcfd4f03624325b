"""The lines over a photograph on a web page: a `FacePicture` as SVG, which the page's own style draws."""

from html import escape

from tenter.report.pictures.card_edge import svg_edge
from tenter.report.pictures.face_picture import DrawnRegion, FacePicture
from tenter.report.pictures.shares import Outline, PictureView


def face_overlay_svg(picture: FacePicture, view: PictureView | None = None, seen: int | None = None) -> str:
    """Return the lines as SVG, to lie upon a part of the photograph at any size: upon the picture's view, or another.

    Classes: `outline` (twice: with `halo` beneath), `unread`, `card`, `edge`. Each region is a group of the class
    `region` with its name for a title; the page shows the one that is `seen` too. seen: its number.
    """
    w, h, view = picture.width, picture.height, view or picture.view
    left, top, across, down = part_px(picture, view)
    parts = [svg_polygon(points, w, h, kind) for points in picture.card for kind in ("card halo", "card")]
    parts += [_region(region, w, h, region.number == seen) for region in picture.regions if region.outlines]
    parts += [svg_edge(edge, w, h, view) for edge in picture.edges]
    box = f"{left} {top} {across} {down}"
    head = f'<svg class="overlay" viewBox="{box}" role="img" aria-label="{escape(picture.title)}">'
    return head + "".join(parts) + "</svg>"


def part_px(picture: FacePicture, view: PictureView) -> tuple[int, int, int, int]:
    """Return a part of the picture in whole pixels: left, top, width, height."""
    w, h = picture.width, picture.height
    left, top, right, bottom = (round(edge * size) for edge, size in zip(view, (w, h, w, h), strict=True))
    return left, top, right - left, bottom - top


def _region(region: DrawnRegion, w: int, h: int, seen: bool) -> str:
    kind = "outline" if region.read else "outline unread"
    lines = [svg_polygon(points, w, h, k) for k in (f"{kind} halo", kind) for points in region.outlines]
    shown = "region seen" if seen else "region"
    return f'<g class="{shown}" data-region="{region.number}"><title>{escape(region.name)}</title>{"".join(lines)}</g>'


def svg_polygon(points: Outline, w: int, h: int, kind: str) -> str:
    """Return an outline, 0-1 of a picture's width and height, as a polygon of a class or several."""
    corners = " ".join(f"{x * w:.1f},{y * h:.1f}" for x, y in points)
    return f'<polygon class="{kind}" points="{corners}"/>'
