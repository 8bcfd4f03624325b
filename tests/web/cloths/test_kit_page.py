"""A kit's page: its cloths first, and every count under its own heading."""

import re

from tests.web.conftest import browser_of


def test_the_cloths_hang_first_and_each_count_stands_under_its_own_heading(owner):
    record = owner.kits.get()
    page = browser_of(owner).get(f"/kit/{record.pk}").text
    rack, rest = page.split('<section class="rails ', 1)[1].split("</section>", 1)
    assert rack.count("<svg") == 96
    heads = re.findall(r'<th class="number" scope="col">([^<]+)</th>', rest)
    [whites] = re.findall(r'<th scope="row">white</th>(.*?)</tr>', rest)
    counts = dict(zip(heads, re.findall(r"<td[^>]*>(\d+)</td>", whites), strict=True))
    assert (counts["light"], counts["dark"], counts["all"]) == ("4", "0", "4")
