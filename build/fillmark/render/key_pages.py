"""The pages of the keys. A script narrows and decides; the questions, kinds and rules stand there without one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fillmark.model.key import Key, Kind, Rule
from fillmark.model.site import Site


def pages(site: Site) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield (path, template, context) of every key."""
    for one in site.keys.values():
        yield f"keys/{one.page}/", "key.html", {
            "key": one,
            "kinds": [(kind, facts(one, kind)) for kind in one.kinds.values()],
            "turns": [(turn, [(conditions(one, rule), rule) for rule in (*turn.rules, *turn.notes)])
                      for turn in one.turns.values()],
            "other": [each for each in site.keys.values() if each is not one],
            "cards": {card.no for card in site.cards.values()},
        }


def listed(site: Site) -> list[Key]:
    """Return the keys that the cards begin with; the others are opened from them."""
    return [one for one in site.keys.values() if one.units or one.turns]


def facts(key: Key, kind: Kind) -> list[tuple[str, str]]:
    """Return (question, the answers that the kind can have) in words."""
    return [
        (key.questions[name].short,
         " or ".join(answer.label.rstrip(".") for option, answer in key.questions[name].options.items()
                     if not set(answer.fits or (option,)).isdisjoint(values)))
        for name, values in kind.facts.items()
    ]


def conditions(key: Key, rule: Rule) -> str:
    """Return when a rule holds, in words; nothing for a rule that always does."""
    def said(name: str, values: tuple[str, ...]) -> str:
        options = key.questions[name].options
        return " or ".join(options[value].label.rstrip(".") if value in options else "not known" for value in values)

    return "; ".join(f"{key.questions[name].short}: {said(name, values)}" for name, values in rule.when.items())
