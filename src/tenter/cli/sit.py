"""`tenter sit`: replay a ledger into a verdict."""

from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    REFUSED,
    ClientOption,
    FaceOption,
    JsonOption,
    KitOption,
    MethodOption,
    SeedOption,
    errors_said,
    print_json,
    replayed,
    say,
)


def sit(
    replay: Annotated[Path, typer.Option("--replay", help="The ledger to replay, judgements.csv.")],
    client: ClientOption,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    as_json: JsonOption = False,
) -> None:
    """Replay one client's judgements and give the verdict."""
    from tenter import PhaseMissing
    from tenter.cli.documents import verdict_document
    from tenter.cli.verdict import print_verdict

    with errors_said():
        sitting = replayed(replay, client, kit, method, face, seed)
        try:
            found = sitting.verdict()
        except PhaseMissing as error:
            say(str(error))
            if as_json:
                print_json({"client": client, "refused": str(error), "owed": list(error.owed)})
            raise typer.Exit(REFUSED) from None
    if as_json:
        print_json(verdict_document(client, sitting, found))
    else:
        print_verdict(client, sitting, found)
