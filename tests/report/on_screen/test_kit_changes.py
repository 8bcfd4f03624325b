"""What photographs change in a kit, in words."""

import numpy as np

from tenter.consultation.cloths.photographed import PhotographedCloth, with_photographed
from tenter.language import written_in
from tenter.report.on_screen.kit_changes import draft_summary, told_draft
from tests.support.pseudo import english

KIT = (
    "id,name,L,a,b,illuminant,observer,hue_family\nA,Peach,80,16,26,D65,2,\nB,Sky,60,-5,-30,D65,2,\nC,,,,,D65,2,blue\n"
)
HALF = np.array([3.0, 2.0, 2.5])


def draft(*cloths, text=KIT):
    return with_photographed([PhotographedCloth(name, np.array(lab, dtype=float), HALF) for name, lab in cloths], text)


def test_each_cloth_is_told_before_and_after():
    near, far, labelled, new = told_draft(
        draft(("A", (81, 16, 26)), ("B", (50, 0, 40)), ("C", (40, 0, -40)), ("D", (50, 0, 0)))
    ).changes
    assert (near.name, near.before, near.delta_e, near.remarks) == ("Peach", "80, 16, 26", "0.7", ())
    assert near.after == "81\u00a0±\u00a03.0, 16\u00a0±\u00a02.0, 26\u00a0±\u00a02.5"
    assert near.before_hex != near.after_hex
    assert far.remarks == ("beyond the photograph’s interval",)
    assert (labelled.name, labelled.before, labelled.delta_e) == ("", "", "")
    assert (new.before_hex, new.delta_e) == ("", "new")


def test_they_are_counted():
    assert draft_summary(draft(("A", (81, 16, 26)))) == (
        "1 cloth with another colour, by ΔE00 0.7 in the median and 0.7 at most; 2 cloths as before."
    )
    assert draft_summary(draft(("C", (40, 0, -40)), ("D", (50, 0, 0)))) == (
        "1 cloth with another colour; 1 cloth added; 2 cloths as before."
    )
    assert draft_summary(draft(("D", (50, 0, 0)), text=None)) == "1 cloth added; no other cloth."
    assert told_draft(draft(("A", (81, 16, 26)))).conditions == "D65/2°"


def test_no_word_of_them_is_left_in_english(language):
    kit = KIT.replace("hue_family\n", "hue_family,undertone\n").replace("D65,2,\nB", "D65,2,,0.4\nB")
    with written_in(language):
        every = draft(("A", (50, 0, 40)), ("C", (40, 30, 40)), ("D", (50, 0, 0)), text=kit)
        said = [
            draft_summary(every),
            *(text for one in told_draft(every).changes for text in (one.delta_e, *one.remarks)),
        ]
        said += [
            draft_summary(draft(("C", (40, 30, 40)))),
            draft_summary(draft(("A", (50, 2, 3)), ("B", (50, 2, 3)), text=kit)),
        ]
        said.append(draft_summary(draft(("D", (50, 0, 0)), text=None)))
    assert english(said) == []
    assert len(said) > 10
