"""Commented skeletons for `new`. Each is complete: it passes `check` as it stands and holds no invented number.

A figure that is not known yet is left out, so that its card prints a blank.
"""

from __future__ import annotations

import re

KINDS = {
    "vehicle": "vehicles/{id}.yaml",
    "card": "cards/axles/{id}.yaml",
    "calculator": "calculators/{id}.yaml",
}
ID = re.compile(r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")

VEHICLE = """\
# yaml-language-server: $schema=../.schema/vehicles.schema.json
# A vehicle of your own. Write amounts as the trade does: 2.35 L, 26 N·m, 2.2 imp pt.
# Every value names its source (content/sources.yaml) and its state:
#   verified    the manual page was seen, or the fill was measured to the level rule on level ground
#   plausible   two independent sources within 5 %
#   unverified  anything else; conflict when two sources differ by more than 5 % (the rival goes under `other:`)
rev: 1
name: {title}
short: {title}
invented: false
odometer: {{unit: km, digits: 6, reading: 0 km, as_of: 2026-01-01}}   # unit mi or km; the reading, and its day
coldest_start: -10 °C
severity: normal          # severe: towing, mud, deep water, short cold trips
# severity_eras:          # from an odometer on, used otherwise
#   - {{since: 20000 km, since_date: 2026-01-01, use: severe}}
# service:                # an interval of the manual's own, in place of content/rules.yaml
#   - {{units: [rear-axle], distance: 40000 km, months: 48, source: service-manual-page, page: "…", state: unverified}}
tyre_eras:
  - {{since: 0 km, size: 235/75R15, factor: 1.0, method: size-code, source: unknown, state: unverified}}
units:
  rear-axle:
    code: {code}-RA
    kind: axle-cover      # axle-dropout for a smooth back with a drain plug
    opens_by: cover       # cover, plugs or pan
    label: Rear axle      # what the tag or casting calls it
    place: rear axle
    # outline: {{face: cover, shape: round, bolts: 10, fill: 3 o'clock, plug: straight, drain: none}}
    # fluid: {{grade: 80W-90, category: GL-5, source: service-manual-page, state: unverified}}
    # fills:
    #   refill: {{value: 2.35 L, source: service-manual-page, page: "…", state: unverified}}
    # fasteners:
    #   cover:
    #     name: Cover bolts
    #     count: 10
    #     thread: M8×1.25
    #     class: "8.8"
    #     torque: {{value: 26 N·m, source: service-manual-page, state: unverified}}
    #     thread_state: dry
    #     pattern: ring
    #     stages: [50 %, 75 %, 100 %]
"""

CARD = """\
# yaml-language-server: $schema=../../.schema/cards.schema.json
# A procedure card. It never carries a vehicle's numbers: write a slot such as {{fill.refill}} or {{torque.cover}}.
# Steps: at most two sentences, verb first. `after: [2, "3!"]`: after step 2 and its wait, and after the hands-on
# part of step 3. A step that lets oil out says `opens: true` and needs a hold with guard fill-plug-first; a step
# that lifts says `lifts: true` and needs includes: [lift-and-support], a support hold and the crush DANGER.
# `reads: [level-found]` names fields of `record` that are read at the step, `tightens: cover` a group of `torque`.
no: P99                   # a number no other card has; name it in content/rules.yaml if it sets an interval back
rev: 1
title: {title}
purpose: Say in one sentence what the job is for.
applies: {{kinds: [axle-cover, axle-dropout, front-axle], says: Say which units it is for.}}
not_for: [Say what it is not for.]
tools:
  - {{size: other, what: Torch and clean card}}
steps:
  - {{no: 1, do: Look at the unit and write down what you see., hands: 5 min}}
acceptance: [Say what must be true at the end.]
stop: [Say when to stop and use the service manual or a workshop.]
source: common-practice
source_note: the service manual overrides it
"""

CALCULATOR = """\
# yaml-language-server: $schema=../.schema/calculators.schema.json
# One formula per output, in coherent SI; `unit` is what is typed and shown. At least one example names its source.
no: C99                   # a number no other calculator has
title: {title}
purpose: Say what it answers.
source: common-practice
state: unverified
inputs:
  d: {{label: Diameter, symbol: d, unit: mm, min: 10 mm, max: 2000 mm, why: the sizes this is meant for}}
  h: {{label: Height, symbol: h, unit: mm, min: 0 mm, max: 3000 mm, why: the sizes this is meant for}}
outputs:
  v: {{label: Volume, symbol: V, unit: L, formula: pi * (d / 2)**2 * h}}
examples:
  - name: A cylinder of half a metre by one metre
    source: common-practice
    in: {{d: 500 mm, h: 1000 mm}}
    out: {{v: 196 L}}
    tolerance: {{v: 0.5 L}}
"""

_TEXTS = {"vehicle": VEHICLE, "card": CARD, "calculator": CALCULATOR}


def skeleton(kind: str, name: str) -> tuple[str, str]:
    """Return (path under content/, text); the text is empty when `name` is not an id."""
    if not ID.match(name):
        return KINDS[kind], ""
    title = name.replace("-", " ").capitalize()
    code = "".join(word[0] for word in name.split("-"))[:2].upper()
    return KINDS[kind].format(id=name), _TEXTS[kind].format(title=title, code=code)
