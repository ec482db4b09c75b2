"""Change numbers grow as they become visible, and an id is one thing for ever."""

from __future__ import annotations

import uuid

import pytest
from django.db import transaction

from server.errors import Rejected
from server.ledger import changes
from server.ledger.models import Change, Feed

pytestmark = pytest.mark.django_db


def publish(id: uuid.UUID, kind: str = "food", **more: object) -> changes.Stamp:
    with transaction.atomic():
        return changes.publish(kind=kind, entity_id=id, data=more)


def test_numbers_grow_and_versions_count():
    one, two = uuid.uuid4(), uuid.uuid4()
    stamps = [publish(one), publish(two), publish(one)]
    assert [(stamp.seq, stamp.version) for stamp in stamps] == [(1, 1), (2, 1), (3, 2)]
    assert changes.stamp_of(one) == stamps[2]
    assert Change.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_a_number_is_only_given_inside_the_writing_transaction():
    for take in (
        lambda: changes.publish(kind="food", entity_id=uuid.uuid4(), data={}),
        changes.hold,
    ):
        with pytest.raises(RuntimeError, match="inside the transaction"):
            take()


def test_what_is_rolled_back_gives_its_number_back():
    with transaction.atomic():
        changes.publish(kind="food", entity_id=uuid.uuid4(), data={})
        transaction.set_rollback(True)
    assert publish(uuid.uuid4()).seq == 1


def test_an_id_stays_one_kind_of_thing():
    id = uuid.uuid4()
    publish(id, "dog", name="Otto")
    with pytest.raises(Rejected) as caught:
        publish(id, "weigh_in", weight_g=1)
    assert caught.value.code == "id_taken"
    assert changes.as_published(id) == {"version": 1, "name": "Otto"}


def test_a_membership_may_be_granted_and_removed():
    id = uuid.uuid4()
    publish(id, "access.granted")
    assert publish(id, "access.removed").version == 2


def test_a_free_id():
    id = uuid.uuid4()
    assert changes.is_free(id)
    publish(id)
    assert not changes.is_free(id)


def test_what_was_never_published():
    assert changes.stamp_of(uuid.uuid4()) == changes.Stamp(0, 0)
    assert changes.as_published(uuid.uuid4()) == {}


def test_there_is_one_counter():
    epoch = changes.epoch()
    publish(uuid.uuid4())
    assert (Feed.objects.count(), changes.epoch()) == (1, epoch)
