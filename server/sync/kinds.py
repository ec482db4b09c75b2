"""Every kind of operation that phones may send, with what it must say and what applies it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from server.sync import (
    dog_data,
    dogs,
    food_data,
    foods,
    plan_data,
    plans,
    seen,
    seen_data,
)
from server.sync.ops import Kind

_ALL: tuple[Kind[Any], ...] = (
    Kind("dog.add", dog_data.DogAdd, dogs.add, new=True),
    Kind("dog.edit", dog_data.DogEdit, dogs.edit),
    Kind("dog.pause", dog_data.DogPause, dogs.pause),
    Kind("dog.archive", dog_data.DogArchive, dogs.archive),
    Kind("weigh_in.add", seen_data.WeighInAdd, seen.add_weigh_in, seen=True, new=True),
    Kind("weigh_in.replace", seen_data.WeighInReplace, seen.replace_weigh_in, seen=True, new=True),
    Kind("weigh_in.void", seen_data.Void, seen.void_weigh_in),
    Kind("weigh_in.use", seen_data.WeighInUse, seen.use_weigh_in),
    Kind("check.add", seen_data.CheckAdd, seen.add_check, seen=True, new=True),
    Kind("check.replace", seen_data.CheckReplace, seen.replace_check, seen=True, new=True),
    Kind("check.void", seen_data.Void, seen.void_check),
    Kind("food.add", food_data.FoodAdd, foods.add, new=True, about="household"),
    Kind("food.version", food_data.FoodVersion, foods.version, new=True, about="household"),
    Kind("food.retire", food_data.FoodRetire, foods.retire, about="household"),
    Kind("plan.request", plan_data.PlanRequest, plans.request, dated=True, new=True),
    Kind("plan.accept", plan_data.PlanAnswer, plans.accept),
    Kind("plan.decline", plan_data.PlanDecline, plans.decline),
    Kind("plan.end", plan_data.Nothing, plans.end),
    Kind("vet_word.add", seen_data.VetWordAdd, seen.add_vet_word, new=True),
    Kind("vet_word.end", seen_data.VetWordEnd, seen.end_vet_word),
)
KINDS: Mapping[str, Kind[Any]] = MappingProxyType({kind.name: kind for kind in _ALL})
