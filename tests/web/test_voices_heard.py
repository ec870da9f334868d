"""What was said on a phone is heard in the story by the firm, and by no owner."""

from __future__ import annotations

import pytest

from coldmark.records import services
from coldmark.records.files import WEBM
from tests.records.house import House
from tests.records.jobs import do_all, keep_oils, open_work
from tests.records.voices import recorded
from tests.web.conftest import signed_in


@pytest.mark.parametrize("in_a_job", [True, False])
def test_the_story_plays_it_to_the_firm_alone(house: House, in_a_job: bool) -> None:
    keep_oils(house)
    sha256, content = recorded()
    services.keep_attachment(house.mechanic, sha256, WEBM, content)
    work = open_work(house)
    do_all(work)
    body = {"about": "return", "what": "leak", "urgency": "plan_for_it", "voice": sha256}
    fact = work.say("finding", body) if in_a_job else work.phone.fact("finding", body, at=work.at)
    work.send() if in_a_job else work.phone.send(fact)
    machine = f"/machines/{house.machine}/"
    pages = [machine, f"{machine}story/", f"{machine}story/{fact.id}/"]
    pages += [f"{machine}story/?job={work.job}", f"/jobs/{work.job}/"] if in_a_job else []
    for page in pages:
        ours = signed_in(house.mechanic).get(page).content.decode()
        assert f'<audio controls preload="none" src="/api/attachments/{sha256}"' in ours, page
        theirs = signed_in(house.owner).get(page)
        assert theirs.status_code == 200, page
        assert sha256 not in theirs.content.decode(), page
    assert signed_in(house.owner).get(f"/api/attachments/{sha256}").status_code == 404
    services.erase(house.office, "attachment", sha256, "asked for it")
    assert "What was said with it was erased." in signed_in(house.mechanic).get(pages[1]).content.decode()
