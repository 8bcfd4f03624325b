"""How well the three axes of a cloth are founded: `./run bench axes` prints plain tables in a few seconds.

Four questions. Does a hue table carry over to cloths that it was not made from? Does our undertone agree with a
published warm-cool scale? Would axes from CAM16-UCS be better than those from CIELAB? What does undertone within the
hue family change? The shop labels that serve as answers are a convention of whoever invented the demo kit: they are no
truth.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.stats import binomtest, spearmanr

from studies.clients.scoring import wilson
from studies.cloths.colour_emotion import NEUTRAL, WORKED_TOLERANCE, warm_cool, worked_error
from studies.cloths.hue_tables import EVEN_KNOTS, Labelled, coordinates, estimated, predicted_undertone, scaled_to
from studies.cloths.hue_version_study import study_versions
from tenter import Kit, Method
from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.appearance import ViewingConditions, cam16, cam16_ucs
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.spaces import chroma, lab_to_xyz
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.words.traits import UndertoneSide

VRHEL = Path(__file__).parents[2] / "tests" / "data" / "vrhel" / "vrhel_reflectance_400-700nm_10nm.csv"
SPACES = ("CIELAB", "CAM16-UCS")
_SURFACES = ("clothes", "dupont_paint_chips", "nature")  # what a cloth may look like; not skin and hair


@dataclass(frozen=True, eq=False)
class Palette:
    """The cloths of the demo kit that carry a group of the method."""

    ids: tuple[str, ...]
    lab: FloatArray
    groups: tuple[str, ...]

    @classmethod
    def of(cls, kit: Kit, method: Method) -> "Palette":
        rows = [i for i, d in enumerate(kit.drapes) if d.group in method.categories]
        drapes = [kit.drapes[i] for i in rows]
        return cls(tuple(d.id for d in drapes), kit.lab[rows], tuple(d.group for d in drapes))

    def prototypes(self, method: Method) -> FloatArray:
        """Return the prototype of each cloth's group, (n, 3)."""
        return np.array([method.region(g).prototype for g in self.groups])

    def warm(self, method: Method) -> BoolArray:
        """Tell which cloths belong to a warm group."""
        return np.array([method.side_of[method.season_of[g]] is UndertoneSide.WARM for g in self.groups])


def lab_like(palette: FloatArray) -> Callable[[FloatArray, str], FloatArray]:
    """Return a function that gives colours in a space, on CIELAB's scales.

    For CAM16-UCS, J' goes to L* by a straight line and M' to C* by one factor, both least squares over the palette
    cloths, and the hue stays CAM16's. So one and the same method file reads both.
    """
    white = 100 * white_point("D65", Observer.CIE_1964_10)
    seen = ViewingConditions(white=(float(white[0]), float(white[1]), float(white[2])), adapting_luminance=20.0)

    def ucs(lab: FloatArray) -> FloatArray:
        return cam16_ucs(cam16(lab_to_xyz(lab, white), seen))

    of_palette = ucs(palette)
    slope, start = np.polyfit(of_palette[:, 0], palette[:, 0], 1)
    colourful = np.hypot(of_palette[:, 1], of_palette[:, 2])
    factor = colourful @ chroma(palette) / (colourful @ colourful)

    def in_space(lab: FloatArray, space: str) -> FloatArray:
        if space == "CIELAB":
            return lab
        scaled: FloatArray = ucs(lab) * np.array([slope, factor, factor]) + np.array([start, 0.0, 0.0])
        return scaled

    return in_space


def share(right: BoolArray) -> str:
    """Return so many of so many, with the 95 % interval."""
    low, high = wilson(int(right.sum()), right.size)
    return (
        f"{right.sum():3d} of {right.size}  {100 * right.mean():4.0f} %  (95 %: {100 * low:.0f} to {100 * high:.0f} %)"
    )


def heading(text: str) -> None:
    print(f"\n{text}\n{'-' * len(text)}")


# -- 1: does a hue table carry over? -------------------------------------------------------------------------------


