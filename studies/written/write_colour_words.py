"""Write the tables of colours that people name: the middles of the ISCC-NBS blocks, and CSS's named colours.

    python -m studies.written.write_colour_words

The middle of a block is the mean of those colours of a grid that bear its name and that a real surface has; where no
real surface of the grid has one, of all that bear it.
"""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from PIL import ImageColor

from tenter.arrays import FloatArray
from tenter.colorimetry.colour_names import block_numbers
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.munsell import munsell
from tenter.colorimetry.real_surfaces import is_real_surface

DATA = Path(__file__).parents[2] / "src/tenter/colorimetry/data"
_STEP = 2.0
_BLOCKS = """\
# Middles of the 267 ISCC-NBS colour-name blocks: CIELAB, D65/2°. Ours, computed from iscc_nbs_blocks.csv by
# studies/written/write_colour_words.py: the mean of the colours of real surfaces (pointer_1980.csv) that bear the name.
number,L,a,b
"""
_CSS = """\
# Named colours of CSS as sRGB, each name in words. Source: W3C, CSS Color Module Level 4, section 6.1, as Pillow has
# them; "gray" is left out beside "grey". Where one colour has two names, both stand.
name,hex
"""
# The words that a name of CSS is made of where they are run together.
_WORDS = (
    *(
        "light",
        "dark",
        "medium",
        "pale",
        "deep",
        "hot",
        "dim",
        "alice",
        "antique",
        "blanched",
        "blue",
        "burly",
        "cadet",
    ),
    *(
        "corn",
        "floral",
        "forest",
        "ghost",
        "golden",
        "goldenrod",
        "green",
        "honey",
        "indian",
        "khaki",
        "lavender",
        "lawn",
    ),
    *("lemon", "lime", "midnight", "mint", "misty", "navajo", "old", "olive", "orange", "papaya", "peach", "powder"),
    *(
        "rebecca",
        "rosy",
        "royal",
        "saddle",
        "sandy",
        "sea",
        "sky",
        "slate",
        "spring",
        "steel",
        "violet",
        "white",
        "yellow",
    ),
    *(
        "dodger",
        "fire",
        "brick",
        "dew",
        "drab",
        "red",
        "pink",
        "grey",
        "cyan",
        "orchid",
        "salmon",
        "turquoise",
        "magenta",
    ),
    *("almond", "wood", "flower", "silk", "cream", "blush", "chiffon", "coral", "aquamarine", "purple", "rose", "lace"),
    *("whip", "puff", "shell", "brown", "smoke", "moccasin", "chartreuse", "crimson", "gold", "rod"),
)


def in_words(name: str) -> str:
    """Return a name of CSS in words: 'light goldenrod yellow' of 'lightgoldenrodyellow'."""
    parts = _split(name)
    return " ".join(parts) if parts else name


def _split(name: str) -> list[str] | None:
    if not name:
        return []
    for word in sorted(_WORDS, key=len, reverse=True):
        if name.startswith(word):
            rest = _split(name[len(word) :])
            if rest is not None:
                return [word, *rest]
    return None


def middles() -> Iterable[tuple[int, FloatArray]]:
    """Yield the middle of every block."""
    axes = np.arange(2.0, 99.0, _STEP), *[np.arange(-100.0, 101.0, _STEP)] * 2
    lab = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    lab = lab[np.hypot(lab[:, 1], lab[:, 2]) < 100]
    numbers, real = block_numbers(munsell(lab)), is_real_surface(lab, D65_2)
    for number in range(1, 268):
        own = numbers == number
        chosen = own & real if (own & real).any() else own
        yield number, lab[chosen].mean(axis=0)


def main() -> None:
    rows = [f"{number},{L:.2f},{a:.2f},{b:.2f}" for number, (L, a, b) in middles()]
    (DATA / "iscc_nbs_middles.csv").write_text(_BLOCKS + "\n".join(rows) + "\n", encoding="utf-8")
    named = {name: code for name, code in ImageColor.colormap.items() if "gray" not in name and isinstance(code, str)}
    rows = [f"{in_words(name)},{code}" for name, code in sorted(named.items())]
    (DATA / "css_colours.csv").write_text(_CSS + "\n".join(rows) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
