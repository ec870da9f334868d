"""A process that records on a house while others do: ``python -m tests.records.at_once BATCHES``.

Each batch opens a job that the other processes open as well: twice must be once.
"""

from __future__ import annotations

import sys
import uuid

from coldmark.cli import boot


def main(batches: int) -> None:
    """Open so many jobs and send as many batches of three facts, in the mechanic's name, from a device of its own."""
    boot.start()
    from coldmark.records import services
    from coldmark.records.models import Machine, Person  # Django must be ready first
    from tests.records.house import START, Phone

    machine = Machine.objects.order_by("name").first()
    assert machine is not None
    phone = Phone(Person.objects.get(sign_in="tom"), str(machine.id), device=str(uuid.uuid4()))
    for batch in range(batches):
        services.open_job(
            phone.person, phone.machine, ("hyd_500",), job=str(uuid.uuid5(machine.id, str(batch))), at=START
        )
        answers = phone.send(*(phone.meter(10 * batch + n, at=START) for n in range(3))).answers
        assert [answer.answer for answer in answers] == ["kept"] * 3


if __name__ == "__main__":
    main(int(sys.argv[1]))
