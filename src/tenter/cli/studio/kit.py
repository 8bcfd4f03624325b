"""`tenter kit`: look at the cloths, and audit them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import JsonOption, KitOption, MethodOption, errors_said, load_kit, load_method, print_json
from tenter.cli.studio.kit_worth import print_worth, worth_document
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.numerals import how_many, listed, number, signed, whole_percent

if TYPE_CHECKING:
    from rich.console import Console

    from tenter import Kit, Method
    from tenter.consultation.laid_out.audit import KitAudit, KitFinding, TestQuality
    from tenter.consultation.laid_out.coverage import KitCoverage
    from tenter.consultation.laid_out.pair_quality import CleanPairs, PairQuality

_MOST_FINDINGS = 10  # of a kind, printed: a screen full
_MOST_PAIRS = 40  # printed: more than a kit of a hundred cloths names

app = typer.Typer(help="Look at the kit of test cloths, and audit it.", no_args_is_help=True)


@app.command()
def show(
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    as_json: JsonOption = False,
) -> None:
    """Show every cloth with its place on the three axes and the category its colour belongs to."""
    with errors_said():
        cloths, way = load_kit(kit), load_method(method)
        if as_json:
            print_json(kit_document(cloths, way))
        else:
            _print_table(cloths, way)


@app.command("audit")
def audit_kit(
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    to_buy: Annotated[
        bool,
        typer.Option("--to-buy", help="Also say which gaps matter to the verdict and which colours to look for."),
    ] = False,
    best: Annotated[
        int | None, typer.Option(metavar="N", help="Also name the best kit of N cloths out of those you own.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Say what the kit covers and lacks, how cleanly its test pairs test, and what to do about it."""
    with errors_said():
        from rich.console import Console

        from tenter.consultation.laid_out.audit import audit
        from tenter.consultation.laid_out.bench import bench_of
        from tenter.consultation.worth.best_kit import best_kit
        from tenter.consultation.worth.reach import reach_findings
        from tenter.consultation.worth.shopping import kit_worth

        cloths, way = load_kit(kit), load_method(method)
        found = audit(cloths, way)
        bench = bench_of(cloths, way)
        worth = kit_worth(bench) if to_buy else None
        few = None if best is None else best_kit(bench, best)
        if as_json:
            print_json({**_audit_document(found, cloths, way), **worth_document(worth, few)})
        else:
            _print_audit(found, way.title)
            _print_findings(Console(highlight=False), "Decide nothing", reach_findings(bench))
            print_worth(worth, few)


def _audit_document(found: "KitAudit", kit: "Kit", method: "Method") -> dict[str, object]:
    from tenter.consultation.laid_out.bench import bench_of
    from tenter.consultation.worth.reach import cloth_reach

    reach = [
        {**asdict(cloth), "suits": str(cloth.suits), "decides_nothing": cloth.decides_nothing}
        for cloth in cloth_reach(bench_of(kit, method))
    ]
    return {
        **asdict(found),
        "gaps": [{**asdict(gap), "words": gap.words} for gap in found.gaps],
        "reach": reach,
        "method": method.name,
        "converted_to_bench": kit.bench_colours.recovered,
    }


def kit_document(kit: "Kit", method: "Method") -> dict[str, object]:
    """Return the kit as plain values for JSON."""
    coordinates = method.coordinates(kit)
    rows = [
        {
            "id": drape.id,
            "name": drape.name,
            "hue_family": str(drape.hue_family),
            "lab": [float(v) for v in lab],
            "undertone": round(float(x[0]), 3),
            "depth": round(float(x[1]), 3),
            "clarity": round(float(x[2]), 3),
            "category": method.category_at(x),
            "undertone_by_hand": drape.undertone is not None,
            "place": drape.place,
        }
        for drape, lab, x in zip(kit.drapes, kit.lab, coordinates, strict=True)
    ]
    conditions = kit.colours.conditions
    return {
        "cloths": rows,
        "illuminant": conditions.illuminant,
        "observer": str(conditions.observer),
        "converted_to_bench": kit.bench_colours.recovered,
        "method": method.name,
    }


def _print_table(kit: "Kit", method: "Method") -> None:
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, header_style="bold", pad_edge=False)
    for column in ("id", "name", "hue", "L*", "a*", "b*", "undertone", "depth", "clarity", "cell"):
        table.add_column(column, justify="right" if column in ("L*", "a*", "b*") else "left")
    coordinates = method.coordinates(kit)
    cells = [method.category_at(x) for x in coordinates]
    for drape, lab, x, cell in zip(kit.drapes, kit.lab, coordinates, cells, strict=True):
        by_hand = " (by hand)" if drape.undertone is not None else ""
        axes = (f"{signed(x[0], 2)}{by_hand}", signed(x[1], 2), signed(x[2], 2))
        table.add_row(drape.id, drape.name, str(drape.hue_family), *map(number, lab), *axes, cell)
    console = Console()
    console.print(table)
    counts = Counter(cells)
    console.print(f"\n{how_many(len(kit), 'cloth')} under {kit.colours.conditions}, read by {method.title}.")
    if kit.bench_colours.recovered:
        console.print("Carried to D65/10° through recovered reflectances: predicted, not measured.")
    console.print("Cloths in each category: " + ", ".join(f"{c} {counts[c]}" for c in method.categories))


def _print_audit(found: "KitAudit", title: str) -> None:
    from rich.console import Console

    from tenter.consultation.laid_out.audit import FindingKind

    console = Console(highlight=False)
    console.print(f"{how_many(found.cloths, 'cloth')}, read by {title}.\n")
    _print_coverage(console, found.coverage)
    _print_findings(console, "Widest gaps", found.of_kind(FindingKind.GAP))
    _print_tests(console, found.tests)
    _print_faces(console, found.tests)
    _print_clean_pairs(console, found.clean_pairs)
    _print_findings(console, "To look at", [f for f in found.findings if f.kind is not FindingKind.GAP])


