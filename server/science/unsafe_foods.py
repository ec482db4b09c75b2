"""Foods that harm dogs, found in a food's name by whole words: English, German, Spanish.

A wrong alarm ("without onion") costs a look at the label; a missed one may cost the dog. Doses are
what reports give, no safe limits: for some of these foods no safe amount is known.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

from server.science.findings import Finding

_OVERVIEW = "Cortinovis and Caloni 2016, Front Vet Sci 3:26, abstract"
_XYLITOL = "veterinary newspaper column, agrees with Merck thresholds quoted elsewhere"
_GRAPES = "dvm360 proceedings, 'Tasty treats pets should avoid'"
_ONION = "review 'Common foods toxic to dogs and cats' (reprint)"
_MACADAMIA = "13-dog case series, abstract"
_CHOCOLATE = "veterinary practice guide to toxic foods"
_CAFFEINE = "a methylxanthine like those of chocolate: veterinary practice guide to toxic foods"
_LISTED = "listed as unsafe with the onion family (from memory); " + _ONION


@dataclass(frozen=True)
class UnsafeFood:
    """A food no dog should eat, and the words that name it.

    doses: amounts reported to harm, per kg of dog, by what they did; unit in the key's end.
    """

    code: str
    text: str
    source: str
    words: tuple[str, ...]
    doses: dict[str, float] = field(default_factory=dict)

    def as_json(self) -> dict[str, object]:
        """Return the food as `tuckline conditions` prints it."""
        return {
            "word": self.code,
            "text": self.text,
            "source": self.source,
            "names": list(self.words),
            "reported_doses": dict(self.doses),
        }


def _names(listed: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(listed.split(", ")))


UNSAFE = (
    UnsafeFood(
        "xylitol",
        "Xylitol (birch sugar, E967)",
        _XYLITOL,
        _names(
            "xylitol, xylit, xilitol, xylite, e967, e 967, e-967, ins 967, birch sugar, "
            "birch sap sugar, birch bark sugar, birch bark extract, wood sugar, "
            "birkenzucker, birken zucker, birkensüße, holzzucker, azúcar de abedul, "
            "azúcar de madera"
        ),
        {"low_blood_sugar_g_per_kg": 0.1, "liver_g_per_kg": 0.5},
    ),
    UnsafeFood(
        "grapes",
        "Grapes, raisins, currants, sultanas",
        _GRAPES,
        _names(
            "grape, grapes, raisin, raisins, currant, currants, sultana, sultanas, traube, "
            "trauben, weintraube, weintrauben, rosine, rosinen, korinthe, korinthen, "
            "sultanine, sultaninen, uva, uvas, pasa, pasas, uva pasa, uvas pasas, "
            "pasas de corinto"
        ),
        {"grapes_g_per_kg": 19.8, "raisins_g_per_kg": 3.1},
    ),
    UnsafeFood(
        "onion",
        "Onion",
        _ONION,
        _names(
            "onion, onions, shallot, shallots, scallion, scallions, onion powder, zwiebel, "
            "zwiebeln, zwiebelpulver, schalotte, schalotten, frühlingszwiebel, "
            "frühlingszwiebeln, röstzwiebeln, cebolla, cebollas, cebolleta, cebolletas, "
            "chalota, chalotas"
        ),
        {"onion_g_per_kg": 15.0},
    ),
    UnsafeFood(
        "garlic",
        "Garlic",
        _LISTED,
        _names(
            "garlic, knoblauch, knoblauchpulver, knoblauchgranulat, knoblauchzehe, "
            "knoblauchzehen, bärlauch, ajo, ajos"
        ),
    ),
    UnsafeFood(
        "leek",
        "Leek",
        _LISTED,
        _names("leek, leeks, lauch, porree, lauchzwiebel, lauchzwiebeln, puerro, puerros"),
    ),
    UnsafeFood(
        "chives",
        "Chives",
        _LISTED,
        _names("chive, chives, schnittlauch, cebollino, cebollinos"),
    ),
    UnsafeFood(
        "macadamia",
        "Macadamia nuts",
        _MACADAMIA,
        _names(
            "macadamia, macadamias, macadamianuss, macadamianüsse, nuez de macadamia, "
            "nueces de macadamia"
        ),
        {"low_g_per_kg": 0.7, "mean_g_per_kg": 3.5, "high_g_per_kg": 4.9},
    ),
    UnsafeFood(
        "chocolate",
        "Chocolate and cocoa",
        _CHOCOLATE,
        _names(
            "chocolate, chocolates, cocoa, cacao, schokolade, milchschokolade, "
            "zartbitterschokolade, schoko, kakao, kakaopulver, chocolatina, chocolatinas"
        ),
        {
            "gut_mg_per_kg": 20.0,
            "heart_low_mg_per_kg": 40.0,
            "heart_high_mg_per_kg": 50.0,
            "fits_mg_per_kg": 60.0,
        },
    ),
    UnsafeFood(
        "caffeine",
        "Caffeine (coffee, tea, energy drinks)",
        _CAFFEINE,
        _names(
            "caffeine, coffee, espresso, energy drink, koffein, coffein, kaffee, "
            "schwarztee, cafeína, café, bebida energética"
        ),
    ),
    UnsafeFood(
        "alcohol",
        "Alcohol",
        _OVERVIEW,
        _names(
            "alcohol, ethanol, beer, wine, rum, whisky, whiskey, vodka, liqueur, alkohol, "
            "bier, wein, schnaps, likör, etanol, cerveza, vino, licor"
        ),
    ),
    UnsafeFood(
        "raw_dough",
        "Raw dough with yeast",
        _OVERVIEW,
        _names(
            "raw dough, bread dough, yeast dough, pizza dough, uncooked dough, roher teig, "
            "rohteig, hefeteig, brotteig, pizzateig, masa cruda, masa de pan, "
            "masa de pizza, masa con levadura"
        ),
    ),
)


@lru_cache(maxsize=4096)  # a household names the same few foods again and again
def unsafe_in(name: str) -> tuple[UnsafeFood, ...]:
    """Return the unsafe foods that a name speaks of, by whole words; case and accents aside."""
    plain = _plain(name)
    return tuple(food for food in UNSAFE if _PATTERNS[food.code].search(plain))


def unsafe_findings(names: Iterable[str]) -> tuple[Finding, ...]:
    """Return a caution for each food name that speaks of an unsafe food, in the order given."""
    return tuple(
        Finding("unsafe_food", {"food": name, "unsafe": unsafe.code}, unsafe.source)
        for name in dict.fromkeys(names)
        for unsafe in unsafe_in(name)
    )


def _plain(text: str) -> str:
    """Return a text without case and accents; ß becomes ss, ü becomes u."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in decomposed if not unicodedata.combining(sign))


def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    # Between the words of a name any run of blanks, hyphens or underscores may stand; umlauts may
    # be written with an e.
    written = dict.fromkeys(form for word in words for form in (word, word.translate(_WITH_E)))
    spelled = (
        r"[\s_-]+".join(re.escape(part) for part in _plain(form).split()) for form in written
    )
    return re.compile(rf"(?<![^\W_])(?:{'|'.join(spelled)})(?![^\W_])")


_WITH_E = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_PATTERNS = {food.code: _pattern(food.words) for food in UNSAFE}
