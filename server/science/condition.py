"""Body condition: from three looks, or one number, to a distribution over the scores 1 to 9.

Where an answer sits on the scale and how far it may be off are this project's own reading of the
published descriptions (common practice, no source). That the looks are pooled by their weight and
that the spread grows when they disagree is the usual treatment of repeated measurements.
"""

import math
from dataclasses import dataclass

from server.errors import BadInput
from server.science.dog import Coat
from server.science.vet_first import Listed

SCORES = tuple(range(1, 10))
UNDERWEIGHT_TO = 3  # this project's rule: 3 or less
RIGHT_FROM, RIGHT_TO = 4, 5  # AAHA Nutritional Assessment Guidelines 2010: 4 to 5 of 9
PLAN_TO = 8  # 9: vet first (clinical consensus, from memory)
TAIL = 0.05  # ends of the 90% interval

_SOURCE = (
    "own words for the 9-point scale (AAHA Nutritional Assessment Guidelines 2010; "
    "place on the scale: common practice, no source)"
)


@dataclass(frozen=True)
class Answer(Listed):
    """One answer to a look. centre: the score it speaks for most."""

    centre: float


RIBS = (
    Answer("bony", "Ribs stand out from afar, with nothing over them", _SOURCE, 1.6),
    Answer(
        "sharp",
        "Several ribs show; to the fingers they are like the knuckles of a fist",
        _SOURCE,
        3.0,
    ),
    Answer(
        "thin_cover",
        "Each rib is felt at once under a thin layer, like the back of a flat hand",
        _SOURCE,
        4.7,
    ),
    Answer("pressed", "Ribs are felt only when the fingers press", _SOURCE, 6.6),
    Answer("buried", "No rib is felt, however firmly the fingers press", _SOURCE, 8.6),
)
WAIST = (
    Answer(
        "hollow", "From above: a deep hollow behind the ribs, the hip bones stand out", _SOURCE, 2.0
    ),
    Answer("clear", "From above: the sides curve in clearly behind the ribs", _SOURCE, 4.6),
    Answer("slight", "From above: the sides curve in a little", _SOURCE, 6.0),
    Answer("straight", "From above: the sides run straight", _SOURCE, 7.3),
    Answer("bulging", "From above: the sides bulge out behind the ribs", _SOURCE, 8.8),
)
TUCK = (
    Answer(
        "steep", "From the side: the belly climbs steeply from the ribs to the loin", _SOURCE, 2.2
    ),
    Answer("rising", "From the side: the belly climbs clearly", _SOURCE, 4.6),
    Answer("slight", "From the side: the belly climbs a little", _SOURCE, 6.0),
    Answer("level", "From the side: the belly runs level", _SOURCE, 7.3),
    Answer("hanging", "From the side: the belly hangs lower than the chest", _SOURCE, 8.9),
)

# How far one look may be off [scores, one SD]. The hand decides, so the ribs count most. Together
# they give about 0.6, within the half to one point of trained scorers (Laflamme 1997, from memory).
RIBS_SD = 0.9
WAIST_SD: dict[Coat, float] = {"short": 1.1, "medium": 1.6, "long": 3.0}  # a coat hides the waist
TUCK_SD = 1.3
# The hand on the ribs decides: eyes may move the score only so far from where it was put. A big
# belly over ribs that show is no sign of fat.
EYES_MOVE_AT_MOST = 1.5  # [scores] our choice
# Ribs that are seen are thin, sighthounds apart (common practice, no source): eyes may not lift
# such a dog to a right weight.
EYES_LIFT_SEEN_RIBS = 0.4  # [scores] our choice, so that the middle stays at 3
# Sighthounds may show the last ribs at a right weight; Greyhounds at 5 of 9 had 7% fat
# (Jeusette et al. 2010, quoted in Clinician's Brief). The size of the shift is our choice.
SIGHTHOUND_SHIFT = 1.0  # [scores] for visible ribs and a steep tuck


# Trained scorers agree within half to one point (Laflamme 1997, from memory): the middle of that.
SCORER_SD = 0.75  # [scores, one SD]
# Chi-squared with two degrees of freedom exceeds this by chance once in ten: -2 ln 0.1.
DISAGREE_FROM = 4.605


@dataclass(frozen=True)
class Score:
    """A body condition score given as a number, 1 to 9.

    scattered: show the scatter between trained scorers around it; else it is taken as it is.
    """

    value: int
    scattered: bool = False


@dataclass(frozen=True)
class Looks:
    """The three looks, each with a word of RIBS, WAIST and TUCK."""

    ribs: str
    waist: str
    tuck: str


