"""A drawing of where a surface's light shows on a face: an SVG, shaded by ΔE00 and readable in grey.

The face is an outline of our own and nobody's, on the neutral grey around colours, as the cloth below it has one.
Places are shaded from that grey to dark, in greys alone; those where the change is too small to see stay as the ground
is, with a dashed rim.
"""

from collections.abc import Sequence
from html import escape

import numpy as np

from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import in_srgb_gamut, srgb_hex
from tenter.consultation.reflected.effect import LEAST_VISIBLE_LAB, EffectSize, ReflectedEffect, ThrowingSurface
from tenter.consultation.reflected.on_face import FacePrediction, SurfaceKind
from tenter.language import N_, _, all_of, as_written, local_number
from tenter.report.pictures.face_colours import region_name
from tenter.report.workshop_pictures.svg_parts import LOOKING_GREY

_Place = tuple[float, float]
_WIDTH, _HEIGHT, _MIDDLE = 560, 580, 280  # of the drawing, in its own units
# Half of the face's rim from the crown to the chin, and the places on its right half or across, as offsets from the
# middle: drawn by us.
_RIM: tuple[_Place, ...] = (
    (0, 60),
    (58, 70),
    (92, 112),
    (102, 176),
    (99, 236),
    (88, 290),
    (64, 334),
    (32, 358),
    (0, 364),
)
_ACROSS: dict[str, tuple[_Place, ...]] = {  # right halves, mirrored
    "forehead": ((0, 96), (44, 100), (70, 124), (72, 150), (36, 158), (0, 154)),
    "nose": ((0, 186), (11, 190), (15, 226), (23, 254), (12, 264), (0, 266)),
    "lips": ((0, 290), (10, 286), (36, 297), (18, 309), (0, 312)),
    "chin": ((0, 322), (22, 322), (33, 338), (20, 354), (0, 358)),
}
_SIDE: dict[str, tuple[_Place, ...]] = {
    "cheek": ((36, 204), (68, 200), (86, 216), (80, 250), (58, 270), (36, 262), (28, 232)),
    "jaw": ((54, 296), (84, 262), (90, 274), (80, 306), (58, 332), (40, 342), (38, 324)),
}
_NECK: tuple[_Place, ...] = ((58, 338), (58, 396), (150, 424), (176, 470))
# Of the shading: ΔE00 that is darkest, L* of nothing, which is the ground's, and of that.
_MOST, _LIGHTEST, _DARKEST = 4.0, 80.0, 20.0
_KEY_STEPS = (0.25, 0.5, 1.0, 2.0, 4.0)  # ΔE00
_SHOWS_OF = {
    SurfaceKind.DRAPE: N_("Where the light of the drape {surface} shows on the face"),
    SurfaceKind.CAPE: N_("Where the light of the cape {surface} shows on the face"),
    SurfaceKind.WALL: N_("Where the light of the wall {surface} shows on the face"),
}
_LIGHT_OF = {
    SurfaceKind.DRAPE: N_("Light of the drape {surface}"),
    SurfaceKind.CAPE: N_("Light of the cape {surface}"),
    SurfaceKind.WALL: N_("Light of the wall {surface}"),
}
_DARK_INK_FROM = 49.0  # L* of a shade on which black is read better than white


def reflected_map(found: FacePrediction) -> str:
    """Return the drawing of a prediction as the text of an SVG file."""
    title = _(_SHOWS_OF[found.place.kind], surface=found.surface.name)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" '
        f'font-family="sans-serif" font-size="14" fill="#222">',
        f"<title>{escape(title)}</title>",
        f"<desc>{escape(_in_words(found))}</desc>",
        f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="{LOOKING_GREY}"/>',
        *_heading(found),
        *_body(found),
        *(part for region, effect in found.effects.items() for part in _place(region, effect, found)),
        *_features(),
        *_labels(found),
        *_key(),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def surface_on_screen(surface: ThrowingSurface) -> tuple[str, bool]:
    """Return '#rrggbb' of a surface under D65, and whether a screen of sRGB can show it."""
    lab = reflectance_to_lab(np.minimum(surface.reflectance, 1.0), D65_2.illuminant, D65_2.observer)
    return srgb_hex(lab)[0], bool(in_srgb_gamut(lab))


