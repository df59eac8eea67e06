"""A unit's numbers as they are shown: value as typed, the other unit beneath, source and state in words."""

from __future__ import annotations

from dataclasses import dataclass

from fillmark.model.amount import Amount, Origin, TorqueFigure, VolumeFigure
from fillmark.model.site import Site

# What a value is also shown in, and to how many decimals: the unit of the other half of the trade.
ALSO = {
    "L": ("US qt", 2), "mL": ("US fl oz", 1), "US qt": ("L", 2), "US pt": ("L", 2), "imp pt": ("L", 2),
    "imp qt": ("L", 2), "lb·ft": ("N·m", 0), "lb·in": ("N·m", 1), "mm": ("in", 2), "kg": ("lb", 0), "km": ("mi", 0),
    "mi": ("km", 0), "°C": ("°F", 0),
}
Written = VolumeFigure | TorqueFigure
SMALL_TORQUE = 14.0  # N·m; below it the other unit is lb·in, since lb·ft would round the value away
# Which source wins a conflict, best first: a fill measured to the level rule beats any written capacity for that
# unit; for torque the manual page beats all.
RANK = {
    "volume": ("owner-measured", "service-manual-page", "unit-tag-or-casting", "supplier-data-sheet"),
    "torque": ("service-manual-page", "unit-tag-or-casting", "supplier-data-sheet", "owner-measured"),
}


@dataclass(frozen=True)
class Figure:
    """One number as shown; `rivals` are the other values of a conflict, the losing ones struck through."""

    label: str
    main: str
    also: str
    state: str
    origin: str
    lost: bool = False
    note: str = ""
    rivals: tuple[Figure, ...] = ()


def grouped(value: float, decimals: int) -> str:
    """Return the number with a thin space between thousands: 112380 -> 112 380."""
    text = f"{abs(value):,.{decimals}f}".replace(",", "\u202f")
    return f"−{text}" if value < 0 and text.strip("0.") else text


def also(site: Site, amount: Amount) -> str:
    """Return the amount in the other unit, such as `2.48 US qt` for `2.35 L`; empty where there is none."""
    known = site.units.known(amount.unit)
    symbol = known.symbol if known else ""
    torque = ("lb·in", 0) if amount.value < SMALL_TORQUE else ("lb·ft", 0)
    target = torque if symbol == "N·m" else ALSO.get(symbol)
    if target is None:
        return ""
    unit, decimals = target
    return f"{grouped(site.units.convert(amount.value, amount.unit, unit), decimals)} {unit}"


def shown(amount: Amount) -> str:
    """Return the amount as typed, with thousands set apart."""
    if "." in amount.text or abs(amount.value) < 10000:
        return amount.text.replace("-", "−", 1) if amount.value < 0 else amount.text
    return f"{grouped(amount.value, 0)} {amount.unit}"


def origin_words(site: Site, origin: Origin) -> str:
    """Return `service manual page 4-12, 2020-05-16`."""
    title = site.sources[origin.source].title
    return ", ".join(part for part in (f"{title} {origin.page}" if origin.page else title, origin.date) if part)


def best_first(value: Written) -> tuple[list[Written], list[Written]]:
    """Return the values of the best-ranked source, the one to use first, and the values that lose against it.

    A superseded value has lost already: it never wins, whatever its source, and stands last.
    """
    ranking = RANK["volume" if isinstance(value, VolumeFigure) else "torque"]
    everyone = (value, *(one for one in value.other if one.state != "superseded"))
    places = [ranking.index(one.source) if one.source in ranking else len(ranking) for one in everyone]
    best = min(places)
    winners = [one for one, place in zip(everyone, places, strict=True) if place == best]
    losers = [one for one, place in zip(everyone, places, strict=True) if place != best]
    return winners, losers + [one for one in value.other if one.state == "superseded"]


def figure(site: Site, label: str, value: Written) -> Figure:
    """Return the shown form of a capacity or torque, with the rivals of a conflict, the winner first."""
    winners, losers = best_first(value)
    first, *rest = [
        Figure(label, shown(one.value), also(site, one.value), value.state, origin_words(site, one),
               one in losers and (value.state == "conflict" or one.state == "superseded"), one.note or "")
        for one in (*winners, *losers)
    ]
    return Figure(first.label, first.main, first.also, first.state, first.origin, first.lost, first.note, tuple(rest))
