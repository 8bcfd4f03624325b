"""What the layers below the web refuse goes through the catalogue, or a page in German says it in English."""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "src" / "tenter"
LAYERS = ("colorimetry", "consultation", "light", "measured", "photo", "report")
# Which of what each refusal is made of are words, by their places.
WORDS = {
    "TenterError": (0,),
    "Refused": (0,),
    "NotAMeasurement": (0,),
    "UnreadableInput": (0, 1, 2),
    "UnknownName": (0, 3),
}
# How many in which module are said to whoever writes a program with Tenter, or by a command, and never on a page.
NEVER_ON_A_PAGE = {
    "colorimetry/colour_names.py": 1,
    "colorimetry/measurement.py": 1,
    "colorimetry/munsell.py": 2,
    "colorimetry/reflectance.py": 1,
    "colorimetry/typology.py": 1,
    "consultation/cloths/kit.py": 1,
    "consultation/compared/agreement.py": 3,
    "consultation/garments/garment.py": 2,
    "consultation/personal/suitability.py": 2,
    "consultation/reading/record.py": 1,
    "consultation/record/judgements.py": 2,
    "consultation/record/sides.py": 1,
    "photo/camera/tone_prior.py": 1,
    "photo/face/result.py": 3,
    "photo/patches/reference.py": 1,
    "report/workshop/workshop_paper.py": 1,
}


def untranslated(code: str) -> Iterator[tuple[int, str]]:
    """Yield the line and the text of each word of a refusal that goes past the catalogue."""
    for call in ast.walk(ast.parse(code)):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in WORDS:
            for place in WORDS[call.func.id]:
                said = call.args[place] if place < len(call.args) else None
                parts = (said.body, said.orelse) if isinstance(said, ast.IfExp) else (said,)
                for part in parts:
                    texts = part.values if isinstance(part, ast.JoinedStr) else [part]
                    words = "".join(t.value for t in texts if isinstance(t, ast.Constant) and isinstance(t.value, str))
                    if any(letter.isalpha() for letter in words):
                        yield call.lineno, words


def test_every_word_of_a_refusal_is_in_the_catalogue():
    found = Counter(
        path.relative_to(PACKAGE).as_posix()
        for layer in LAYERS
        for path in sorted((PACKAGE / layer).rglob("*.py"))
        for _refusal in untranslated(path.read_text(encoding="utf-8"))
    )
    assert found == NEVER_ON_A_PAGE


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ('raise TenterError(_("no {name}", name=name))', []),
        ('raise TenterError(f"no {name}")', ["no "]),
        ('raise UnreadableInput(source, _("no table"), "Save it")', ["Save it"]),
        ('raise UnreadableInput(f"card {number}", problem, remedy)', ["card "]),
        ('raise TenterError(_("a") if one else "b")', ["b"]),
        ('raise UnknownName("cloth", name, known)', ["cloth"]),
    ],
)
def test_a_word_that_goes_past_it_is_seen(code, words):
    assert [said for _line, said in untranslated(code)] == words
