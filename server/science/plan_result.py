"""What a plan answers, and its JSON."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from server.science.beside import Beside
from server.science.condition import ScoreRange
from server.science.findings import Finding
from server.science.loss_rate import LOSS_HIGH_PCT, LOSS_LOW_PCT
from server.science.nutrients import NutrientBasis, Shortfall
from server.science.ration import RationRow, TreatLimit
from server.science.target import TargetRange


@dataclass(frozen=True)
class Step:
    """The energy to feed from one day on [kcal/day]."""

    on: date
    kcal_per_day: int

    def as_json(self) -> dict[str, Any]:
        """Return the step as a JSON object."""
        return {"on": self.on.isoformat(), "kcal_per_day": self.kcal_per_day}


@dataclass(frozen=True)
class Reduction:
    """The numbers of a plan that reduces: weights [kg], energy [kcal/day], rounded for people."""

    target: TargetRange
    first_goal_kg: float
    first_goal_span_kg: tuple[float, float]
    resting_kcal: int
    steps: tuple[Step, ...]
    weeks_low: int
    weeks_high: int
    cut_pct: float | None


@dataclass(frozen=True)
class PlanResult:
    """A plan (`reduction` set), a holding ration (dog at right weight) or a refusal."""

    refused: Finding | None
    score: ScoreRange
    reduction: Reduction | None
    kcal_per_day: int | None
    kcal_band: tuple[int, int] | None
    treat_kcal_max: int | None
    ration: tuple[RationRow, ...]
    step_rations: tuple[tuple[RationRow, ...], ...]  # one for each step of a reduction
    treats: tuple[TreatLimit, ...]
    nutrient_basis: NutrientBasis | None
    shortfalls: tuple[Shortfall, ...]
    cautions: tuple[Finding, ...]
    beside: Beside

    def as_json(self) -> dict[str, Any]:
        """Return the result as the contract's object; refusal and cautions as codes and values."""
        plan = self.reduction
        target = plan and {"low": plan.target.low, "mid": plan.target.mid, "high": plan.target.high}
        return {
            "refused": self.refused and self.refused.as_json(),
            "score": {"low": self.score.low, "mid": self.score.mid, "high": self.score.high},
            "target_kg": target,
            "target_basis": plan and ("lean_weight" if plan.target.from_record else "score"),
            "first_goal_kg": plan and plan.first_goal_kg,
            "first_goal_span_kg": plan and list(plan.first_goal_span_kg),
            "resting_kcal_at_target": plan and plan.resting_kcal,
            "kcal_per_day": self.kcal_per_day,
            "kcal_band": self.kcal_band and list(self.kcal_band),
            "steps": [step.as_json() for step in plan.steps] if plan else [],
            "loss_pct_per_week": plan and {"low": LOSS_LOW_PCT, "high": LOSS_HIGH_PCT},
            "weeks": plan and {"low": plan.weeks_low, "high": plan.weeks_high},
            "treat_kcal_max": self.treat_kcal_max,
            "ration": [row.as_json() for row in self.ration],
            "step_rations": [[row.as_json() for row in rows] for rows in self.step_rations],
            "treats": [limit.as_json() for limit in self.treats],
            "cut_pct": plan and plan.cut_pct,
            "nutrient_basis": self.nutrient_basis,
            "shortfalls": [shortfall.as_json() for shortfall in self.shortfalls],
            "cautions": [caution.as_json() for caution in self.cautions],
            **self.beside.as_json(),
        }
