"""The one stylesheet: the files of site_src/css in the order they build on each other, comments and blanks out."""

from __future__ import annotations

import re

ORDER = ("tokens", "base", "layout", "parts", "calculator", "print")


def files(assets: dict[str, bytes]) -> dict[str, bytes]:
    """Return {"css/site.css": bytes}; a stylesheet missing from ORDER comes before print, which stays last."""
    names = [path.removeprefix("css/").removesuffix(".css") for path in sorted(assets) if path.startswith("css/")]
    ordered = [name for name in ORDER[:-1] if name in names]
    ordered += [name for name in names if name not in ORDER] + [ORDER[-1]]
    text = "\n".join(assets[f"css/{name}.css"].decode() for name in ordered)
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.S)
    text = re.sub(r"\n\s*", "\n", text)
    return {"css/site.css": re.sub(r"\n+", "\n", text).strip().encode() + b"\n"}
