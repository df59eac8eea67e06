"""Draws the icon PNGs beside this file, the same drawing as icon.svg: a fill hole with the oil at its level line.

Run once after a change of the drawing: `.venv/bin/python site_src/icons/draw.py`.
"""

from pathlib import Path

from PIL import Image, ImageDraw

PAPER, INK = "#fbfaf6", "#16150f"
FINE = 4  # drawn so many times larger, then reduced: Pillow draws without smoothing


def icon(size: int, shrink: float = 1.0) -> Image.Image:
    """Return the icon; `shrink` keeps a maskable icon inside the circle that every phone shows (radius 40 %)."""
    full = size * FINE
    scale = full / 512 * shrink
    image = Image.new("RGB", (full, full), PAPER)
    draw = ImageDraw.Draw(image)

    def at(x: float, y: float) -> tuple[float, float]:
        return full / 2 + (x - 256) * scale, full / 2 + (y - 256) * scale

    draw.pieslice([*at(116, 116), *at(396, 396)], 0, 180, fill=INK)
    draw.rectangle([*at(110, 250), *at(402, 274)], fill=PAPER)
    draw.ellipse([*at(95, 95), *at(417, 417)], outline=INK, width=round(22 * scale))
    for left in (56, 408):
        draw.rectangle([*at(left, 268), *at(left + 48, 280)], fill=INK)
    return image.resize((size, size), Image.Resampling.LANCZOS).quantize(32)


if __name__ == "__main__":
    here = Path(__file__).parent
    icon(192).save(here / "icon-192.png", optimize=True)
    icon(512).save(here / "icon-512.png", optimize=True)
    icon(512, 0.8).save(here / "icon-maskable-512.png", optimize=True)
