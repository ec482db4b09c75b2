"""What a weekly review answers, and its JSON."""

from dataclasses import dataclass
from typing import Any

from server.science.decision import Decision
from server.science.findings import Finding
from server.science.forecast import Span
from server.science.need import Need
from server.science.slips import SetAside
from server.science.trend import Trend


@dataclass(frozen=True)
class ReviewResult:
    """One review. rate and its ends [% of the trend weight per week], negative when losing."""

    trend: Trend
    rate: tuple[float, float, float] | None
    need: Need | None
    first_goal_on: Span | None
    target_on: Span | None
    set_aside: tuple[SetAside, ...]
    decision: Decision
    cautions: tuple[Finding, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the contract's object; reasons and cautions as codes and values."""
        rate, need = self.rate, self.need
        return {
            "trend": [
                {
                    "on": day.on.isoformat(),
                    "kg": round(day.kg, 2),
                    "low": round(day.low_kg, 2),
                    "high": round(day.high_kg, 2),
                }
                for day in self.trend.days
            ],
            "rate_pct_per_week": rate
            and {"low": round(rate[0], 2), "mid": round(rate[1], 2), "high": round(rate[2], 2)},
            "need_kcal": need
            and {"low": round(need.low), "mid": round(need.mid), "high": round(need.high)},
            "first_goal_on": self.first_goal_on and self.first_goal_on.as_json(),
            "target_on": self.target_on and self.target_on.as_json(),
            "set_aside": [
                {
                    "on": item.weigh_in.on.isoformat(),
                    "kg": item.weigh_in.kg,
                    "scale": item.weigh_in.scale,
                    "reason": item.reason,
                }
                for item in self.set_aside
            ],
            "scales": [
                {"scale": scale, "offset_pct": round(offset, 2)}
                for scale, offset in self.trend.offsets_pct
            ],
            "noise_pct": round(self.trend.noise_pct, 2),
            "decision": self.decision.as_json(),
            "cautions": [caution.as_json() for caution in self.cautions],
        }
