"""Every kind of operation that phones may send, with what it must say and what applies it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from server.sync import dogs, foods, plans, seen, shapes
from server.sync.ops import Kind

_ALL: tuple[Kind[Any], ...] = (
    Kind("dog.add", shapes.DogAdd, dogs.add, new=True),
    Kind("dog.edit", shapes.DogEdit, dogs.edit),
    Kind("dog.pause", shapes.DogPause, dogs.pause),
    Kind("dog.archive", shapes.DogArchive, dogs.archive),
    Kind("weigh_in.add", shapes.WeighInAdd, seen.add_weigh_in, seen=True, new=True),
    Kind("weigh_in.replace", shapes.WeighInReplace, seen.replace_weigh_in, seen=True, new=True),
    Kind("weigh_in.void", shapes.Void, seen.void_weigh_in),
    Kind("weigh_in.use", shapes.WeighInUse, seen.use_weigh_in),
    Kind("check.add", shapes.CheckAdd, seen.add_check, seen=True, new=True),
    Kind("check.replace", shapes.CheckReplace, seen.replace_check, seen=True, new=True),
    Kind("check.void", shapes.Void, seen.void_check),
    Kind("food.add", shapes.FoodAdd, foods.add, new=True, about="household"),
    Kind("food.version", shapes.FoodVersion, foods.version, new=True, about="household"),
    Kind("food.retire", shapes.FoodRetire, foods.retire, about="household"),
    Kind("plan.request", shapes.PlanRequest, plans.request, dated=True, new=True),
    Kind("plan.accept", shapes.PlanAnswer, plans.accept),
    Kind("plan.decline", shapes.PlanDecline, plans.decline),
    Kind("plan.end", shapes.Nothing, plans.end),
    Kind("vet_word.add", shapes.VetWordAdd, seen.add_vet_word, new=True),
    Kind("vet_word.end", shapes.VetWordEnd, seen.end_vet_word),
)
KINDS: Mapping[str, Kind[Any]] = MappingProxyType({kind.name: kind for kind in _ALL})
