"""The flow: load -> validate -> check -> render -> write. Read this first; each verb is a module."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fillmark import checks, load, validate, write
from fillmark.problem import Problem
from fillmark.render import data, headers, manifest, pages, precache, schemas, scripts, styles


@dataclass(frozen=True)
class Outcome:
    """What a run did: the files written (none if there is any problem) and the problems found."""

    files: dict[str, bytes]
    problems: tuple[Problem, ...]
    files_read: int


def run(content: Path, site_src: Path, dist: Path | None, *, switched_off: bool = False) -> Outcome:
    """Read the content, and write the site into `dist` as a whole, or report every problem and write nothing.

    With `dist=None` everything is done but the writing. `switched_off`: a site that phones no longer keep, and that
    takes off them what they have kept of it.
    """
    loaded = load.read(content, site_src)
    site, problems = validate.site(loaded)
    if site is None:
        return Outcome({}, tuple(problems), loaded.files_read)

    problems = checks.run(site)
    if problems:
        return Outcome({}, tuple(problems), loaded.files_read)

    files = {
        **scripts.files(site, loaded.assets),
        **styles.files(loaded.assets),
        **manifest.files(site.meta.name, loaded.assets),
        **data.files(site),
        **schemas.files(),
        **headers.files(),
    }
    files |= pages.files(site, loaded.templates, files, switched_off=switched_off)
    files |= precache.files(files, loaded.assets, switched_off=switched_off)
    problems = write.check_output(files)
    if problems:
        return Outcome({}, tuple(problems), loaded.files_read)

    if dist is not None:
        write.swap(files, dist)
    return Outcome(files, (), loaded.files_read)
