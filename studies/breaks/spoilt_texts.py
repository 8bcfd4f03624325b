"""Every reader of a file that is no picture, with a sound file for each, and the ways in which files are spoilt.

For `bench_breaks.py`. A reader answers a spoilt file by reading it or by a plain refusal, in bounded time and memory.
"""

import hashlib
import io
import json
import random
import re
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from studies.breaks.measured_texts import FACE, measured_files, wardrobe_document
from studies.breaks.reading_texts import reading_files

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Format:
    """A kind of file: a sound one, the ending of its name, and what reads it."""

    name: str
    ending: str
    sound: bytes
    read: Callable[[Path], object]


def formats(folder: Path) -> list[Format]:
    """Return every format but those of a studio's own files. folder: where a demo sitting's files may be made."""
    import tenter  # noqa: PLC0415  # in the child that reads
    from tenter.consultation.client.face import Face  # noqa: PLC0415
    from tenter.consultation.garments.given import read_spectrum  # noqa: PLC0415
    from tenter.consultation.garments.wardrobe import read_pieces  # noqa: PLC0415
    from tenter.consultation.personal.document import palette_document, read_palette  # noqa: PLC0415
    from tenter.consultation.personal.edits import made_of  # noqa: PLC0415
    from tenter.consultation.personal.edits_file import read_edits  # noqa: PLC0415
    from tenter.consultation.record.ledger import demo_ledger, judgements_of_client, read_ledger  # noqa: PLC0415
    from tenter.consultation.sitting.journal import Journal  # noqa: PLC0415
    from tenter.consultation.stock.files import read_stock  # noqa: PLC0415
    from tenter.light.spectrum_files import read_lamp_spectrum  # noqa: PLC0415
    from tenter.light.thresholds import read_thresholds  # noqa: PLC0415
    from tenter.report.own_words.words_file import read_words  # noqa: PLC0415
    from tenter.report.printing.printer_profile import read_printer_profile  # noqa: PLC0415

    kit, method = tenter.Kit.demo(), tenter.Method.bundled()
    sitting = tenter.Sitting(kit, method, seed=7).record_all(judgements_of_client(demo_ledger(kit), "K5"))
    palette, known, _ = made_of(sitting, sitting.verdict())
    journal = folder / "sound.jsonl"
    for event in sitting.events:
        Journal(journal).append(event)

    def replay(path: Path) -> object:
        return Journal(path).replay(tenter.Sitting(kit, method, seed=7))

    studio, data = ROOT / "src" / "tenter" / "demo_studio", ROOT / "tests" / "data"
    kept = json.dumps(palette_document("K5", palette, known), indent=1).encode()
    return [
        Format("kit", ".csv", (studio / "drapes.csv").read_bytes(), tenter.Kit.read),
        Format("judgements", ".csv", (studio / "judgements.csv").read_bytes(), lambda path: read_ledger(path, kit)),
        Format("journal of a sitting", ".jsonl", journal.read_bytes(), replay),
        Format("method", ".toml", _whole_method(), tenter.Method.read),
        Format("palette", ".json", kept, read_palette),
        Format("changes of a palette", ".json", _EDITS, read_edits),
        Format("face", ".json", json.dumps(FACE, indent=1).encode(), Face.read),
        Format("wardrobe", ".csv", (studio / "owned.csv").read_bytes(), lambda path: read_pieces(path, palette, known)),
        Format("wardrobe of objects", ".json", wardrobe_document(), lambda path: read_pieces(path, palette, known)),
        Format("stock", ".csv", _STOCK, read_stock),
        Format("words", ".toml", _words(), read_words),
        Format("spectrum", ".csv", _SPECTRUM, read_spectrum),
        Format("spectrum of a lamp", ".csv", _SPECTRUM, read_lamp_spectrum),
        Format("thresholds of a light", ".toml", b"least_lux = 1500\nleast_rf = 90\n", read_thresholds),
        *(Format(*file) for file in measured_files()),
        *(Format(*file) for file in reading_files(folder)),
        *(
            Format(
                f"printer profile {file.stem}", ".icc", file.read_bytes(),
                lambda path: read_printer_profile(path.read_bytes()),
            )
            for file in sorted((data / "argyll").glob("*.icc"))
        ),
    ]  # fmt: skip