def _heading(found: FacePrediction) -> list[str]:
    lines = [_(_LIGHT_OF[found.place.kind], surface=found.surface.name)]
    if found.against is not None:
        lines.append(_("compared with {surface}", surface=found.against.name))
    if not surface_on_screen(found.surface)[1]:
        lines.append(_("A screen cannot show this colour exactly."))
    first, *others = lines
    return [
        f'<text x="20" y="30" font-size="17" font-weight="bold">{escape(first)}</text>',
        *(f'<text x="20" y="{49 + 17 * k}" font-size="13">{escape(line)}</text>' for k, line in enumerate(others)),
    ]


def _in_words(found: FacePrediction) -> str:
    """Return what the drawing shows, for whoever does not see it."""
    told = [
        f"{region_name(region)} ΔE00 {local_number(e.delta_e_2000, 2)} ({found.size_said(e)})"
        for region, e in found.effects.items()
    ]
    return _("Predicted change by reflected light: {changes}.", changes=all_of(told))


def _body(found: FacePrediction) -> list[str]:
    """Return rim, neck and what lies below it, in the cloth's own colour where it is one."""
    colour, _ = surface_on_screen(found.surface)
    cloth = [(0, 436), (70, 432), (150, 424), (200, 470), (206, 500), (0, 500)]
    parts = [f'<path d="{_smooth(_mirrored(_NECK))}" fill="none" stroke="#555" stroke-width="1.5"/>']
    if found.place.kind is not SurfaceKind.WALL:
        outline = " ".join(f"{x:.0f},{y:.0f}" for x, y in _mirrored(cloth))
        parts.append(f'<polygon points="{outline}" fill="{colour}" stroke="#555" stroke-width="1.5"/>')
    rim = _smooth(_mirrored(_RIM), closed=True)
    parts.append(f'<path d="{rim}" fill="{LOOKING_GREY}" stroke="#555" stroke-width="2"/>')
    return parts


def _features() -> list[str]:
    """Return eyes and brows, which say where one is on the face."""
    parts = []
    for side in (-1, 1):
        x = _MIDDLE + side * 46
        parts.append(f'<path d="M{x - 19} 186Q{x} 174 {x + 19} 186Q{x} 196 {x - 19} 186Z" fill="none" stroke="#777"/>')
        parts.append(f'<path d="M{x - 24} 168Q{x} 158 {x + 24} 168" fill="none" stroke="#777" stroke-width="2"/>')
    return parts


def _place(region: str, effect: ReflectedEffect, found: FacePrediction) -> list[str]:
    """Return one place, shaded by its change."""
    low, high = effect.delta_e_2000_range
    within = _("{low} to {high}", low=local_number(low, 2), high=local_number(high, 2))
    said = f"{region_name(region)}: ΔE00 {local_number(effect.delta_e_2000, 2)}, {within}"
    small = effect.size is EffectSize.TOO_SMALL
    fill, rim = (LOOKING_GREY, ' stroke-dasharray="4 3"') if small else (_shade(effect.delta_e_2000)[0], "")
    outline = f'<path d="{_smooth(_outline(region), closed=True)}" fill="{fill}" stroke="#666"{rim}>'
    return [f"{outline}<title>{escape(said)}; {found.size_said(effect)}</title></path>"]


def _outline(region: str) -> list[_Place]:
    """Return the corners of a place; the client's left is at the viewer's right."""
    name, _, side = region.partition("_")
    if name in _ACROSS:
        return _mirrored(_ACROSS[name])
    turn = 1 if side == "left" else -1
    return [(_MIDDLE + turn * x, y) for x, y in _SIDE[name]]


