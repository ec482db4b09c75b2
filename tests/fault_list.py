"""The faults themselves: what is broken, and which test must notice."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One rule broken on purpose. `only` names the test within a file of JavaScript tests."""

    name: str
    file: str
    old: str
    new: str
    test: str
    only: str = ""
    marks: str = "not slow"


FAULTS: list[Fault] = [
    # -- sync, server ---------------------------------------------------------------------------
    Fault(
        "S1 the database answers before the entry is on disk",
        "server/settings.py",
        "PRAGMA synchronous=FULL",
        "PRAGMA synchronous=OFF",
        "tests/sync/test_push.py::test_a_commit_is_on_disk_before_it_is_answered",
    ),
    Fault(
        "S2 a receipt is not looked up",
        "server/sync/apply.py",
        "    if receipt:\n",
        "    if receipt and not op:\n",
        "tests/sync/test_push.py::test_lost_answer",
    ),
    Fault(
        "S2 an operation's id may be used for another one",
        "server/sync/apply.py",
        "if receipt.payload_hash != one.fingerprint:",
        "if receipt is None:",
        "tests/sync/test_push.py::test_op_reused",
    ),
    Fault(
        "S3 a change number is taken outside the writing transaction",
        "server/ledger/changes.py",
        "if not transaction.get_connection().in_atomic_block:",
        "if transaction is None:",
        "tests/ledger/test_changes.py::test_a_number_is_only_given_inside_the_writing_transaction",
    ),
    Fault(
        "S4 history does not compact itself",
        "server/ledger/changes.py",
        "    Change.objects.filter(pk=entity_id).update(version=version, **facts)\n",
        "    Change.objects.filter(pk=entity_id).update(version=version)\n",
        "tests/sync/test_pull.py::test_history_compacts_itself",
    ),
    Fault(
        "S5 a stranger may log for a dog",
        "server/households/access.py",
        "role = role_in(person, dog.household_id) if dog else None",
        'role = "lead" if dog else None',
        "tests/sync/test_push.py::test_an_operation_is_judged_by_the_dog_it_really_touches",
    ),
    Fault(
        "S6 one refused operation spoils the batch",
        "server/sync/apply.py",
        "            results.append(_refusal(one.op_id, error))\n        except NO_DATABASE:",
        "            raise\n        except NO_DATABASE:",
        "tests/sync/test_push.py::test_one_that_is_refused_by_what_is_stored_spoils_no_other",
    ),
    Fault(
        "S7 a phone that runs ahead wins for ever",
        "server/sync/hlc.py",
        "AHEAD = timedelta(minutes=5)",
        "AHEAD = timedelta(days=5000)",
        "tests/sync/test_push.py::test_a_phone_that_runs_ahead_does_not_win_for_ever",
    ),
    Fault(
        "S8 a pull steps over a row at a page's end",
        "server/sync/feed.py",
        "changes.filter(seq__gt=after)",
        "changes.filter(seq__gt=after + (after > 0))",
        "tests/sync/test_pull.py::test_any_page_size_gives_the_same_rows",
    ),
    Fault(
        "a viewer may log",
        "server/households/access.py",
        '"log": frozenset({Role.LEAD, Role.CARER}),',
        '"log": frozenset({Role.LEAD, Role.CARER, Role.VIEWER}),',
        "tests/sync/test_roles.py::test_who_may_send_it",
    ),
    Fault(
        "an answer to an older plan is taken",
        "server/plans/answers.py",
        "if changes.stamp_of(plan.pk).version != base:",
        "if not base:",
        "tests/plans/test_plans.py::test_an_answer_to_what_has_changed_since_is_stale",
    ),
    # -- jobs -----------------------------------------------------------------------------------
    Fault(
        "job_twice: a lease is no hindrance",
        "server/ledger/jobs.py",
        "    unheld = Q(lease_until=None) | Q(lease_until__lt=now)\n",
        "    unheld = Q(pk__gt=0) | Q(lease_until__lt=now)\n",
        "tests/worker/test_run.py::test_job_twice",
    ),
    Fault(
        "a lease never ends",
        "server/ledger/jobs.py",
        "Q(lease_until=None) | Q(lease_until__lt=now)",
        "Q(lease_until=None)",
        "tests/worker/test_run.py::test_a_worker_that_died_costs_only_its_lease",
    ),
    Fault(
        "a wish during the work is lost",
        "server/ledger/jobs.py",
        "answered=job.asked,",
        'answered=F("asked"),',
        "tests/worker/test_run.py::test_a_wish_that_came_while_it_ran_is_done_too",
    ),
    # -- science --------------------------------------------------------------------------------
    Fault(
        "resting energy with the linear exponent",
        "server/science/energy.py",
        "METABOLIC_EXPONENT = 0.75",
        "METABOLIC_EXPONENT = 0.67",
        "tests/science/test_energy.py",
    ),
    Fault(
        "a growing dog gets a plan",
        "server/science/gates.py",
        "    if as_of >= grown_on:\n",
        "    if as_of:\n",
        "tests/science/test_gates.py",
    ),
    Fault(
        "a vet's word lifts pregnancy",
        "server/science/gates.py",
        'if dog.reproduction != "none":',
        'if dog.reproduction != "none" and not vet_words:',
        "tests/science/test_gates.py",
    ),
    Fault(
        "food below the floor",
        "server/science/plan.py",
        "round(min(max(START_OF_INTAKE * intake.kcal_per_day, floor), BAND_HIGH * resting))",
        "round(min(START_OF_INTAKE * intake.kcal_per_day, BAND_HIGH * resting))",
        "tests/science/test_gates.py",
    ),
    Fault(
        "the treat budget on top of the day",
        "server/science/ration.py",
        "meal_kcal = day - treat_budget_kcal(day, treat_kcal, foods)",
        "meal_kcal = day",
        "tests/science/test_plan_properties.py",
    ),
    Fault(
        "a large cut at once",
        "server/science/plan.py",
        "if intake is None or kcal >= (1 - TWO_STEPS_ABOVE_CUT) * intake.kcal_per_day:",
        "if intake is None or kcal:",
        "tests/science/test_plan.py",
    ),
    Fault(
        "less food before anything can be judged",
        "server/science/decision.py",
        "    if not _enough(now):\n        return _weigh_again",
        "    if now is None:\n        return _weigh_again",
        "tests/science/test_decision.py",
    ),
    Fault(
        "food is cut below the floor by a review",
        "server/science/decision.py",
        "cut = max(now.kcal * (1 - step), now.floor_kcal)",
        "cut = now.kcal * (1 - step)",
        "tests/science/test_decision.py",
    ),
    # -- the phone ------------------------------------------------------------------------------
    Fault(
        "C1 saved is said before it is on disk",
        "frontend/store/database.js",
        'durability: "strict"',
        'durability: "relaxed"',
        "tests/frontend/saving.test.mjs",
        only="C1 both or neither",
    ),
    # -- pins -----------------------------------------------------------------------------------
    Fault(
        "the lock and the constraints differ",
        "server/constraints.txt",
        "django-ninja==",
        "django-ninja==0",
        "tests/test_pins.py",
    ),
]
