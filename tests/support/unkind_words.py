"""Words that no sheet says, and words that none says of a person."""

import re

# Never said of a person; said of the combination instead ("this cloth takes light from your face"). The first list is
# never said on a sheet at all, outside the names that a studio gives its cloths; the second is fit for cloth alone.
NEVER_SAID = (
    *("old", "older", "elderly", "aged", "ageing", "aging", "ages you", "sick", "sickly", "ill", "unhealthy", "ugly"),
    *("sallow", "drained", "haggard", "tired", "exhausted", "lifeless", "washed out", "washed-out", "corpse", "pasty"),
    *("ruddy", "blotchy", "wrinkle", "wrinkles", "flaw", "flaws", "fault", "faults", "defect", "defects", "fat"),
    *("slim", "disfigured", "unflattering", "mistake", "must buy", "must-buy", "scientific", "scientifically"),
    *("proven",),
)
NEVER_SAID_OF_A_PERSON = ("grey", "gray", "greyish", "yellowish", "dull", "muddy", "dirty", "bad", "poor", "wrong")
_PERSON = ("you", "your", "yours", "yourself", "client", "face", "skin", "hair", "eye", "eyes", "lips", "teeth", "jaw")


def unkind_words(text):
    """Return the words of a text that a sheet never says, or never says of a person."""
    found = [w for w in NEVER_SAID if _holds(text, w)]
    for clause in re.split(r"[.:;!?]", text):
        if any(_holds(clause, word) for word in _PERSON):
            found += [w for w in NEVER_SAID_OF_A_PERSON if _holds(clause, w)]
    return tuple(dict.fromkeys(found))


def _holds(text, word):
    return re.search(rf"\b{re.escape(word)}\b", text, re.IGNORECASE) is not None
