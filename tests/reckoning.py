"""A second reckoning of what is due, for the tests: dateutil for months, fractions and a search by whole units for
distance, every day counted for the use, scipy for the pace. It shares no code with the page."""

from __future__ import annotations

import datetime as dt
import math
from fractions import Fraction
from itertools import pairwise
from typing import Any

from dateutil.relativedelta import relativedelta
from scipy.stats import theilslopes

from histories import METRES, SITE, TODAY, UNITS, Json


class Reckoning:
    """What is due of one history; `due()` gives the items as the page does."""

    def __init__(self, given: Json) -> None:
        self.car = given["vehicle"]
        self.clock = self.car["odometer"]
        self.per, self.range = METRES[self.clock["unit"]], 10 ** self.clock["digits"]
        gone = {one["entry"]["replaces"] for one in given["records"]}
        self.records = [one for one in given["records"]
                        if one["id"] not in gone and one["entry"]["date"] <= TODAY.isoformat()]
        self.read()
        place = {one["id"]: self.place(one["entry"]) for one in self.records}
        self.records.sort(key=lambda one: (one["entry"]["date"], -1 if place[one["id"]] is None else place[one["id"]],
                                           one["at"]))
        self.places = place

    def read(self) -> None:
        """Put the readings in order, count rollovers, and believe the longest run that never falls."""
        raw = [(dt.date.fromisoformat(self.clock["asOf"]), self.clock["reading"], "")]
        raw += [(dt.date.fromisoformat(one["entry"]["date"]), round(one["entry"]["odometer"]["si"] / float(self.per)),
                 one["id"]) for one in self.records if one["entry"]["odometer"]["si"] is not None]

        def key(one: tuple[dt.date, int, str]) -> tuple[dt.date, int, str]:
            same = [shown for day, shown, _ in raw if day == one[0]]
            late = max(same) - min(same) > self.range / 2 and one[1] < self.range / 2
            return one[0], one[1] + (self.range if late else 0), one[2]

        raw = sorted(raw, key=key)
        lap, laps = 0, []
        for n, (_, shown, _) in enumerate(raw):
            lap += n > 0 and raw[n - 1][1] - shown > self.range / 2
            laps.append(lap)
        own = next(n for n, one in enumerate(raw) if one[2] == "")
        base = max(0, self.clock["rollovers"] - laps[own])
        self.laps = {one[2]: (lap + base) * self.range for one, lap in zip(raw, laps, strict=True)}
        at = [shown + self.laps[who] for _, shown, who in raw]
        best: list[list[int]] = []
        for n in range(len(raw)):
            fit = [run for run in best if at[run[-1]] <= at[n]]
            longest = max((len(run) for run in fit), default=0)
            best.append(([run for run in fit if len(run) == longest][-1] if fit else []) + [n])
        run = [one for one in best if len(one) == max(map(len, best))][-1]
        self.track = [(raw[n][0], at[n], raw[n][2]) for n in run]
        self.now = self.track[-1][1]

    def place(self, entry: Json) -> Fraction | None:
        for _, at, who in self.track:
            if who == entry["id"]:
                return Fraction(at)
        day = dt.date.fromisoformat(entry["date"])
        before = [one for one in self.track if one[0] <= day]
        after = [one for one in self.track if one[0] > day]
        if not before or not after:
            return Fraction(before[-1][1]) if before else None
        (a, low, _), (b, high, _) = before[-1], after[0]
        return low + Fraction((high - low) * (day - a).days, (b - a).days)

    def crossed(self, at: int) -> dt.date | None:
        for n, (day, stood, _) in enumerate(self.track):
            if stood >= at:
                if n == 0:
                    return day
                a, low, _ = self.track[n - 1]
                return a + dt.timedelta(days=math.floor(Fraction((day - a).days * (at - low), stood - low)))
        return None

    def rate(self, at: Fraction | int, severe: Fraction) -> Fraction:
        """Return metres for one on the odometer at `at`, more of them in severe use."""
        factor = [era["factor"] for era in self.car["tyreEras"] if era["since"] <= at][-1]
        use = [self.car["severity"], *(era["use"] for era in self.car["severityEras"] if era["since"] <= at)][-1]
        return self.per * Fraction(str(factor)) / (severe if use == "severe" else 1)

    def metres(self, low: Fraction, high: Fraction, severe: Fraction = Fraction(1)) -> Fraction:
        if high < low:
            return -self.metres(high, low, severe)
        changes = {era["since"] for era in self.car["tyreEras"] + self.car["severityEras"]}
        edges = [low, *sorted(one for one in changes if low < one < high), high]
        return sum((b - a) * self.rate(a, severe) for a, b in pairwise(edges)) + Fraction(0)

    def reached(self, start: Fraction, budget: int, severe: Fraction) -> Fraction:
        """Search for the last whole unit that is within the budget, then go the rest of the way."""
        low, high = math.floor(start), math.floor(start) + 200_000
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if self.metres(start, Fraction(middle), severe) <= budget else (low, middle)
        from_ = max(start, Fraction(low))
        return from_ + (budget - self.metres(start, from_, severe)) / self.rate(from_, severe)

    def until(self, start: dt.date, months: int, factor: float) -> dt.date:
        """Go day by day through the use of each day where it changes, and by the calendar where it does not."""
        zero, share = dt.date(2000, 1, 1), Fraction(str(factor))
        severe = [self.car["severity"] == "severe"] * 20_000
        for era in self.car["severityEras"]:
            day = (dt.date.fromisoformat(era["sinceDate"]) - zero).days
            severe[day:] = [era["use"] == "severe"] * (20_000 - day)
        first = (start - zero).days
        span = months * (share if severe[first] else 1)
        end = start + relativedelta(months=math.floor(span))
        month = (start + relativedelta(months=math.floor(span) + 1)) - end
        end += dt.timedelta(days=math.floor((span - math.floor(span)) * month.days))
        if len(set(severe[first:first + (end - start).days])) == 1:
            return end
        left, day = (start + relativedelta(months=months) - start).days * share.numerator, first
        while left > 0:
            left -= share.denominator if severe[day] else share.numerator
            day += 1
        return zero + dt.timedelta(days=day if left == 0 else day - 1)

    def ahead(self, at: int) -> tuple[Json | None, str]:
        last = self.track[-1][0]
        daily = {day: stood for day, stood, _ in self.track if (last - day).days <= 5 * 365.25}
        span = (last - min(daily)).days
        if len(daily) < 4 or span < 90:
            has = "1 day" if len(daily) == 1 else f"{len(daily)} days"
            return None, (f"not enough readings for a forecast: {has} with a reading over {span} days, 4 over 90 days "
                          "are needed")
        slope, _, low, high = theilslopes(list(daily.values()), [day.toordinal() for day in daily], 0.9)
        if slope <= 0:
            return None, "no forecast: the odometer hardly moves"
        middle, early, late = (last.toordinal() + (at - self.now) / one if one else math.inf
                               for one in (slope, high, low))
        if middle - TODAY.toordinal() > 36_525:
            return None, "no forecast: more than a hundred years off at this pace"

        def iso(ordinal: float) -> str:
            return dt.date.fromordinal(max(TODAY.toordinal(), int(ordinal))).isoformat()

        return {"date": iso(math.floor(middle)), "early": iso(math.floor(early)),
                "late": iso(math.ceil(late)) if late - TODAY.toordinal() <= 36_525 else ""}, ""

    # ---- the list

    def due(self) -> list[Json]:
        found = [one for unit, (kind, _) in UNITS.items() if kind not in ("wheels", "vehicle")
                 for one in self.services(unit, kind)]
        found += [self.look(look) for look in sorted(self.looks(), key=lambda look: list(UNITS).index(look["unit"]))]
        states = ["due", "coming", "unknown", "clear"]
        found.sort(key=lambda one: (0 if one["stop"] else 1 + states.index(one["state"]), one.pop("first")))
        return found

    def services(self, unit: str, kind: str) -> list[Json]:
        site = next((rule for rule in SITE["service"] if kind in rule["kinds"]), None)
        own = next((rule for rule in self.car["service"] if unit in rule["units"]), None)
        blank = {"unit": unit, "what": "change", "state": "unknown", "first": math.inf}
        if site is None and own is None:
            return [self.item(**blank, why="no rule for this kind of unit")]
        resets = site["resetBy"] if site else ["P01", "P02", "P07", "P06"]
        if site and self.clock["unit"] == "km" and site.get("distanceKm"):
            site = site | {"distance": site["distanceKm"]}
        out = [self.service(blank, own or site, resets)]
        if site and site["testMonths"]:
            test = {"distance": None, "months": site["testMonths"], "severeFactor": site["severeFactor"]}
            out.append(self.service(blank | {"what": "test"}, test, site["testResetBy"]))
        return out

    def service(self, blank: Json, rule: Json, resets: list[str]) -> Json:
        done = [one["entry"] for one in self.records if one["entry"]["unit"] == blank["unit"]
                and one["entry"]["procedure"] in resets and one["entry"]["finished"]]
        if not done:
            return self.item(**blank, why="never logged")
        last, severe = done[-1], Fraction(str(rule["severeFactor"]))
        on, start = dt.date.fromisoformat(last["date"]), self.places[last["id"]]
        end = self.until(on, rule["months"], rule["severeFactor"])
        known = rule["distance"] is not None and start is not None
        exact = self.reached(start, rule["distance"], severe) if known else None
        item = self.item(**blank) | {"since": last["id"]} | self.bounds(exact, end)
        passed, ahead = item.pop("passed"), item["forecast"] and dt.date.fromisoformat(item["forecast"]["date"])
        used = self.metres(start, Fraction(self.now), severe) / rule["distance"] if known else Fraction(0)
        spent, left = Fraction((TODAY - on).days, max(1, (end - on).days)), (end - TODAY).days
        if passed or left <= 0:
            item["state"] = "due"
        elif used >= Fraction(9, 10) or left <= max(14, Fraction((end - on).days, 10)) or (ahead and ahead <= TODAY):
            item["state"] = "coming"
        elif rule["distance"] is None or known:
            item["state"] = "clear"
        if rule["distance"] is not None and not known:
            item["why"] = "the odometer at the last one is not known"
        across = passed or ahead
        by_distance = known and (across <= end if across else used >= spent)
        item["bound"] = "" if item["state"] == "unknown" else "distance" if by_distance else "months"
        return item

    def item(self, **known: Any) -> Json:
        return {"vehicle": "v", "bound": "", "since": "", "odometer": None, "shows": "", "date": "", "over": None,
                "late": None, "forecast": None, "why": "", "hardStop": None, "stop": False, "followUp": ""} | known

    def bounds(self, exact: Fraction | None, end: dt.date | None) -> Json:
        out: Json = {"passed": None}
        if exact is not None:
            at = math.floor(exact)
            out |= {"odometer": at, "shows": f"{at % self.range:0{self.clock['digits']}}", "passed": self.crossed(at),
                    "over": float(self.metres(exact, Fraction(self.now)))}
            if not out["passed"]:
                out["forecast"], out["why"] = self.ahead(at)
        if end:
            out |= {"date": end.isoformat(), "late": (TODAY - end).days}
        across = out["passed"] or (dt.date.fromisoformat(out["forecast"]["date"]) if out.get("forecast") else None)
        return out | {"first": min((day.toordinal() for day in (across, end) if day), default=math.inf)}

    def look(self, look: Json) -> Json:
        within = next((look[key] for key in ("from", "to", "hardStop") if look[key] is not None), None)
        lap = self.laps.get(look["entry"], 0)
        on = dt.date.fromisoformat(look["due"]) if look["due"] else None
        item = self.item(unit=look["unit"], what=look["kind"], since=look["entry"], followUp=look["id"], bound="event")
        item |= self.bounds(None if within is None else Fraction(within + lap), on)
        passed = item.pop("passed")
        if look["hardStop"] is not None:
            item |= {"hardStop": look["hardStop"] + lap, "stop": self.now > look["hardStop"] + lap}
        item["state"] = "due" if passed or item["stop"] or (on and on <= TODAY) else "coming"
        if within is None and on is None:
            item |= {"state": "unknown", "bound": "", "why": f"neither a date nor a distance is known: {look['says']}"}
        return item

    def looks(self) -> list[Json]:
        still: list[Json] = []
        for record in self.records:
            entry = record["entry"]
            closed = [look for look in still if entry["finished"] and self.closes(entry, look)]
            still = [look for look in still if look not in closed]
            made = record["followUps"]
            if not entry["job"] and not made:
                made = [look for look in self.made(entry)
                        if not any((one["kind"], one["unit"]) == (look["kind"], look["unit"]) for one in closed)]
            redone = {look["kind"] for look in made if look["unit"] == entry["unit"]}
            still = [look for look in still if look["unit"] != entry["unit"] or look["kind"] not in redone]
            still += [look | {"opener": entry} for look in made]
        return still

    def closes(self, entry: Json, look: Json) -> bool:
        here = entry["unit"] in ("all", look["unit"])
        named = entry.get("closes", [])
        if look["id"] in named or (look["entry"] in named and (here or look["unit"] == look["opener"]["unit"])):
            return True
        if look["kind"] == "leak" and not look["due"] and "-f" in look["id"] and look["to"] is not None:
            # Stored, by distance only: half of it must be driven before a look tells anything.
            end, stood = look["to"] + self.laps.get(look["entry"], 0), self.places[entry["id"]]
            if 2 * (stood or 0) < end + (end if (first := self.places[look["entry"]]) is None else first):
                return False
        work = [did for rule in SITE["events"] if rule["look"] == look["kind"] for did in rule["closedBy"]]
        return here and entry["procedure"] in work and entry["date"] > look["opener"]["date"]

    def made(self, entry: Json) -> list[Json]:
        start, lap, out = self.places[entry["id"]], self.laps.get(entry["id"], 0), []
        for rule in SITE["events"]:
            if entry["procedure"] not in rule["after"] and entry.get("event") not in rule["after"]:
                continue
            for unit, (kind, diff) in UNITS.items():
                if not (kind in rule["kinds"] if rule["kinds"] else unit == entry["unit"]):
                    continue
                if rule["onlyIf"] and diff != "clutch-ls":
                    continue
                after = {key: None if start is None or not rule[name] else math.floor(
                    start - lap + Fraction(rule[name]) / self.rate(start, Fraction(1)) + Fraction(1, 2))
                    for key, name in (("from", "earliest"), ("to", "latest"), ("hardStop", "hardStop"))}
                due = dt.date.fromisoformat(entry["date"]) + dt.timedelta(days=rule["days"])
                out.append({"id": f"{entry['id']}:{rule['id']}:{unit}", "entry": entry["id"], "unit": unit,
                            "kind": rule["look"], "says": rule["action"],
                            "due": due.isoformat() if rule["days"] else "", **after})
        return out