def _print_findings(console: "Console", title: str, findings: "Sequence[KitFinding]") -> None:
    from rich.markup import escape
    from rich.table import Table

    console.print(f"\n[bold]{title}: {len(findings) or 'none'}[/]")
    table = Table(box=None, show_header=False, pad_edge=False)
    table.add_column(no_wrap=True)
    for kind in dict.fromkeys(finding.kind for finding in findings):
        own = [finding for finding in findings if finding.kind is kind]
        for finding in own[:_MOST_FINDINGS]:
            table.add_row(f"{kind}", f"{escape(finding.text)} [italic]{escape(finding.advice)}[/]")
        if len(own) > _MOST_FINDINGS:
            table.add_row(f"{kind}", f"… and {len(own) - _MOST_FINDINGS} more; --json has all.")
    if findings:
        console.print(table)


def _print_coverage(console: "Console", coverage: "KitCoverage") -> None:
    from rich.table import Table

    table = Table(box=None, header_style="bold", pad_edge=False, title="[bold]Cloths by hue[/]", title_justify="left")
    table.add_column("hue")
    for heading in (*coverage.hues[0].levels, "", *coverage.hues[0].strengths, "", "all"):
        table.add_column(str(heading), justify="right")
    for row in coverage.hues:
        counts = [[str(count or "–") for count in by.values()] for by in (row.levels, row.strengths)]
        table.add_row(str(row.hue_family), *counts[0], "", *counts[1], "", str(row.total or "–"))
    console.print(table)
    categories = ", ".join(f"{name} {count}" for name, count in coverage.categories.items())
    console.print(f"Measured cloths without metals. In each category: {categories}.")


def _print_tests(console: "Console", tests: "Sequence[TestQuality]") -> None:
    from rich.table import Table

    from tenter.consultation.axes import Axis

    table = Table(box=None, header_style="bold", pad_edge=False, title="[bold]Test pairs[/]", title_justify="left")
    for column in ("test", "cloths", "for"):
        table.add_column(column, no_wrap=True)
    for column in ("share", "ΔE00", "ΔL*", "ΔC*", "chin"):
        table.add_column(column, justify="right", no_wrap=True)
    table.add_column("in words")
    every = [(test, pair) for test in tests for pair in test.pairs]
    for test, pair in every[:_MOST_PAIRS]:
        numbers = (f"{v:.1f}" for v in (pair.delta_e, pair.lightness, pair.chroma))
        chin = whole_percent(pair.visibility) if pair.axis is Axis.UNDERTONE else "–"
        name, cloths = test.name.removeprefix(f"{test.axis}-"), f"{pair.first} {pair.second}"
        table.add_row(name, cloths, pair.axis, whole_percent(pair.share), *numbers, chin, _in_words(pair))
    if table.rows:
        console.print()
        console.print(table)
        _print_how_many_more(console, len(every))
        console.print(
            f"Mixed: {sum(bool(pair.mixed) for _, pair in every)} of {len(every)} pairs. "
            "share: how much of the difference is what the pair is for. chin: a prediction of how much of a clear "
            "pair's effect shows there; only undertone needs it."
        )


def _print_how_many_more(console: "Console", pairs: int) -> None:
    if pairs > _MOST_PAIRS:
        console.print(f"… and {how_many(pairs - _MOST_PAIRS, 'pair')} more; --json has all.")


def _print_faces(console: "Console", tests: "Sequence[TestQuality]") -> None:
    from rich.table import Table

    every = [pair for test in tests for pair in test.pairs]
    if not every:
        return
    table = Table(box=None, header_style="bold", pad_edge=False, title="[bold]On the face[/]", title_justify="left")
    table.add_column("pair", no_wrap=True)
    skins = [str(on.skin) for on in every[0].on_skins]
    for place in ("chin", "jaw"):
        for skin in skins:
            table.add_column(f"{place},\n{skin}", justify="right", no_wrap=True)
    for pair in every[:_MOST_PAIRS]:
        jaws = [f"{on.jaw:.1f}{'' if on.visible else ' –'}" for on in pair.on_skins]
        table.add_row(f"{pair.first} {pair.second}", *(f"{on.chin:.1f}" for on in pair.on_skins), *jaws)
    console.print()
    console.print(table)
    _print_how_many_more(console, len(every))
    console.print(
        f"ΔE00 between the skin above the one cloth and above the other, on {listed(skins)} skin: a "
        "prediction, of reflected light alone. –: too small to see at the jaw."
    )


def _in_words(pair: "PairQuality") -> str:
    words = [f"mixed: {', '.join(pair.mixed)}"] if pair.mixed else []
    return "; ".join(words + ["hardly visible"] * pair.hardly_visible) or "clean"


def _print_clean_pairs(console: "Console", clean: "Sequence[CleanPairs]") -> None:
    from rich.table import Table

    table = Table(
        box=None, header_style="bold", pad_edge=False, title="[bold]Clean pairs of one hue[/]", title_justify="left"
    )
    for column in ("axis", "among"):
        table.add_column(column, no_wrap=True)
    table.add_column("pairs", justify="right")
    table.add_column("best")
    for found in clean:
        best = ", ".join(f"{pair.first} {pair.second}" for pair in found.best)
        table.add_row(found.axis, found.level, str(found.count or "none"), best)
    console.print()
    console.print(table)
