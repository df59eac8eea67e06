"""Every value names a source of the closed list, and its state is one the source can carry.

The states follow the ranking of the house: `verified` needs a manual page, a tag, a standard or a measurement to the
level rule; `conflict` needs both values, and they must really differ (by more than 5 %).
"""

from __future__ import annotations

from collections.abc import Iterator

from fillmark.load import Document, Path_
from fillmark.model.amount import Origin, TorqueFigure, VolumeFigure
from fillmark.model.site import Site
from fillmark.model.walk import walk
from fillmark.problem import Problem, nearest

NAME = "origins"
CANNOT_VERIFY = {"common-practice", "previous-owner-note", "unknown"}
DIFFER = 0.05


def check(site: Site) -> list[Problem]:
    return [problem for document, path, source in _named(site)
            for problem in _source(site, document, path, source)] + _states(site)


def _named(site: Site) -> Iterator[tuple[Document, Path_, str]]:
    for kind in ("vehicles", "cards", "tables", "calculators", "keys", "guides"):
        for name, model in site.of_kind(kind).items():
            for path, value, _ in walk(model):
                source = getattr(value, "source", None)
                if isinstance(source, str):
                    yield site.documents[kind, name], (*path, "source"), source
    for path, value, _ in walk(site.rules):
        if isinstance(value, Origin):
            yield site.documents["top", "rules"], (*path, "source"), value.source


def _source(site: Site, document: Document, path: Path_, source: str) -> list[Problem]:
    if source in site.sources:
        return []
    return [document.problem(path, "unknown source", expected="an id of content/sources.yaml", got=source,
                             hint=nearest(source, list(site.sources)), rule=NAME)]


def _states(site: Site) -> list[Problem]:
    out = []
    for name, vehicle in site.vehicles.items():
        document = site.documents["vehicles", name]
        for path, value, _ in walk(vehicle):
            if not isinstance(value, Origin):
                continue
            source = site.sources.get(value.source)
            if value.state == "verified" and (value.source in CANNOT_VERIFY or (source and source.kind == "memory")):
                out.append(document.problem(
                    (*path, "state"), f"'{value.source}' cannot make a value verified",
                    expected="unverified or plausible", got=value.state, rule=NAME,
                    hint="verified needs the manual page, the tag, or a fill measured to the level rule"))
            if isinstance(value, (VolumeFigure, TorqueFigure)):
                out += _conflict(site, document, path, value)
    return out


def _conflict(site: Site, document: Document, path: Path_, figure: VolumeFigure | TorqueFigure) -> list[Problem]:
    rivals = [one for one in figure.other if one.state != "superseded"]  # those are settled, and kept to be seen
    if figure.state == "conflict" and not rivals:
        return [document.problem((*path, "state"), "a conflict needs both values",
                                 expected="the rival value under 'other'", rule=NAME,
                                 got="only superseded ones" if figure.other else "no 'other'")]
    known = [one for one in (figure, *rivals) if site.units.known(one.value.unit)]
    here = site.units.si(figure.value) if figure in known else 0.0
    apart = [abs(site.units.si(one.value) - here) / here for one in known[1:] if here]
    if figure.state != "conflict" and any(share > DIFFER for share in apart):
        return [document.problem((*path, "state"), "the values differ by more than 5 %", expected="conflict",
                                 got=figure.state, hint="write state: conflict until one is settled", rule=NAME)]
    return []
