"""How a step begins: with what to do, or with a short lead-in that says where or when. One word of the trade each."""

VERBS = frozenset((
    "add", "back", "begin", "bend", "block", "blow", "book", "break", "bring", "brush", "catch", "chalk", "check",
    "chock", "choose", "clean", "clear", "clip", "close", "come", "compare", "count", "crack", "cut", "decide", "dip",
    "do", "drain", "draw", "drill", "drive", "drop", "dry", "feel", "fill", "find", "fish", "fit", "fold", "follow",
    "get", "give", "go", "grease", "half-fill", "hang", "hold", "hook", "hose", "keep", "label", "lay", "leave",
    "let", "lever", "lift", "log", "look", "loosen", "lower", "make", "mark", "match", "measure", "mix", "move",
    "note", "oil", "open", "pack", "paint", "paint-mark", "park", "peel", "pick", "place", "plug", "pour",
    "press", "prove", "pull", "pump", "push", "put", "raise", "read", "record", "refit", "release", "remove",
    "renew", "rest", "rinse", "rock", "roll", "rub", "run", "say", "scrape", "seat", "see", "set", "settle",
    "shift", "shut", "slacken", "slide", "slip", "snug", "spin", "spread", "squeeze", "stand", "start", "stop", "strip",
    "support", "swap", "sweep", "switch", "take", "tap", "tell", "test", "throw", "tie", "tighten", "top",
    "touch", "try", "turn", "twist", "undo", "unplug", "wait", "warm", "wash", "watch", "weigh", "wet", "wet-wipe",
    "wipe", "wire-brush", "work", "wrap", "write",
))
LEAD_INS = frozenset((
    "after", "at", "before", "below", "beneath", "during", "from", "if", "in", "inside", "near", "on", "once",
    "outside", "over", "through", "under", "until", "when", "where", "while", "with", "within", "without",
))
