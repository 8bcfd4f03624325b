"""Places in a fan, and neutrals that are never taken from another season."""

from dataclasses import replace

import pytest

import tenter
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.seen import seen_on_client

FAN = ("D073", "D074", "D075", "D063", "D064", "D061", "D062")


def places(sitting, *ranks):
    sitting.record(tenter.FanJudgement(ranks))
    told = seen_on_client(sitting.entries, sitting.kit, sitting.method.flags)
    return {cloth: found.words[-1] for cloth, found in told.items()}


def test_every_place_of_a_long_fan_has_its_own_word(demo_kit, bundled):
    told = places(tenter.Sitting(demo_kit, bundled, seed=7), *FAN)
    assert [told[cloth].split()[0] for cloth in FAN] == [
        *("best", "second", "third", "fourth", "fifth", "sixth", "seventh"),
    ]


def test_behind_two_that_are_level_comes_the_third(demo_kit, bundled):
    told = places(tenter.Sitting(demo_kit, bundled, seed=7), FAN[:2], FAN[2], FAN[3])
    assert told[FAN[0]] == told[FAN[1]] == "best with another of 4"
    assert told[FAN[2]] == "third of 4"
    assert told[FAN[3]] == "fourth of 4"


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_neutrals_are_of_the_season_or_there_are_none(demo_kit, bundled, demo_judgements, demo_verdicts, client):
    sitting = tenter.Sitting(demo_kit, bundled, seed=7).record_all(demo_judgements[client])
    for verdict in (demo_verdicts[client], *(replace(demo_verdicts[client], season=s) for s in bundled.seasons)):
        found = palette(sitting, verdict)
        assert all(bundled.season_of[e.category] == verdict.season for e in found.neutrals)
        assert bool(found.neutrals) != bool(found.coats)
