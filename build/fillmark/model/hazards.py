"""Which hazards there are, how bad each is called, and what on a card brings it about.

The severity words mean what ANSI Z535.6 has them mean: danger will kill or maim, warning could, caution is minor
injury, notice damage only. Which hazard gets which word, and which work brings it, is common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

SEVERITIES: dict[str, tuple[str, ...]] = {
    "support": ("danger",), "tyre-burst": ("danger",), "roll-away": ("danger",),
    "driven-wheels": ("danger", "notice"), "scald": ("danger",), "exhaust-gas": ("danger",),
    "brakes": ("warning",), "hot-oil": ("warning",), "solvent": ("warning",), "asbestos": ("warning",),
    "eyes": ("warning",), "oily-cloths": ("warning",), "battery": ("warning",), "coolant-poison": ("warning",),
    "springs": ("warning",), "spinning": ("warning",), "leak-jet": ("warning",), "air-line": ("warning",),
    "wheel-nuts": ("warning",),
    "metal-splinters": ("warning",), "fire": ("warning",), "mixing": ("warning", "notice"),
    "skin": ("caution",), "sharp": ("caution",), "manual-handling": ("caution",),
    "environment": ("notice",), "abrasive": ("notice",), "threads": ("notice",), "overfill": ("notice",),
    "wind-up": ("notice",), "leak": ("notice",), "paint": ("notice",),
}


@dataclass(frozen=True)
class Need:
    """A caution that a card must carry: before the first step that is so, or `anywhere` on it.

    A step is so by what it does (`flag`: lifts, opens), by its words, or, for all steps, by the `kinds` of unit that
    the card is only for. `unless` takes words out of what is looked at.
    """

    topic: str
    why: str
    severity: str
    flag: str = ""
    words: str = ""
    kinds: tuple[str, ...] = ()
    unless: str = ""
    anywhere: bool = False

    def met_by(self, text: str) -> bool:
        """Say if the words of a step bring the hazard about."""
        seen = re.sub(self.unless, "", text, flags=re.I) if self.unless else text
        return bool(self.words) and re.search(self.words, seen, re.I) is not None


ENGINE_RUNS = r"\b(start(?:,| outdoors| in the open)|idl(?:e|ing)|run the engine|engine running|engine cranks)\b"
NEEDS = (
    Need("driven-wheels", "a wheel off the ground may drive or roll", "danger", flag="lifts"),
    Need("hot-oil", "what runs out is hot", "warning", flag="opens"),
    Need("hot-oil", "the exhaust is beside it", "warning", words=r"exhaust (?:beside|lose)|hot-air", anywhere=True),
    Need("skin", "used oil is on the hands", "caution", flag="opens"),
    Need("eyes", "what runs out runs down on the face", "warning", flag="opens"),
    Need("eyes", "something flies or falls", "warning",
         words=r"\b(scrape|circlip|hammer|knock|drill|nipple|bleed screws?|clips move|hot plate)\b"),
    Need("environment", "there is waste", "notice", flag="opens", anywhere=True),
    Need("environment", "there is waste", "notice", words=r"\b(waste|draw off|drained)\b", anywhere=True),
    Need("solvent", "cleaner is used", "warning", words=r"\b(cleaner|solvent|penetrant)\b"),
    Need("asbestos", "old gaskets and linings are touched", "warning",
         words=r"\b(scrape|strip the old joint|old gasket away|brake dust|wheel off)\b"),
    Need("abrasive", "an open face is scraped", "notice", words=r"\bscrape (outward|the housing)"),
    Need("sharp", "a blade is used", "caution", words=r"\bscrape (outward|the housing)"),
    Need("exhaust-gas", "the engine runs", "danger", words=ENGINE_RUNS),
    Need("spinning", "belts, fan or shaft are near", "warning", words=r"\b(belts?|fan|each shaft|the shaft)\b",
         unless=r"along the shaft"),
    Need("scald", "the coolant's cap is opened", "danger", kinds=("cooling",)),
    Need("scald", "the coolant's cap is near", "danger", words=r"coolant.*\bcap\b"),
    Need("coolant-poison", "there is coolant", "warning", words=r"\bcoolant\b", unless=r"coolant in the"),
    Need("coolant-poison", "there is coolant", "warning", kinds=("cooling",)),
    Need("brakes", "the brakes are touched", "warning", kinds=("brakes",)),
    Need("brakes", "the brakes are touched", "warning", words=r"\b(calliper|brake fluid|brake off)\b",
         unless=r"coolant and brake fluid"),
    Need("paint", "brake fluid may drip", "notice", kinds=("brakes",)),
    Need("battery", "a battery is near", "warning", kinds=("battery",)),
    Need("battery", "a battery is near", "warning", words=r"\bbattery posts?\b"),
    Need("springs", "a spring is under load", "warning", words=r"\b(the tensioner off|circlip|lever each bush)\b"),
    Need("metal-splinters", "steel is struck or drilled", "warning",
         words=r"\b(knock|hammer|drill|drive the old ones)\b"),
    Need("fire", "there is heat or flame", "warning", words=r"\b(hot-air|hot plate|flame)\b"),
    Need("air-line", "a bearing is washed and dried", "warning", words=r"\bspin one with air\b|wash bearings"),
    Need("skin", "grease is under pressure", "caution", words=r"\b(nipple|cross of the)\b"),
    Need("manual-handling", "it is heavy", "caution", words=r"\b(wheel off|roll the vehicle|hub's cap off)\b"),
    Need("wind-up", "four-wheel drive is tried", "notice", words=r"\bfour-wheel drive\b|through high, low"),
)
# A card whose torque or whose cloths bring a hazard about, wherever the step is.
WHEEL = Need("wheel-nuts", "wheel nuts are tightened", "warning", anywhere=True)
CLOTHS = Need("oily-cloths", "cloths get oil or cleaner on them", "warning", anywhere=True)
