"""A process that records on a house while others do: ``python -m tests.records.at_once BATCHES``."""

from __future__ import annotations

import sys
import uuid

from coldmark.cli import boot


def main(batches: int) -> None:
    """Send so many batches of three facts each, in the mechanic's name, from a device of its own."""
    boot.start()
    from coldmark.records.models import Machine, Person  # Django must be ready first
    from tests.records.house import START, Phone

    machine = Machine.objects.order_by("name").first()
    assert machine is not None
    phone = Phone(Person.objects.get(sign_in="tom"), str(machine.id), device=str(uuid.uuid4()))
    for batch in range(batches):
        answers = phone.send(*(phone.meter(10 * batch + n, at=START) for n in range(3))).answers
        assert [answer.answer for answer in answers] == ["kept"] * 3


if __name__ == "__main__":
    main(int(sys.argv[1]))