def backup_format(folder: Path) -> Format:
    """Return the format of a backup, with one of the demo studio; Django must be set up on a data folder."""
    from tenter.web.backups.backup import write_backup  # noqa: PLC0415
    from tenter.web.backups.backup_file import read_backup  # noqa: PLC0415
    from tenter.web.backups.checking import check_backup  # noqa: PLC0415

    whole = folder / "sound.zip"
    write_backup(whole)

    def read(path: Path) -> object:
        return check_backup(read_backup(path))

    return Format("backup", ".zip", whole.read_bytes(), read)


def client_format(owner: Any) -> Format:
    """Return the format of a client's archive, with one of an owner's clients; what is taken in is given up again."""
    from django.db import transaction  # noqa: PLC0415

    from tenter.web.archives.client_archive import archive_of  # noqa: PLC0415
    from tenter.web.archives.client_archive_back import take_in_client  # noqa: PLC0415
    from tenter.web.archives.client_archive_reading import read_archive  # noqa: PLC0415
    from tenter.web.models import Client  # noqa: PLC0415

    client = Client.objects.filter(owner=owner, sittings__isnull=False).first()

    def read(path: Path) -> object:
        with transaction.atomic():
            taken = take_in_client(read_archive(path.read_bytes(), path.name), owner, path.name)
            transaction.set_rollback(True)
        return taken

    return Format("a client's file", ".zip", _zipped(_members(archive_of(client).content)), read)


def keys_format() -> Format:
    """Return the format of a copy of the photographs' keys, with one of the studio's own."""
    from tenter.web.keys import photo_key_copy  # noqa: PLC0415
    from tenter.web.sealing import photo_keys  # noqa: PLC0415

    photo_keys.make_key_file()
    sound = photo_key_copy.locked_copy(_PASSPHRASE)
    return Format("keys", ".json", sound, lambda path: photo_key_copy.take_in_keys(path.read_bytes(), _PASSPHRASE))


def _whole_method() -> bytes:
    return (ROOT / "src" / "tenter" / "consultation" / "data" / "four-by-three.toml").read_bytes()


def _words() -> bytes:
    document = (ROOT / "docs" / "reference" / "studio-words.md").read_text(encoding="utf-8")
    return re.findall(r"^```toml[^\n]*\n(.*?)^```", document, flags=re.MULTILINE | re.DOTALL)[0].encode()


_BOMB = 1_500_000_000  # bytes: less than the tables of a backup may have together
_PASSPHRASE = "linen on the line"
_EDITS = json.dumps({"kind": "tenter palette changes", "changes": []}, indent=1).encode()
_STOCK = b"drawer,name,L,a,b,illuminant,observer,count\nA1,coral,65,40,30,D65,10,3\nA2,navy,25,4,-22,D65,10,5\n"
_SPECTRUM = "".join(f"{nm},{0.2 + 0.001 * (nm - 400):.3f}\n" for nm in range(400, 701, 10)).encode()


# -- how files are spoilt ----------------------------------------------------------------------------------------------

_MANIFEST, _CLIENT = "manifest.json", "client.json"
_LISTS = {_MANIFEST: (), _CLIENT: ("index.html",)}  # what tells the checksums, and of what else it tells none
_ODD = (
    *(b"1e999", b"nan", b"-inf", b"9" * 5000, b"-0", b"", b"0x10", b"\0", b"\xff\xfe", b"true", b"null"),
    *(b'"', b"'''", b"[", b"{", b"\r", b"\n\n", b";", b",", b"\xf0\x9f\x92\xa9" * 50),
    *(b"A" * 1_000_000, b"[" * 100_000, b'{"a":' * 50_000),
)


def _cut(content: bytes, chance: random.Random) -> bytes:
    return content[: int(len(content) * chance.choice([0, 0.001, 0.02, 0.3, 0.7, 0.95, 0.999]))]