@dataclass(frozen=True)
class ScoreRange:
    """Ends of the 90% interval and the median of a distribution over scores."""

    low: int
    mid: int
    high: int


Distribution = tuple[float, ...]  # nine probabilities, for the scores 1 to 9


def score_distribution(
    condition: Score | Looks, *, coat: Coat = "short", sighthound: bool = False
) -> Distribution:
    """Return the probability of each score 1 to 9.

    A score given as a number is taken as it is, unless its scatter is asked for.
    Raises BadInput for an unknown word or score.
    """
    if isinstance(condition, Score):
        if condition.value not in SCORES:
            raise BadInput(
                "condition.score", f"must be a whole number from 1 to 9, not {condition.value!r}"
            )
        if condition.scattered:
            return _spread(condition.value, SCORER_SD)
        return tuple(1.0 if score == condition.value else 0.0 for score in SCORES)
    centres, sds = _centres(condition, sighthound), _sds(coat)
    pooled, error, misfit = _pooled(centres, sds)
    lift = EYES_LIFT_SEEN_RIBS if centres[0] <= UNDERWEIGHT_TO else EYES_MOVE_AT_MOST
    mean = min(max(pooled, centres[0] - EYES_MOVE_AT_MOST), centres[0] + lift)
    # Where the looks differ by more than they should, every one of them is trusted less by the
    # same factor (the Birge ratio of metrology).
    return _spread(mean, error * math.sqrt(max(1.0, misfit / (len(centres) - 1))))


def looks_disagree(looks: Looks, *, coat: Coat = "short", sighthound: bool = False) -> bool:
    """Say whether the three looks differ by more than chance would in nine of ten dogs.

    What each look may be off, and how much a coat hides, is taken into account.
    """
    return _pooled(_centres(looks, sighthound), _sds(coat))[2] > DISAGREE_FROM


def belly_without_fat(looks: Looks) -> bool:
    """Say whether a bulging or hanging belly stands over ribs that are easily felt.

    That can be disease or pregnancy rather than fat (common practice, no source).
    """
    easily_felt = looks.ribs in {"bony", "sharp", "thin_cover"}
    return easily_felt and (looks.waist == "bulging" or looks.tuck == "hanging")


def belly_over_seen_ribs(looks: Looks) -> bool:
    """Say whether a big belly stands over ribs that are even seen: lean and swollen at once.

    No score fits such a dog; a vet has to see it (common practice, no source).
    """
    return belly_without_fat(looks) and looks.ribs != "thin_cover"


def score_range(distribution: Distribution) -> ScoreRange:
    """Return the 5th, 50th and 95th percentile of a distribution over scores."""
    low, mid, high = (_percentile(distribution, share) for share in (TAIL, 0.5, 1 - TAIL))
    return ScoreRange(low, mid, high)


def _centre(look: str, word: str, answers: tuple[Answer, ...], sighthound: bool) -> float:
    for answer in answers:
        if answer.word == word:
            lean = answer.centre < RIGHT_FROM
            return answer.centre + (SIGHTHOUND_SHIFT if sighthound and lean else 0.0)
    allowed = ", ".join(answer.word for answer in answers)
    raise BadInput(f"condition.{look}", f"must be one of {allowed}, not {word!r}")


def _centres(looks: Looks, sighthound: bool) -> tuple[float, float, float]:
    return (
        _centre("ribs", looks.ribs, RIBS, sighthound),
        _centre("waist", looks.waist, WAIST, False),
        _centre("tuck", looks.tuck, TUCK, sighthound),
    )


def _sds(coat: Coat) -> tuple[float, float, float]:
    return RIBS_SD, WAIST_SD[coat], TUCK_SD


def _pooled(centres: tuple[float, ...], sds: tuple[float, ...]) -> tuple[float, float, float]:
    """Return the weighted mean, its standard error, and chi-squared of the looks about it."""
    weights = [sd**-2 for sd in sds]
    total = math.fsum(weights)
    mean = math.fsum(w * c for w, c in zip(weights, centres, strict=True)) / total
    misfit = math.fsum(w * (c - mean) ** 2 for w, c in zip(weights, centres, strict=True))
    return mean, 1 / math.sqrt(total), misfit


def _spread(mean: float, sd: float) -> Distribution:
    weights = [math.exp(-0.5 * ((score - mean) / sd) ** 2) for score in SCORES]
    total = math.fsum(weights)
    return tuple(weight / total for weight in weights)


def _percentile(distribution: Distribution, share: float) -> int:
    reached = 0.0
    for score, probability in zip(SCORES, distribution, strict=True):
        reached += probability
        if reached >= share - 1e-12:
            return score
    return SCORES[-1]
