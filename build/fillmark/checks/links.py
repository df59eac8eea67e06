"""Prose pages: no raw HTML, and links only to https, http or a page of this site; no file named as another page."""

from __future__ import annotations

import re

from fillmark.load import Document
from fillmark.model.routes import TAKEN, every
from fillmark.model.site import Site
from fillmark.model.tools import TOOLS
from fillmark.problem import Problem, nearest

NAME = "links"
LINK = re.compile(r"\]\(\s*<?([^)\s>]*)|^\s*\[[^\]]+\]:\s*(\S+)|<([a-z][a-z0-9+.-]*:[^>\s]*)>", re.I)
HTML = re.compile(r"<(/?[a-zA-Z][a-zA-Z0-9-]*)(?=[\s/>]|$)|<[!?]")
SCHEME = re.compile(r"^([a-zA-Z][a-zA-Z0-9+.-]*):")


def check(site: Site) -> list[Problem]:
    pages = every(site)
    return [
        *(problem for name in site.pages for problem in _page(site.documents["pages", name], pages)),
        *(site.documents[kind, name].problem((), "this name belongs to a page of the site itself", got=name, rule=NAME,
                                             hint="rename the file")
          for kind, taken in (("pages", TAKEN), ("calculators", TOOLS)) for name in site.of_kind(kind)
          if name in taken),
    ]


def _page(document: Document, pages: set[str]) -> list[Problem]:
    out = []
    for number, line in enumerate(document.text.splitlines(), 1):
        for match in HTML.finditer(line):
            out.append(_at(document, number, match.start() + 1, line, "raw HTML is not allowed", "Markdown only",
                           match[0]))
        for match in LINK.finditer(line):
            target = match[1] or match[2] or match[3] or ""
            scheme = SCHEME.match(target)
            if (scheme and scheme[1].lower() not in {"http", "https"}) or target.startswith(("//", "/")):
                out.append(_at(document, number, match.start() + 1, line, "unsafe link",
                               "http, https or a page of this site such as tables/gear-oil-grades/", target))
            elif not scheme and not target.startswith("#") and target.partition("#")[0] not in pages:
                out.append(_at(document, number, match.start() + 1, line, "link to a page that is not there",
                               "a page of this site, written from its root, such as tables/gear-oil-grades/", target,
                               nearest(target, sorted(pages))))
    return out


def _at(document: Document, line: int, column: int, text: str, message: str, expected: str, got: str,
        hint: str = "") -> Problem:
    return Problem(document.file, line, column, "", message, expected, got, hint, NAME, text)
