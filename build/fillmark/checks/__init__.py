"""Rules that need more than one value. One module each, with NAME and check(site) -> problems, in reading order."""

from __future__ import annotations

from fillmark.checks import (
    amounts,
    calculators,
    cards,
    ceiling,
    examples,
    guides,
    hazards,
    holds,
    keys,
    links,
    logs,
    origins,
    reads,
    service,
    slots,
    steps,
    style,
    tables,
    vehicles,
)
from fillmark.model.site import Site
from fillmark.problem import Problem

CHECKS = (
    amounts, origins, vehicles, service, ceiling, cards, style, steps, holds, hazards, reads, slots, tables,
    calculators, examples, logs, keys, guides, links,
)


def run(site: Site) -> list[Problem]:
    """Return the problems of every check; an empty list means the site may be rendered."""
    return [problem for one in CHECKS for problem in one.check(site)]
