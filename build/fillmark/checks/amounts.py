"""Every amount has a unit that the site knows, of the dimension that its field asks for."""

from __future__ import annotations

from fillmark.model.site import Site
from fillmark.model.walk import walk
from fillmark.problem import Problem

NAME = "amounts"


def check(site: Site) -> list[Problem]:
    out = []
    for kind in ("vehicles", "cards", "tables", "calculators", "logs", "keys"):
        for name, model in site.of_kind(kind).items():
            out += _model(site, kind, name, model)
    return out + _model(site, "top", "rules", site.rules)


def _model(site: Site, kind: str, name: str, model: object) -> list[Problem]:
    document, out = site.documents[kind, name], []
    for path, amount, dimension in walk(model):
        if not hasattr(amount, "unit") or not hasattr(amount, "text"):
            continue
        unit = site.units.known(amount.unit)
        if unit is None:
            out.append(document.problem(path, "unknown unit", expected="a unit of content/units.txt", got=amount.unit,
                                        hint=site.units.near(amount.unit), rule=NAME))
        elif dimension and unit.dimension != dimension:
            offered = ", ".join(site.units.symbols(dimension))
            out.append(document.problem(path, f"wrong kind of unit: this is a {dimension}",
                                        expected=f"{dimension} in one of {offered}",
                                        got=f"{amount.text} ({unit.dimension})", rule=NAME))
    return out