def _labels(found: FacePrediction) -> list[str]:
    """Return the visible places' names and figures beside the face, and the others in one line."""
    parts: list[str] = []
    used = {-1: 0.0, 1: 0.0}
    places = {region: np.mean(_outline(region), axis=0) for region in found.effects}
    for region, (x, y) in sorted(places.items(), key=lambda place: float(place[1][1])):
        effect = found.effects[region]
        if effect.size is EffectSize.TOO_SMALL:
            continue
        turn = -1 if region.endswith("_right") or region == "nose" else 1
        level = max(y, used[turn] + 40)
        used[turn] = level
        edge, anchor = (_MIDDLE + 128, "start") if turn > 0 else (_MIDDLE - 128, "end")
        parts.append(f'<path d="M{x:.0f} {y:.0f}L{edge - turn * 4} {level:.0f}" stroke="#222" fill="none"/>')
        parts.append(f'<circle cx="{x:.0f}" cy="{y:.0f}" r="2.5"/>')
        name = escape(f"{region_name(region)} {local_number(effect.delta_e_2000, 1)}")
        parts.append(
            f'<text x="{edge}" y="{level:.0f}" text-anchor="{anchor}"><tspan font-weight="bold">{name}</tspan>'
            f'<tspan x="{edge}" dy="15" font-size="11">{escape(found.size_said(effect))}</tspan></text>'
        )
    small = [region_name(region) for region in found.of_size(EffectSize.TOO_SMALL)]
    if small:
        said_small = escape(_("Too small to see: {places}.", places=all_of(small)))
        parts.append(f'<text x="20" y="524" font-size="12">{said_small}</text>')
    return parts


def _key() -> list[str]:
    """Return the key: what each shade stands for."""
    parts = []
    for k, step in enumerate(_KEY_STEPS):
        fill, ink = _shade(step)
        parts.append(f'<rect x="{20 + 44 * k}" y="534" width="44" height="20" fill="{fill}" stroke="#666"/>')
        figure = as_written(f"{step:g}") + ("+" if step == _KEY_STEPS[-1] else "")
        parts.append(
            f'<text x="{42 + 44 * k}" y="548" font-size="11" text-anchor="middle" fill="{ink}">{figure}</text>'
        )
    least = as_written(f"{LEAST_VISIBLE_LAB:g}")
    dashed = _("Dashed: below ΔE*ab {least} whatever the room. A model, not a photograph.", least=least)
    alone = _("ΔE00 by reflected light alone")
    parts.append(f'<text x="248" y="549" font-size="12">{escape(alone)}</text>')
    parts.append(f'<text x="20" y="572" font-size="12">{escape(dashed)}</text>')
    return parts


def _shade(delta_e: float) -> tuple[str, str]:
    """Return the shade of a change, and the ink that is read on it."""
    part = min(float(np.sqrt(delta_e / _MOST)), 1.0)
    lightness = _LIGHTEST + part * (_DARKEST - _LIGHTEST)
    shade = srgb_hex(np.array([lightness, 0.0, 0.0]))[0]
    return shade, "#000" if lightness > _DARK_INK_FROM else "#fff"


def _mirrored(half: Sequence[_Place]) -> list[_Place]:
    """Return both halves of an outline whose right half is given as offsets from the middle."""
    right = [(_MIDDLE + x, y) for x, y in half]
    left = [(_MIDDLE - x, y) for x, y in reversed(half) if x > 0]
    return [*right, *left] if half[0][0] == 0 else [*reversed(right), *reversed(left)]


def _smooth(points: Sequence[_Place], closed: bool = False) -> str:
    """Return a path through points without corners (the splines of E. Catmull and R. Rom, 1974; from memory)."""
    corners = np.array([points[-1], *points, points[0], points[1]] if closed else [points[0], *points, points[-1]])
    path = f"M{corners[1][0]:.1f} {corners[1][1]:.1f}"
    for before, start, end, after in zip(corners, corners[1:], corners[2:], corners[3:], strict=False):
        one, two = start + (end - before) / 6, end - (after - start) / 6
        path += f"C{one[0]:.1f} {one[1]:.1f} {two[0]:.1f} {two[1]:.1f} {end[0]:.1f} {end[1]:.1f}"
    return path + ("Z" if closed else "")
