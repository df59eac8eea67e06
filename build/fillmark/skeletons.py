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
# A procedure card. It is a whole one, a change of oil through two plugs; write over every line, then run
# `python3 build check`, which says what is missing. What the check asks of any card:
#   no vehicle's numbers in the text: slots such as {{fill.refill}} and {{torque.drain-plug}} are read from the unit
#   a step begins with what to do, or when or where to do it; two sentences at most, 32 words each
#   a hazard has its caution before the step that brings it about; most are worded in content/cautions.yaml
#   a step that lifts has the support card, its hold and its DANGER; one that lets oil out a hold on the fill plug
no: P99                   # a number no other card has; name it in content/rules.yaml if it sets an interval back
rev: 1
title: {title}
purpose: Say in one sentence what the job is for.
applies:
  kinds: [axle-cover, axle-dropout, front-axle]
  # opens_by: plugs       # only units that open so: cover, plugs or pan
  # diffs: [clutch-lsd]   # only these differentials, and those that nobody knows
  says: Say which units it is for, in words.
not_for: [Say what it is not for, and which card is.]
# sub: true               # stands inside other cards only
# beside: true            # needs nothing of the vehicle: done while another job waits
includes: [lift-and-support]   # cards that are done with it every time
see: [stuck-or-broken, waste-and-spills]   # cards that are opened when they are needed
# choice:                 # asked before the start; a step with `variants` goes by the answer
#   label: Joint
#   options: {{sealant: Sealant, gasket: Gasket}}
parts:                    # what is bought or used up
  - "Oil, {{fluid.grade}}, category {{fluid.category}}, and a seal for each plug."
pours:                    # what a plan buys to go in; of: fluid, additive, swivel, concentrate or water
  - {{fill: refill}}        # with `times: 2`, `spare: 1 L` or `sealed: true` where it is so
tools:                    # size: small, medium, large, plug or other; the exact size is the unit's
  - {{size: plug, what: "Keys that fit the plugs, {{plug.fill}} and {{plug.drain}}."}}
  - {{size: other, what: "Torque wrench, pan, pump and jug."}}
  - {{size: other, what: "Jack, rated stands, chocks, goggles and gloves."}}
gate: [Say what must be so before anything is touched.]
capacity: [fill.refill, level.rule]   # slots in the band of numbers at the head
torque: [fill-plug, drain-plug]       # fastener groups in the table of torques
steps:
  # after: [2, "3!"]      after step 2 and its wait, and after the hands-on part of step 3 only
  # wait_kind             drain, cool, flash-off, set, settle, charge or drive; `label_time: true` where a label rules
  # reads, tightens       fields of `record` that are read here, and the group of `torque` that is tightened
  - no: 1
    do: Chock the wheels, raise the vehicle and set it on stands. Push it sideways, hard.
    hands: 12 min
    lifts: true
    shared: raise         # warm, raise, lower, drive: what several jobs on one vehicle do once for all
  - no: 2
    do: Take the fill plug out and write down how far below the hole the oil stands.
    hands: 5 min
    after: [1]
    proves_fill: true
    shows: [plug.fill]    # slots printed beneath the step
    reads: [level-found]
  - no: 3
    do: Take the drain plug out with the pan ready, and let the stream fall to a drip.
    hands: 4 min
    wait: 15 min
    wait_kind: drain
    after: [2]
    opens: true
    reads: [colour, water, volume-out]
  - no: 4
    do: Fit the drain plug with a new seal and tighten it to {{torque.drain-plug}}.
    hands: 4 min
    after: [3]
    reads: [torque-drain]
    tightens: drain-plug
  - no: 5
    do: Pump in {{fluid.grade}} until it stands {{level.rule}}. Write down the litres.
    hands: 10 min
    after: [4]
    reads: [volume-in, litres-why]
  - no: 6
    do: Fit the fill plug with a new seal and tighten it to {{torque.fill-plug}}.
    hands: 4 min
    after: [5]
    reads: [torque-fill]
    tightens: fill-plug
  - no: 7
    do: Get people and tools out, and lower the vehicle. Log what went in.
    hands: 8 min
    shared: lower         # `runs: true` on a step at which the engine runs on stands
    after: [6]
holds:                    # no tick passes one before what it asks for is true
  # guard: support, fill-plug-first, label-time, cold, energy, firm and locked let no reason pass;
  #        keep-hold, count, dry, reconcile, seated, fluid, level and look take a written reason
  - {{no: 1, says: Do not go underneath until the push test has passed., blocks: [2], guard: support}}
  - {{no: 2, says: Do not touch the drain plug until the fill plug is out., blocks: [3], guard: fill-plug-first}}
cautions:                 # `use` names one of content/cautions.yaml; `before` is the step that it stands before
  - {{use: support, before: 1}}
  - {{use: driven-wheels, before: 1}}
  - {{use: hot-oil, before: 3}}
  - {{use: skin, before: 3}}
  - {{use: eyes, before: 3}}
  - {{use: environment, before: 3}}
  - {{use: oily-cloths, before: 3}}
  # - {{severity: notice, topic: leak, before: 7, says: "Hazard, what it does, how to stay out of its way."}}
acceptance: [Say what must be true at the end.]
stop:
  - Say when to stop, and that the service manual or a workshop takes over.
  - The vehicle is another person's, for hire, or due for inspection on this item. Trade rules and liability apply.
follow_ups:               # kind: leak, chatter, re-torque, level, play, condition, tension, voltage or support
  - {{kind: leak, when: "Next morning, cold, with torch and clean card.", days: 1}}
record:                   # an id alone is a field of content/fields.yaml, worded once for all cards
  - date
  - odometer
  - level-found
  - colour
  - water
  - volume-out
  - torque-drain
  - volume-in
  - litres-why
  - torque-fill
  - {{id: own-note, label: A field of this card alone, phase: as-left}}   # phase: as-found, job or as-left
  - deviation
  - photos
  - waste
  - follow-ups
work_out: [volumes, torque-units]     # calculators that the job needs
source: common-practice   # content/sources.yaml
source_note: The minutes are planning values. The service manual and the labels win.
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