def study_sides(palette: Palette, method: Method, in_space: Callable[[FloatArray, str], FloatArray]) -> None:
    heading("1  Cloths on the side of their shop label (warm or cool)")
    table, warm = method.undertone_table, palette.warm(method)
    labels = palette.prototypes(method)[:, Axis.UNDERTONE.column]
    own_knots = np.array([h for h, _ in table.hue_table])
    right = (table.undertone(palette.lab) > 0) == warm
    print(f"{'the bundled table, in-sample':58s} {share(right)}  {missed(palette, right)}")
    cases = [(f"{space}, knots every 10°", space, labels, EVEN_KNOTS) for space in SPACES]
    cases += [
        ("CIELAB, the bundled table's knots", "CIELAB", labels, own_knots),
        ("CAM16-UCS, the bundled table's knots", "CAM16-UCS", labels, own_knots),
        ("CIELAB, sides only (+1, -1)", "CIELAB", np.where(warm, 1.6, -1.6), EVEN_KNOTS),
        ("CAM16-UCS, sides only (+1, -1)", "CAM16-UCS", np.where(warm, 1.6, -1.6), EVEN_KNOTS),
    ]
    for name, space, said, knots in cases:
        cloths = Labelled(in_space(palette.lab, space), said, palette.groups)
        everything = np.ones(len(warm), dtype=bool)
        seen = estimated(cloths, everything, table, knots).undertone(cloths.lab) > 0
        print(f"{name + ': in-sample':58s} {share(seen == warm)}")
        for what, folds in (("one cloth", cloths.one_by_one), ("a sub-season", cloths.group_by_group)):
            right = (predicted_undertone(cloths, folds, table, knots) > 0) == warm
            print(f"{f'{name}: {what} left out':58s} {share(right)}  {missed(palette, right)}")
    print(f"{'warm where b* > 0':58s} {share((palette.lab[:, 2] > 0) == warm)}")
    print(f"{'warm where Ou et al. say warmer than grey':58s} {share((warm_cool(palette.lab) > NEUTRAL) == warm)}")


def missed(palette: Palette, right: BoolArray) -> str:
    """Return the cloths on the other side."""
    return " ".join(i for i, r in zip(palette.ids, right, strict=True) if not r)


# -- 2: a published warm-cool scale --------------------------------------------------------------------------------


def study_scale(kit: Kit, method: Method) -> None:
    heading("2  Our undertone against the warm-cool scale of Ou, Luo, Woodcock and Wright (2004)")
    print(f"formula against 5 worked values of another program: {worked_error():.4f} at most (≤ {WORKED_TOLERANCE})")
    by_colour = np.array([d.undertone is None for d in kit.drapes])
    sets = {"demo kit": kit.lab[by_colour], **vrhel()}
    for name, lab in sets.items():
        ours, theirs = method.undertone_table.undertone(lab), warm_cool(lab)
        print(f"{name:28s} n {len(lab):3d}   Spearman {spearmanr(ours, theirs).statistic:5.2f}")
    real = np.concatenate(list(vrhel().values()))
    together = spearmanr(method.undertone_table.undertone(real), warm_cool(real)).statistic
    print(f"{'Vrhel et al., all three':28s} n {len(real):3d}   Spearman {together:5.2f}")
    lab = np.concatenate(list(sets.values()))
    print("\nBoth together, by hue family (ours, from the colour): on opposite sides of neutral, and ranks within")
    families = np.array([str(hue_family(row)) for row in lab])
    ours, theirs = method.undertone_table.undertone(lab), warm_cool(lab) - NEUTRAL
    for family in sorted(set(families), key=lambda f: (-opposite(ours, theirs)[families == f].mean(), f)):
        of = families == family
        inside = spearmanr(ours[of], theirs[of]).statistic
        apart = opposite(ours, theirs)[of]
        print(
            f"{family:8s} n {of.sum():3d}   opposite {apart.sum():3d} ({100 * apart.mean():3.0f} %)   "
            f"warm by ours {100 * np.mean(ours[of] > 0):3.0f} %, by theirs {100 * np.mean(theirs[of] > 0):3.0f} %   "
            f"Spearman within {inside:5.2f}"
        )


def vrhel() -> dict[str, FloatArray]:
    """Return the Lab (D65/10°) of measured surfaces, by set."""
    text = np.genfromtxt(VRHEL, delimiter=",", dtype=str, skip_header=1)
    names, lab = text[:, 0], text[:, -3:].astype(float)
    return {f"Vrhel et al., {s.split('_')[-1]}": lab[names == s] for s in _SURFACES}


def opposite(ours: FloatArray, theirs: FloatArray) -> BoolArray:
    """Tell which colours one calls warm and the other cool."""
    apart: BoolArray = (ours > 0) != (theirs > 0)
    return apart


# -- 3: CIELAB or CAM16-UCS? ---------------------------------------------------------------------------------------


def study_spaces(kit: Kit, palette: Palette, method: Method, in_space: Callable[[FloatArray, str], FloatArray]) -> None:
    labels = palette.prototypes(method)[:, Axis.UNDERTONE.column]
    everything = np.ones(len(labels), dtype=bool)
    cloths = {s: Labelled(in_space(palette.lab, s), labels, palette.groups) for s in SPACES}
    tables = {s: estimated(cloths[s], everything, method.undertone_table, EVEN_KNOTS) for s in SPACES}
    x = {"bundled": method.coordinates(kit)}
    x |= {s: coordinates(in_space(kit.lab, s), method, tables[s]) for s in SPACES}
    study_pairs(kit, x)
    study_groups(palette, method, cloths)


