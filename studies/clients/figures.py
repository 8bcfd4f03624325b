"""The two figures of the verdict study: accuracy against comparisons, and stated against true."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import matplotlib as mpl

mpl.use("Agg")

import matplotlib.pyplot as plt
import numpy as np
from matplotlib.axes import Axes

from studies.clients.scoring import Scores

_ACCENT, _INK, _PALE = "#b3472b", "#222222", "#9a9a9a"
# Told apart by marker and dash as well as by tone.
_LINES = {
    "phased plan": {"color": _ACCENT, "marker": "o", "linestyle": "-", "linewidth": 2.2},
    "random pairs": {"color": _INK, "marker": "s", "linestyle": "--", "linewidth": 1.2},
    "fixed sequence": {"color": _INK, "marker": "^", "linestyle": "-.", "linewidth": 1.2},
    "fixed, votes": {"color": _PALE, "marker": "x", "linestyle": ":", "linewidth": 1.4},
}


def _plain(axes: Axes) -> None:
    axes.spines[["top", "right"]].set_visible(False)
    axes.grid(axis="y", color="#e4e4e4", linewidth=0.7)
    axes.set_axisbelow(True)


def accuracy_figure(
    curves: Mapping[str, Mapping[int, Scores]], ceilings: Mapping[float, Mapping[str, float]], count: int, path: Path
) -> None:
    """Draw season and sub-season accuracy of each arm against comparisons, with the ceilings."""
    figure, panels = plt.subplots(1, 2, figsize=(10, 4.4), sharey=True, layout="constrained")
    for axes, kind, title in zip(panels, ("season", "category"), ("Season", "Sub-season"), strict=True):
        heights = [ceiling[kind] for ceiling in ceilings.values()]
        axes.axhspan(min(heights), max(heights), color=_PALE, alpha=0.35, linewidth=0, label="ceiling")
        axes.text(41, np.mean(heights), f"{min(heights):.2f}-\n{max(heights):.2f}", fontsize=8, color=_INK, va="center")
        for arm, scores in curves.items():
            at = sorted(scores)
            shares = [getattr(scores[n], kind) for n in at]
            axes.plot(at, [s.value for s in shares], label=arm, markersize=5, **_LINES[arm])
            if arm == "phased plan":
                low, high = np.array([s.interval for s in shares]).T
                axes.fill_between(at, low, high, color=_ACCENT, alpha=0.13, linewidth=0, label="its 95 % interval")
        axes.set(title=title, xlabel="comparisons", xlim=(4, 41), ylim=(0, 1.01))
        _plain(axes)
    panels[0].set_ylabel(f"share right ({count} simulated clients)")
    panels[0].legend(frameon=False, loc="lower right", fontsize=8)
    note = f"ceiling: someone who knows the ideal point up to a random error of sd {max(ceilings)} to {min(ceilings)}"
    figure.supxlabel(note, fontsize=8)
    figure.savefig(path, dpi=150, bbox_inches="tight")
    plt.close(figure)


def reliability_figure(rows: Sequence[tuple[str, Sequence[Mapping[str, float]], str]], path: Path) -> None:
    """Draw stated probability against share right in ten bins, with 95 % intervals and counts, one panel a reading."""
    figure, panels = plt.subplots(
        2,
        len(rows),
        figsize=(3.6 * len(rows), 4.9),
        sharex=True,
        layout="constrained",
        gridspec_kw={"height_ratios": [3, 1]},
        squeeze=False,
    )
    for column, (title, bins, note) in enumerate(rows):
        top, bottom = panels[0, column], panels[1, column]
        stated, right, counts = (np.array([b[k] for b in bins]) for k in ("stated", "right", "count"))
        low, high = np.array([(b["interval_low"], b["interval_high"]) for b in bins]).T
        top.plot([0, 1], [0, 1], color=_PALE, linewidth=1, linestyle="--")
        top.errorbar(
            stated,
            right,
            yerr=[np.maximum(right - low, 0), np.maximum(high - right, 0)],
            color=_ACCENT,
            marker="o",
            linestyle="none",
            capsize=2,
            linewidth=1.2,
        )
        top.set(title=title, xlim=(0, 1), ylim=(0, 1.02))
        top.text(0.04, 0.94, note, fontsize=8, transform=top.transAxes, va="top")
        bars = bottom.bar([b["low"] + 0.05 for b in bins], counts, width=0.09, color=_PALE)
        bottom.bar_label(bars, fontsize=7)
        bottom.set(xlabel="stated probability", ylim=(0, counts.max() * 1.25))
        _plain(top)
        _plain(bottom)
    panels[0, 0].set_ylabel("share right")
    panels[1, 0].set_ylabel("clients")
    figure.savefig(path, dpi=150, bbox_inches="tight")
    plt.close(figure)
