"""The card that is made from the options of papers: every field where it belongs, and today where no day is given."""

import datetime

from tenter.cli.shared.paper_options import card_for, day_or_today
from tenter.report.reading.content import ClientCard


def test_each_option_is_where_it_belongs_on_the_card():
    made = card_for("Ada", "The North Room", "Wenna Castrall", "2026-03-14", minor=True)
    assert made == ClientCard(
        name="Ada", studio="The North Room", consultant="Wenna Castrall", date="2026-03-14", minor=True
    )
    assert card_for("Ada", "", "", "2026-03-14", words_only=True).words_only


def test_a_day_left_out_is_today():
    before = datetime.date.today().isoformat()
    assert before <= day_or_today(None) <= datetime.date.today().isoformat()
    assert day_or_today("2026-03-14") == "2026-03-14"