def study_pairs(kit: Kit, x: dict[str, FloatArray]) -> None:
    heading("3a  Test pairs: share of the squared distance on the axis that they are meant for")
    print("The pairs were matched in CIELAB, which favours it. The two tables are estimated from the palette alone.")
    print(f"{'':34s}" + "".join(f"{name:>18s}" for name in x))
    totals: dict[str, list[tuple[float, bool]]] = {name: [] for name in x}
    for axis, upper, lower in wanted_steps(kit):
        cells = {}
        for name, place in x.items():
            step = place[kit.row(upper)] - place[kit.row(lower)]
            cells[name] = float(step[axis.column] ** 2 / (step @ step)), bool(step[axis.column] > 0)
            if not kit[upper].role.startswith("undertone-mix"):  # mixed on purpose: it differs on every axis
                totals[name].append(cells[name])
        shown = "".join(f"{100 * part:13.0f} % {'ok ' if way else 'BAD'}" for part, way in cells.values())
        print(f"{axis:10s} {upper} over {lower:10s}  {shown}")
    means = "".join(f"{100 * np.mean([p for p, _ in t]):13.0f} %    " for t in totals.values())
    ways = "".join(f"{sum(w for _, w in t):11d} of {len(t)} " for t in totals.values())
    print(f"{'mean, without the mixed pair':34s}{means}\n{'the right way round':34s}{ways}")


def wanted_steps(kit: Kit) -> list[tuple[Axis, str, str]]:
    """Return (axis, upper cloth, lower cloth) of each step among the test cloths, from their roles."""
    by_role = {d.role: d.id for d in kit.drapes if d.group == "test"}
    above = {"cool": "warm", "deep": "light", "low": "mid", "mid": "high"}
    steps = []
    for role, lower in by_role.items():
        stem, _, end = role.rpartition("-")
        if end in above:
            steps.append((Axis(role.split("-")[0]), by_role[f"{stem}-{above[end]}"], lower))
    return steps


def study_groups(palette: Palette, method: Method, cloths: dict[str, Labelled]) -> None:
    heading("3b  Shop labels recovered by the nearest prototype")
    everything = np.ones(len(palette.ids), dtype=bool)
    place = coordinates(palette.lab, method, method.undertone_table)
    print_recovered("bundled method as it is, in-sample", recovered(palette, method, place))
    found = {}
    for space in SPACES:
        print_recovered(
            f"{space}: in-sample", recovered(palette, method, _placed(palette, method, cloths[space], everything))
        )
        place = np.empty_like(place)
        for kept in cloths[space].one_by_one:
            place[~kept] = _placed(palette, method, cloths[space], kept)[~kept]
        found[space] = recovered(palette, method, place)
        print_recovered(f"{space}: one cloth left out", found[space])
    for level in ("sub-season", "season"):
        lab_only = found["CIELAB"][level] & ~found["CAM16-UCS"][level]
        ucs_only = found["CAM16-UCS"][level] & ~found["CIELAB"][level]
        n = int(lab_only.sum() + ucs_only.sum())
        p = binomtest(int(lab_only.sum()), n).pvalue if n else 1.0
        print(
            f"{level}: only CIELAB right {lab_only.sum()}, only CAM16-UCS right {ucs_only.sum()}; sign test p {p:.2f}"
        )


def _placed(palette: Palette, method: Method, cloths: Labelled, kept: BoolArray) -> FloatArray:
    table = estimated(cloths, kept, method.undertone_table, EVEN_KNOTS)
    return scaled_to(palette.prototypes(method)[kept], coordinates(cloths.lab, method, table), kept)


def recovered(palette: Palette, method: Method, place: FloatArray) -> dict[str, BoolArray]:
    """Tell for which cloths the nearest prototype names their sub-season, and their season."""
    nearest = [method.category_at(point) for point in place]
    return {
        "sub-season": np.array([n == g for n, g in zip(nearest, palette.groups, strict=True)]),
        "season": np.array(
            [method.season_of[n] == method.season_of[g] for n, g in zip(nearest, palette.groups, strict=True)]
        ),
    }


def print_recovered(name: str, right: dict[str, BoolArray]) -> None:
    for level, found in right.items():
        print(f"{f'{name}, {level}':58s} {share(found)}")


def main() -> None:
    kit, method = Kit.demo(), Method.bundled()
    palette = Palette.of(kit, method)
    in_space = lab_like(palette.lab)
    study_sides(palette, method, in_space)
    study_scale(kit, method)
    study_spaces(kit, palette, method, in_space)
    heading("4  Undertone within the hue family, at several weights")
    study_versions(kit, method, np.concatenate(list(vrhel().values())))


if __name__ == "__main__":
    main()
