"""`tenter sit`: a sitting at the terminal, or the replay of a ledger into a verdict."""

from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.inputs import (
    ClientOption,
    FaceOption,
    JsonOption,
    KitOption,
    MethodOption,
    SeedOption,
    errors_said,
    load_kit,
    load_method,
    print_json,
    refused_as_json,
    replayed_ledger,
)
from tenter.consultation.conventions.bundled import DEFAULT_METHOD


def sit(
    client: ClientOption,
    replay: Annotated[Path | None, typer.Option("--replay", help="Replay this ledger, judgements.csv.")] = None,
    journal: Annotated[Path | None, typer.Option("--journal", help="The file that keeps the sitting.")] = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    as_json: JsonOption = False,
) -> None:
    """Hold a sitting at the terminal, with every entry saved at once; or --replay a ledger and give the verdict."""
    with errors_said():
        if replay is None:
            _at_terminal(client, journal, kit, method, face, seed)
        else:
            _replay(client, replay, kit, method, face, seed, as_json)


def _at_terminal(
    client: str, journal: Path | None, kit: Path | None, method: str, face: Path | None, seed: int
) -> None:
    from tenter import Face, Sitting
    from tenter.cli.sitting.at_bench import sit_at_bench

    measured = Face.read(face) if face else None
    sitting = Sitting(load_kit(kit), load_method(method), seed=seed, face=measured)
    sit_at_bench(sitting, journal or default_journal(client), client)


def default_journal(client: str) -> Path:
    """Return where a client's sitting is kept when no file is named: the user's own data folder."""
    from platformdirs import user_data_path

    name = "".join(c if c.isalnum() or c in "-_" else "_" for c in client)
    return user_data_path("tenter") / "sittings" / f"{name}.jsonl"


def _replay(
    client: str, ledger: Path, kit: Path | None, method: str, face: Path | None, seed: int, as_json: bool
) -> None:
    from tenter.cli.shared.documents import verdict_document
    from tenter.cli.sitting.verdict import print_verdict

    sitting = replayed_ledger(ledger, client, kit, method, face, seed)
    with refused_as_json(client, as_json):
        found = sitting.verdict()
    if as_json:
        print_json(verdict_document(client, sitting, found))
    else:
        print_verdict(client, sitting, found)
