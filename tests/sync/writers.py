"""Sixteen phones push at once into one SQLite file while another one pulls. Prints what came of it.

Run in a process of its own, with TUCKLINE_DATA naming an empty folder: a test's database is in
memory, and only a file shows what locks do.
"""

from __future__ import annotations

import json
import os
import sys
import threading

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection, connections  # noqa: E402

from server.records.models import WeighIn  # noqa: E402
from server.sync import feed  # noqa: E402
from tests import people  # noqa: E402
from tests.people import Phone  # noqa: E402

WRITERS = 16


def main(each: int) -> None:
    """Let every writer push `each` weigh-ins, one at a time."""
    call_command("migrate", verbosity=0)
    cast = people.cast()
    lead = Phone(cast.lead)
    dog = people.add_dog(lead, cast.home)
    statuses: list[str] = []
    faults: list[str] = []
    seqs: list[int] = []
    done = threading.Event()

    def write() -> None:
        phone = Phone(cast.carer)
        try:
            for _ in range(each):
                op = phone.op("weigh_in.add", dog=dog, data=people.WEIGHT)
                statuses.extend(phone.send(op))
        except Exception as error:
            faults.append(repr(error))
        connections.close_all()

    def read() -> None:
        cursor = 0
        try:
            last = False
            while not last:
                last = done.is_set()
                page = feed.pull(cast.viewer, cursor=cursor, limit=50)
                seqs.extend(json.loads(row)["seq"] for row in page.rows)
                cursor, last = page.cursor, last and not page.more
        except Exception as error:
            faults.append(repr(error))
        connections.close_all()

    writers = [threading.Thread(target=write) for _ in range(WRITERS)]
    reader = threading.Thread(target=read)
    for thread in (*writers, reader):
        thread.start()
    for writer in writers:
        writer.join()
    done.set()
    reader.join()
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA journal_mode")
        journal = cursor.fetchone()[0]
        cursor.execute("PRAGMA synchronous")
        synchronous = cursor.fetchone()[0]
    json.dump(
        {
            "statuses": {status: statuses.count(status) for status in set(statuses)},
            "faults": faults,
            "stored": WeighIn.objects.count(),
            "pulled": len(seqs),
            "in_order": seqs == sorted(set(seqs)),
            "journal": journal,
            "synchronous": synchronous,
        },
        sys.stdout,
    )


if __name__ == "__main__":
    main(int(sys.argv[1]))
