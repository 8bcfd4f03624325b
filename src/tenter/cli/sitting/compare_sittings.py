"""`tenter compare-sittings`: an earlier sitting against a later one of the same client."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import (
    ClientOption,
    JsonOption,
    KitOption,
    MethodOption,
    errors_said,
    load_kit,
    load_method,
    print_json,
    replayed_ledger,
)
from tenter.cli.shared.paper_options import LanguageOption, papers_in
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter.consultation.compared.reanalysis import ChairLight, Reanalysis, Sat

_LedgerArgument = Annotated[Path, typer.Argument(help="A judgements.csv.")]
_NameOption = Annotated[str | None, typer.Option(help="The client's name in the earlier ledger, if it was another.")]
_DayOption = Annotated[str, typer.Option(help="The day of that sitting, YYYY-MM-DD.")]
_WhoOption = Annotated[str, typer.Option(help="Who judged that sitting.")]
_LightOption = Annotated[
    str, typer.Option(help="The light at the chair that day: CCT in kelvin, or the JSON of a light check.")
]
_ThenOption = Annotated[Path | None, typer.Option(help="The cloths as they were measured about that day.")]


def compare_sittings(
    earlier: _LedgerArgument,
    later: _LedgerArgument,
    client: ClientOption,
    earlier_client: _NameOption = None,
    earlier_date: _DayOption = "",
    later_date: _DayOption = "",
    earlier_consultant: _WhoOption = "",
    later_consultant: _WhoOption = "",
    earlier_light: _LightOption = "",
    later_light: _LightOption = "",
    earlier_measured: _ThenOption = None,
    later_measured: _ThenOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Say whether two sittings of one client show a change, and which causes are excluded."""
    from tenter.consultation.compared.reanalysis import Sat, reanalysis
    from tenter.report.on_screen.reanalysis import reanalysis_page

    def sat(ledger: Path, name: str, day: str, who: str, light: str, measured: Path | None) -> "Sat":
        sitting = replayed_ledger(ledger, name, kit, method, None, 0)
        return Sat(sitting, checked_day(day), who, _light(light), load_kit(measured) if measured else None)

    with errors_said(), papers_in(language):
        first = sat(
            earlier, earlier_client or client, earlier_date, earlier_consultant, earlier_light, earlier_measured
        )
        second = sat(later, client, later_date, later_consultant, later_light, later_measured)
        found = reanalysis(first, second, load_method(method))
        page = reanalysis_page(client, found)
        told = page.lines()
    if as_json:
        print_json({"client": client, **document(found), "for_client": page.for_client})
        return
    for line in told:
        typer.echo(line)


def checked_day(day: str) -> str:
    """Return a day as it came, empty or ISO text; raises `TenterError` for anything else."""
    from datetime import date

    from tenter import TenterError

    if day:
        try:
            date.fromisoformat(day)
        except ValueError:
            raise TenterError(f"{day!r} is not a date; write it as 2026-03-14") from None
    return day


def document(found: "Reanalysis") -> dict[str, object]:
    """Return a comparison as plain values."""
    return {
        "method": found.method,
        "change": str(found.change),
        "moved": found.moved,
        "other_category": found.other_category,
        "shifts": {str(s.axis): {"mean": s.mean, "interval_95_together": [s.low, s.high]} for s in found.shifts},
        "causes": {str(c.cause): str(c.told) for c in found.causes},
        **{
            when: {
                "date": read.date or None,
                "category": read.category,
                "probability": read.probability,
                "under_own_method": read.under_own,
                "own_method": read.own_method,
                "comparisons": read.comparisons,
            }
            for when, read in (("earlier", found.earlier), ("later", found.later))
        },
    }


def _light(given: str) -> "ChairLight | None":
    """Return the light of kelvin as typed, or of the file of a light check; None for nothing."""
    from tenter import TenterError
    from tenter.consultation.compared.reanalysis import ChairLight
    from tenter.light.light_values import read_kept_values

    if not given:
        return None
    try:
        return ChairLight(float(given))
    except ValueError:
        found = read_kept_values(given)
    if found.cct_kelvin is None:
        raise TenterError(f"{given} has no colour temperature; give one in kelvin, or a check that has it")
    return ChairLight(found.cct_kelvin, found.duv, found.lux, found.ra)
