"""The web app manifest and the icons: what a phone needs to keep the site as an app on its home screen."""

from __future__ import annotations

import json

PAPER = "#fbfaf6"  # --paper of site_src/css/tokens.css
ICONS = (
    ("icons/icon.svg", "image/svg+xml", "any", "any"),
    ("icons/icon-192.png", "image/png", "192x192", "any"),
    ("icons/icon-512.png", "image/png", "512x512", "any"),
    ("icons/icon-maskable-512.png", "image/png", "512x512", "maskable"),
)


def files(name: str, assets: dict[str, bytes]) -> dict[str, bytes]:
    """Return the manifest and the icon files. Every address is relative, so that the site works below any path."""
    manifest = {
        "id": "./",
        "name": name,
        "short_name": name,
        "lang": "en",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [{"src": src, "type": kind, "sizes": sizes, "purpose": use} for src, kind, sizes, use in ICONS],
    }
    text = json.dumps(manifest, ensure_ascii=False, indent=1) + "\n"
    return {"manifest.webmanifest": text.encode(), **{src: assets[src] for src, *_ in ICONS}}
