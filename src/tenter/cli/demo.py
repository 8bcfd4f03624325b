"""`tenter demo`: the main job on the invented studio, from kit, ledger and portraits to what each client takes home."""

from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeAlias

import typer

from tenter.cli.papers.hand_over import write_whole_set
from tenter.cli.shared.inputs import errors_said, say
from tenter.cli.shared.output_files import make_folder
from tenter.cli.studio.demo_workshop import WorkshopFile, write_workshop
from tenter.errors import MissingPart, UnknownName
from tenter.numerals import number

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from tenter import Face, Sitting, Verdict
    from tenter.consultation.client.demo_clients import DemoClient

    Served: TypeAlias = tuple[DemoClient, Sitting, Verdict, tuple[Path, ...]]

_DATE = "2026-03-12"  # of the invented sittings, so that the sheets are the same on every run


def demo(
    out: Annotated[
        Path, typer.Option("--out", help="Folder for the files, with one of its own for each client.")
    ] = Path("build/demo"),
    client: Annotated[
        list[str] | None, typer.Option("--client", help="Only this client, K1 to K5; may be given again.")
    ] = None,
) -> None:
    """Replay the invented studio's five clients and write all that each takes home, and the studio's sheet.

    Then write what the workshop says of its kit and light: kit health, labels, a light report, readings with one faded
    cloth, and what a drape's light does to a face.
    """
    with errors_said():
        chosen = _chosen(client)
        make_folder(out, "--out")
        copy_studio(files("tenter.demo_studio"), out / "studio")
        rows = [_serve(one, out) for one in chosen]
        say("The workshop ...")
        face, whose = next(((s.face, c.name) for c, s, _, _ in rows if s.face is not None), (None, ""))
        made = write_workshop(out / "workshop", _DATE, face, whose)
    _print_table(rows)
    _print_places(made, out)


def copy_studio(source: "Traversable", folder: Path) -> None:
    """Lay the studio's own files out to be tried on: kit, answers, wardrobe and photographs."""
    make_folder(folder, "--out")
    for item in source.iterdir():
        if item.is_file() and item.name.endswith((".csv", ".jpg", ".md")):
            (folder / item.name).write_bytes(item.read_bytes())
        elif item.name == "portraits":
            copy_studio(item, folder / item.name)


def _chosen(ids: list[str] | None) -> "list[DemoClient]":
    """Return the clients of these numbers, all where none is given; raises `UnknownName` for one that is not there."""
    from tenter.consultation.client.demo_clients import demo_clients

    known = {client.id: client for client in demo_clients()}
    for unknown in (one for one in ids or () if one not in known):
        raise UnknownName("client of the demo", unknown, known)
    return [client for client in known.values() if not ids or client.id in ids]


def _serve(client: "DemoClient", out: Path) -> "Served":
    from tenter import Kit, Method, Sitting
    from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
    from tenter.report.reading.content import ClientCard

    say(f"{client.id} {client.name} ...")
    kit = Kit.demo()
    face = _measured(client, out) if client.portrait else None
    sitting = Sitting(kit, Method.bundled(), seed=7, face=face).record_all(
        judgements_of_client(demo_ledger(kit), client.id)
    )
    card = ClientCard(
        name=client.name,
        studio="The North Room, Eddermouth",
        consultant="Wenna Castrall",
        date=_DATE,
        minor=client.minor,
        words_only=client.words_only,
    )
    paths = tuple(write_whole_set(card, sitting, out / client.id, replace=True))
    return client, sitting, sitting.verdict(), paths


def _measured(client: "DemoClient", out: Path) -> "Face | None":
    from tenter import Face
    from tenter.photo.face.measure import measure_face
    from tenter.photo.files.loading import load_photo
    from tenter.report.pictures.face_drawing import draw_face_picture
    from tenter.report.pictures.face_picture import face_picture

    with as_file(files("tenter.demo_studio") / "portraits" / client.portrait) as path:
        photo = load_photo(path)
    try:
        measured = measure_face(photo)
    except MissingPart as missing:
        say(f"  the portrait is not measured, and the demo goes on without it: {missing}")
        return None
    drawn = draw_face_picture(face_picture(measured, photo, f"{client.name}, a rendered face"), photo)
    (out / f"face-{client.id}.png").write_bytes(drawn)
    if not measured.accepted:
        why = " ".join(reason.text for reason in measured.reasons if reason.refuses)
        say(f"  the portrait was refused. {why}")
        return None
    face = Face.of_written(measured.written(), client.portrait)
    degrees = "unknown" if face.ita_degrees is None else f"{number(face.ita_degrees, 0)}°, {face.ita_class}"
    say(f"  portrait measured: skin L* {face.skin_lightness:.1f}, individual typology angle (ITA) {degrees}")
    return face


def _print_table(rows: "list[Served]") -> None:
    from rich.console import Console
    from rich.table import Table

    from tenter.consultation.words.odds_words import percent

    console = Console(highlight=False)
    columns = ("client", "verdict", "odds", "compared", "contradictions")
    for client, sitting, verdict, paths in rows:
        table = Table(box=None, header_style="bold", pad_edge=False, show_header=client is rows[0][0])
        for column, width in zip(columns, (20, 25, 8, 10, 16), strict=True):
            table.add_column(column, width=width)
        contradicted = ", ".join(f"entry {c.number}" for c in verdict.contradictions) or "none"
        told = (f"{client.id} {client.name}", verdict.headline, percent(verdict.probability))
        table.add_row(*told, str(len(sitting.evidence)), contradicted)
        console.print(table)
        console.print(f"   end of the story: {client.story_end}", style="dim")
        console.print(f"   {len(paths)} files in {paths[0].parent}:", style="dim", soft_wrap=True)
        for path in paths:
            console.print(f"     {path.name}", style="dim", soft_wrap=True)
        console.print()
    console.print(
        "The endings are what the stories were written for, not a truth that the verdict must meet. "
        "docs/studies/demo.md explains each verdict that differs."
    )


def _print_places(made: "list[WorkshopFile]", out: Path) -> None:
    """Say where everything is, and what the workshop's files are."""
    from rich.console import Console

    console = Console(highlight=False)
    for one in made:
        console.print(f"   {one.path.name}: {one.told}", style="dim", soft_wrap=True)
    console.print(f"The workshop, kit and light: {(out / 'workshop').resolve()}", soft_wrap=True)
    console.print(
        f"What each client takes home, the studio's sheets, and a picture of each measured face: {out.resolve()}",
        soft_wrap=True,
    )
    console.print(f"The studio's own files, to try the other commands on: {(out / 'studio').resolve()}", soft_wrap=True)