def _flip(content: bytes, chance: random.Random) -> bytes:
    spoilt = bytearray(content)
    for _ in range(chance.choice([1, 2, 8, 40])):
        spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def _repeat(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content))
    end = min(len(content), start + chance.choice([1, 40, 400]))
    return content[:end] + content[start:end] * chance.choice([1, 3, 300]) + content[end:]


def _drop(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content))
    return content[:start] + content[start + chance.choice([1, 20, 300]) :]


def _value(content: bytes, chance: random.Random) -> bytes:
    """Put something odd in the place of a word or a number."""
    found = list(re.finditer(rb"[\w.\-+]+", content))
    place = chance.choice(found)
    return content[: place.start()] + chance.choice(_ODD) + content[place.end() :]


def _line(content: bytes, chance: random.Random) -> bytes:
    """Take a line out, write it twice, or swap it with another."""
    lines = content.split(b"\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one : one + 1] = chance.choice(
        [[], [lines[one]] * 2, [lines[other]], [lines[one], b"\xef\xbb\xbf" + lines[other]]]
    )
    return b"\n".join(lines)


def _write_otherwise(content: bytes, chance: random.Random) -> bytes:
    """Write the text in another encoding, with other ends of lines, or many times over."""
    text = content.decode("latin-1")
    ways: list[Callable[[], bytes]] = [
        lambda: text.encode("utf-16"), lambda: text.encode("utf-32"), lambda: b"\xef\xbb\xbf" + content,
        lambda: content.replace(b"\n", b"\r\n"), lambda: content.replace(b"\n", b"\r"), lambda: content * 40,
        lambda: content.replace(b",", b";"), lambda: content[::-1], lambda: b"\0" * len(content),
    ]  # fmt: skip
    return chance.choice(ways)()


_WAYS = (_cut, _flip, _repeat, _drop, _value, _line, _write_otherwise)


def spoilt(form: Format, count: int, seed: int) -> Iterator[tuple[str, bytes]]:
    """Yield `count` spoilt files of a format, each with the way in which it was spoilt.

    Of a backup every other file has a member that is spoilt, with its checksum made to fit; most are sealed anew, so
    that more than the seal is tried.
    """
    chance = random.Random(f"{seed} {form.name}")
    packed = form.ending == ".zip"
    bombs = _bombs(form.sound) if packed else []
    yield from bombs[:count]
    for number in range(count - len(bombs)):
        way = _WAYS[number % len(_WAYS)]
        if not packed:
            yield way.__name__, way(form.sound, chance)
        elif number % 2:
            yield f"{way.__name__} inside", _in_a_member(form.sound, way, chance)
        else:
            content = way(form.sound, chance)
            yield way.__name__, content if number % 8 == 0 else _sealed(content)


def _sealed(content: bytes) -> bytes:
    """Return the bytes with the seal that a backup has for its last 64."""
    return content[:-64] + hashlib.sha256(content[:-64]).hexdigest().encode()


def _members(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _zipped(members: dict[str, bytes]) -> bytes:
    """Return an archive with the checksums of its members and a seal, as a backup and a client's file have them."""
    for told, left_out in _LISTS.items():
        with suppress(ValueError, AttributeError, TypeError, RecursionError, KeyError):  # none, or one that was spoilt
            document = json.loads(members[told])
            named = {name: content for name, content in members.items() if name not in (told, *left_out)}
            sums = {name: hashlib.sha256(content).hexdigest() for name, content in named.items()}
            members = members | {told: json.dumps(document | {"sha256": sums}).encode()}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
        archive.comment = b"0" * 64
    return _sealed(out.getvalue())


def _in_a_member(content: bytes, way: Callable[[bytes, random.Random], bytes], chance: random.Random) -> bytes:
    members = _members(content)
    name = chance.choice([name for name, held in members.items() if held])
    return _zipped(members | {name: way(members[name], chance)})


def _bombs(content: bytes) -> list[tuple[str, bytes]]:
    """Return archives of which a member unpacks to far more than the file holds."""
    members, zeros = _members(content), bytes(_BOMB)
    names = [*list(members)[:3], "photographs/" + "a" * 32]
    return [("bomb", _zipped(members | {name: zeros})) for name in names] + [("empty archive", _zipped({}))]
