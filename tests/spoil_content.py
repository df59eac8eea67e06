"""Content spoilt on purpose, in seeded and named ways, and what a build of it must hold to whatever stands in there.

A hostile text carries MARK, so that it is found again wherever it should not be: as code, not as words.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from functools import lru_cache

import yaml

Files = dict[str, bytes]
MARK = "zqx"

TYPES = ["null", "true", "0", "-1", '""', "[]", "{}", "[[]]", "{a: 1}", "1.5", '"0"', "[1, two, {three: 3}]"]
NUMBERS = ["5:10", "012", "0x1F", "0o17", "1_000", "1e5", "+1", ".5", "1.", "1.0e999", "-1.0e999", "-0", ".inf",
           "-.inf",
           ".nan", "NaN", "9" * 5000, "9" * 400, "9" * 400 + " L", "9" * 400 + " mm", "1.0e-999", "0.0", "−5 mm",
           "1,5 L",
           "NaN L", "inf mm", "1e400 mm", "0 mm", "0 L", "99999999999999999999 km"]
KEYS = ["__proto__", "constructor", "prototype", "toString", "__class__", "__init__", "hasOwnProperty", "../up", "on",
        "a b", "''", '"<script>zqx</script>"', "$", "{{zqx}}", "1", "true", "null", "~", "? [a, b]\n", '"\\u202e"']
MARKUP = ["<script>zqx()</script>", "<img src=x onerror=zqx()>", '" onmouseover="zqx()', "' onfocus='zqx()' x='",
          "<svg/onload=zqx()>", "</textarea></title></script><script>zqx()</script>", "{{ zqx() }}", "{% raw %}zqx",
          "{fill.refill}<b onclick=zqx()>", "<!-- zqx", "]]><script>zqx()", "${zqx()}", "`zqx()`", "*/zqx();/**",
          "/** zqx", "// zqx", "import './zqx.js'", "from '../../zqx.js'", "\\", "\\u003cscript>zqx()", "{zqx}", "{0}",
          "%(zqx)s", "&lt;script&gt;zqx()", ' data-scripts="" zqx', ' data-module="zqx" ', "<style>*{}</style>zqx",
          "{fill.refill.__class__}", "{__proto__}", "<math><mtext><script>zqx()", "x" * 390 + "<b>"]
LINKS = ["javascript:zqx()", "JaVaScRiPt:zqx()", "&#106;avascript:zqx()", "java&#9;script:zqx()", "data:text/html,zqx",
         "vbscript:zqx", "//zqx.example/", "/zqx/", "https:javascript:zqx()", "#\" onclick=\"zqx()",
         "tables/grades/?zqx",
         "tables/grades/#zqx", "../../zqx", "https://x.example/\" onclick=\"zqx()", "file:///zqx", "blob:zqx",
         "%6aavascript:zqx"]
PROSE = ["[a]({})", "![a]({})", "<{}>", "[a][b]\n\n[b]: {}", "[a][b]\n\n[b]:\n    {}", "[a](<{}>)", "[a]({} \"t\")",
         "[a](\n{})", "| a | b |\n|---|---|\n| [x]({}) | y |", "[a](java\nscript:zqx())", "[a]\\({})"]
RAW = ["<script\n>zqx()</script\n>", "<img\nsrc=x\nonerror=zqx()>", "<iframe\nsrcdoc='zqx'>",
       "<a\nhref='javascript:zqx()'>a</a>",
       "<script>zqx()</script>", "<?zqx ?>", "<![CDATA[zqx]]>", "<!DOCTYPE zqx>", "<b\x0bonclick=zqx()>",
       "<base\nhref='x'>",
       "<meta\nhttp-equiv=refresh content='0;zqx'>", "<form\naction=zqx><button>", "<details\nopen ontoggle=zqx()>",
       "`<script>zqx()</script>`", "    <script>zqx()</script>", "<link\nrel=stylesheet href=zqx>",
       "<x:y\nonclick=zqx()>",
       "*<i\nonclick=zqx()*>", "&#60;script&#62;zqx()", "<svg\n><style\n>zqx</style></svg>"]
CONTROLS = ['"a\\x00b"', '"\\x1b[31mred"', '"a\\u0085b"', '"a\\u2028b"', '"\\ud800"', '"\\uffff"', '"a\\nb"', '"\\x7f"',
            '"\\t"', '"\\U0010ffff"', '"a\\rb"']
BIDI = ["\u202e62 L", "\u20665 mm\u2069", "\u200f", "\u200b", "\ufeff", "\u061c", "26\u202d N·m", "\u00ad"]
PATHS = ["../../up", "..", ".", "/etc/passwd", "a\\b", "%2e%2e/x", "con", "a/b", "-", "a b", "x.html", "index", "404",
         "~", "$HOME", "sw.js", "data", "A", "é"]
FORMULAS = ["__import__('os').system('zqx')", "().__class__.__bases__", "d.__class__", "9**9**9**9**9", "exec('zqx')",
            "lambda: d", "f'{d}'", "d**1e308", "(d/d)**99999", "d**99999", "-" * 300 + "d",
            "(" * 150 + "d" + ")" * 150, "open(d)",
            "0x10*d", "1_0*d", "d if d else h", "(d:=h)", "'a'*9", "d\\\n+h", "ｄ+h", "pi**pi**pi**pi**pi**pi",
            "d**0.1",
            "1e308*1e308*d", "d/0", "d/(h-h)", "[d]", "d[0]", "{d}", "d and h", "not d", "~d", "+d", "d@h", "d//h",
            "d%h", "sqrt",
            "sqrt(d,h)", "sqrt(*d)", "sqrt(x=d)", "yield d", "await d", "None", "True*d", "...", "1j*d", "d#h", "d;h",
            "",
            "choose(d<h<d,d,h)", "choose(d<h,d,sqrt(h))", "log(0)*d", "constructor", "__proto__", "d$h", "`d`",
            "*/zqx()/**",
            "min(" * 45 + "d" + ",d)" * 45, "ceil(1e308*10)*d", "exp(1e9)*h", "0**-1*d", "(0-1)**0.5*d"]
UNITS = ["zqx = 10**10**10 * mm", "zqx = __import__('os')", "zqx = ", "[zqx: m**99999999]", "zqx = m**99999999",
         "zqx" + " " * 3000 + "x", "__proto__ = millimeter", "<script>zqx = millimeter", "zqx = 9**9**9 * meter",
         "zqx = meter | ,,,",
         "zqx = 0 * meter", "zqx = inf * meter", "zqx = meter.__class__", "zqx = " + "(" * 3000 + "meter",
         "zqx = meter | L",
         "[length: m]", "zqx = " + "meter*" * 2000 + "meter", "zqx = metre ** 1e9", "zqx = meter ** meter",
         "[" + "a-" * 3000,
         "zqx = " + "-" * 3000 + "meter", "zqx = meter ** 2 ** 9999", "\"' onclick=zqx = millimeter",
         "zqx = 1e999 * meter"]


@lru_cache(maxsize=500)
def spots(text: str) -> tuple[list[tuple[int, int]], list[tuple[int, int]], list[tuple[int, int]]]:
    """Return where the values, the keys and the lists of a YAML text stand."""
    values: list[tuple[int, int]] = []
    keys: list[tuple[int, int]] = []
    lists: list[tuple[int, int]] = []

    def walk(node: yaml.Node) -> None:
        place = node.start_mark.index, node.end_mark.index
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                keys.append((key.start_mark.index, key.end_mark.index))
                walk(value)
        elif isinstance(node, yaml.SequenceNode):
            lists.append(place)
            for one in node.value:
                walk(one)
        (values if isinstance(node, yaml.ScalarNode) else lists).append(place)

    walk(yaml.compose(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader)))
    return values, keys, lists


def put(text: str, place: tuple[int, int], other: str) -> str:
    return text[: place[0]] + other + text[place[1]:]


def quoted(text: str) -> str:
    """Return a text as YAML that has just that text."""
    return json.dumps(text, ensure_ascii=False)


def bomb(dice: random.Random) -> str:
    """Return YAML with aliases: many times itself, within itself, and as a key, which Python would write out."""
    rows = ["a: &a [x, x, x, x, x, x, x, x, x]"]
    rows += [f"{one}: &{one} [{', '.join(['*' + last] * 9)}]" for last, one in zip("abcdefgh", "bcdefghi", strict=True)]
    return dice.choice(["\n".join(rows), "a: &a [*a]", "&a {? *a : 1}", "\n".join([*rows, "? *i", ": 1"]),
                       "a: &a 1\nb: *a"])


def deep(dice: random.Random) -> str:
    many = dice.choice([60, 150, 300, 900, 20_000])
    return dice.choice(["[" * many + "]" * many, "{a: " * many + "1" + "}" * many, "\n" + " " * 60 + "- " * many + "x"])


def yaml_spoilt(kind: str, text: str, dice: random.Random) -> str:
    """Return a YAML text with one thing in it spoilt."""
    values, keys, lists = spots(text)
    value, key, held = dice.choice(values), dice.choice(keys), dice.choice(lists or values)
    said = text[slice(*value)].strip("\"'")
    line = text[text.rfind("\n", 0, key[0]) + 1: text.find("\n", key[0])]
    match kind:
        case "type":
            return put(text, dice.choice([value, held]), dice.choice(TYPES))
        case "huge":
            return put(text, dice.choice([value, key]), dice.choice(["x", "9", "<b>", "a.",
                       "Word "]) * dice.choice([500, 200_000]))
        case "duplicate":
            return text.replace(line, f"{line}\n{line}", 1)
        case "alias":
            return dice.choice([bomb(dice), text + "\n" + bomb(dice), put(text, value, "&a [*a]")])
        case "merge":
            return dice.choice(["<<: {zqx: 1}\n" + text, put(text, key, "<<"), text + "\n<<: *zqx\n"])
        case "number":
            return put(text, value, dice.choice(NUMBERS))
        case "key":
            return dice.choice([put(text, key, dice.choice(KEYS)), f"{dice.choice(KEYS)}: {{a: 1}}\n{text}"])
        case "markup":
            return put(text, value, quoted(dice.choice(["", said, said[:20] + " "]) + dice.choice(MARKUP)))
        case "link":
            return put(text, value, quoted(dice.choice(LINKS)))
        case "control":
            return put(text, dice.choice([value, value, key]), dice.choice(CONTROLS))
        case "bidi":
            return put(text, value, dice.choice([quoted, str])(said[:9] + dice.choice(BIDI) + said[9:]))
        case "negative":
            amounts = [place for place in values if re.match(r"\"?\d", text[slice(*place)])] or [value]
            place = dice.choice(amounts)
            return put(text, place, dice.choice([f"-{text[slice(*place)]}", re.sub(r"\d", "0", text[slice(*place)])]))
        case "path":
            return put(text, dice.choice([value, key]), dice.choice([quoted, str])(dice.choice(PATHS)))
        case "deep":
            return put(text, dice.choice([value, held]), deep(dice))
        case "many":
            items = text[slice(*held)]
            if items.startswith("["):
                return put(text, held, "[" + ", ".join([items[1:-1] or "x"] * 2000) + "]")
            many = (f"{MARK}{n}: {n}" for n in range(5000))
            if "steps:" in text and dice.random() < 0.5:
                steps = (f"  - {{no: {n}, do: Look at it., hands: 5 min}}" for n in range(1, 41))
                return re.sub(r"steps:\n(?: .*\n)*", "steps:\n" + "\n".join(steps) + "\n", text)
            return dice.choice([text + "\n" + "\n".join(many) + "\n", put(text, value, "[" + "{}, " * 5000 + "]")])
        case "formula":
            spoken = [place for place in values if re.search(r"(formula|when|draw|y):\s*[\"']?$", text[:place[0]])]
            return put(text, dice.choice(spoken or [value]), quoted(dice.choice(FORMULAS)))
        case "swap":
            one, other = sorted(dice.sample([*values, *keys], 2))
            return put(put(text, other, text[slice(*one)]), one, text[slice(*other)])
    raise ValueError(kind)


def prose_spoilt(kind: str, text: str, dice: random.Random) -> str:
    """Return a page of prose with something hostile in it."""
    many = dice.choice([30, 300, 3000])
    heavy = dice.choice(["> ", "*", "[", "![", "<", "`", "- ", "\\", "&", "_a_", "[a](", "**a ", "|", "# ", "1. ",
                        "<b ", "  "])
    say = {
        "link": dice.choice(PROSE).format(dice.choice(LINKS)), "html": dice.choice(RAW),
        "bidi": "26" + dice.choice(BIDI),
        "markup": dice.choice(MARKUP), "control": dice.choice(["\x00", "\x1b[31m", "\x0b", "\u2028", "\x7f", "\x02"]),
        "deep": heavy * many, "many": f"{heavy}a\n" * many, "huge": "x" * 200_000,
    }[kind]
    at = dice.choice([len(text), text.index("\n") + 1, 0, dice.randrange(len(text))])
    return f"{text[:at]}{dice.choice(['', chr(10)])}{say}\n{text[at:]}"


def bytes_spoilt(body: bytes, dice: random.Random) -> bytes:
    at = dice.randrange(len(body) + 1)
    return dice.choice([
        body[:at] + b"\xff\xfe" + body[at:], b"\xef\xbb\xbf" + body, body.decode().encode("utf-16"),
        body[:at] + b"\x00" + body[at:],
        body[:at] + b"\xc0\xaf" + body[at:], body[:at] + b"\xed\xa0\x80" + body[at:],
        bytes(dice.randrange(256) for _ in range(900)), body.replace(b"\n", b"\r\n"),
        body[:at] + dice.choice([b"\t", b"{", b'"', b"9", b"\n", b":", b"-", b"%", b"@"]) + body[at + 1:]])


def moved(name: str, dice: random.Random) -> str:
    """Return another name for a file: of a page that the site has, of a folder, or none that an address can have."""
    folder, _, file = name.rpartition("/")
    stem, _, ending = file.rpartition(".")
    other = dice.choice(["index", "404", "cards", "log", "job", "data", "__proto__", "constructor", "a b",
                        "<b onclick=zqx>", "A", "é",
                         "..zqx", "x" * 200, "a%2f..", "'\"", "\u202ex", "data:zqx", stem + "-2", "con", "a#b", "a?b",
                         "{{zqx}}"])
    return dice.choice([f"{folder}/{other}.{ending}", f"{folder}/deep/er/{stem}.{ending}", f"{MARK}/{file}",
                       f"{name}.bak",
                        f"tables/{stem}.yaml", f"{folder}/{stem}.yml"]).lstrip("/")


IN_YAML = ("type", "huge", "duplicate", "alias", "merge", "number", "key", "markup", "link", "control", "bidi",
           "negative", "path",
           "deep", "many", "formula", "swap")
IN_PROSE = ("link", "html", "bidi", "markup", "control", "deep", "many", "huge")
OF_FILES = ("missing", "cut", "bytes", "name", "copy")
KINDS = sorted({*IN_YAML, *IN_PROSE, *OF_FILES, "units"})
ODDS = [*KINDS, "markup", "markup", "link", "html"]  # the more of what may pass as text


def spoilt(good: Files, seed: int) -> tuple[str, dict[str, bytes | None]]:
    """Return what was done, with the file's name, and the files that it changes (None: that is gone)."""
    dice = random.Random(seed)
    kind = dice.choice(ODDS)
    fits: Callable[[str], bool] = {
        "units": lambda name: name == "units.txt", "html": lambda name: name.endswith(".md"),
        "formula": lambda name: name.startswith("calculators/"),
    }.get(kind, lambda name: kind in OF_FILES or name.endswith(".yaml") or (kind in IN_PROSE and name.endswith(".md")))
    name = dice.choice([one for one in sorted(good) if fits(one)])
    body, said = good[name], f"{kind} {name}"
    match kind:
        case "missing":
            return said, {name: dice.choice([None, b"", b"\n", b"# only a remark\n", b"---\n", b"null\n", b"- a\n",
                b"a\n"])}
        case "cut":
            return said, {name: body[: dice.randrange(len(body))]}
        case "bytes":
            return said, {name: bytes_spoilt(body, dice)}
        case "name":
            return said, {name: None, moved(name, dice): body}
        case "copy":
            return said, {moved(name, dice): body}
        case "units":
            lines = body.decode().split("\n")
            lines.insert(dice.randrange(len(lines)), dice.choice(UNITS))
            return said, {name: "\n".join(lines).encode()}
    change = prose_spoilt if name.endswith(".md") else yaml_spoilt
    return said, {name: change(kind, body.decode(), dice).encode("utf-8", "surrogatepass")}
