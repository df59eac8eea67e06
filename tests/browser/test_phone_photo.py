"""A photo as the phone's camera gives it, chosen in a real file input: what is kept, and what is refused in words."""

from __future__ import annotations

import base64
import io
import struct
import zlib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageOps
from playwright.sync_api import Page

TAKE = """async () => {
  const { take } = await import(new URL('./js/phone/photo.js', document.baseURI).href)
  const file = document.querySelector('#test-photo').files[0]
  let photo
  try {
    photo = await take(file)
  } catch (error) {
    return { name: error.name, refused: error.says }
  }
  const reader = new FileReader()
  await new Promise((done) => { reader.onload = done; reader.readAsDataURL(photo.blob) })
  const { width, height, says, blob } = photo
  return { width, height, says, type: blob.type, bytes: reader.result.split(',')[1] }
}"""
SIZES = """
  const real = createImageBitmap
  globalThis.sizes = []
  globalThis.createImageBitmap = async (...wanted) => {
    const made = await real(...wanted)
    sizes.push([made.width, made.height])
    return made
  }
"""
CORNERS = {"red": (0, 0), "green": (1, 0), "blue": (0, 1), "white": (1, 1)}


def scene(width: int, height: int) -> Image.Image:
    """Four quarters, each of its own colour, so that every way to turn or mirror it shows."""
    image = Image.new("RGB", (width, height))
    pen = ImageDraw.Draw(image)
    for colour, (x, y) in CORNERS.items():
        pen.rectangle((x * width // 2, y * height // 2, (x + 1) * width // 2, (y + 1) * height // 2), fill=colour)
    return image


def quarters(image: Image.Image) -> list[str]:
    """Name the colour in the middle of each quarter: top left, top right, bottom left, bottom right."""
    names = {(1, 0, 0): "red", (0, 1, 0): "green", (0, 0, 1): "blue", (1, 1, 1): "white"}
    names[0, 0, 0] = "black"
    small = image.convert("RGB").resize((4, 4), Image.Resampling.BOX).resize((2, 2), Image.Resampling.BOX)
    return [names[tuple(int(one > 60) for one in small.getpixel(at))]  # type: ignore[index,misc,union-attr]
            for at in ((0, 0), (1, 0), (0, 1), (1, 1))]


def camera(orientation: int) -> Image.Exif:
    """What a phone writes into a photo: the maker, the way it was held, the time and the place (an invented one)."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0112], exif[0x0132] = "Invented Camera", orientation, "2026:01:02 03:04:05"
    place = exif.get_ifd(0x8825)
    place[1], place[2], place[3], place[4] = "N", (51.0, 30.0, 15.0), "W", (0.0, 7.0, 30.0)
    return exif


def offer(page: Page, path: Path) -> None:
    page.goto("")
    page.evaluate("""() => {
      const input = Object.assign(document.createElement('input'), { type: 'file', id: 'test-photo' })
      document.querySelector('main').prepend(input)
    }""")
    page.set_input_files("#test-photo", path)


def choose(page: Page, path: Path) -> dict[str, Any]:
    offer(page, path)
    found = page.evaluate(TAKE)
    assert isinstance(found, dict)
    return found


def kept(found: dict[str, Any]) -> Image.Image:
    assert "refused" not in found, found
    body = base64.b64decode(found["bytes"])
    assert body.startswith(b"\xff\xd8\xff") and found["type"] == "image/jpeg"
    image = Image.open(io.BytesIO(body))
    image.load()
    assert not any(word in body for word in (b"Exif", b"Invented", b"2026:01:02"))
    assert image.format == "JPEG" and image.size == (found["width"], found["height"])
    assert not image.getexif() and not image.info.keys() & {"exif", "xmp", "comment", "photoshop"}
    assert found["says"].startswith(f"Photo ready: {image.width} × {image.height} px, ")
    assert found["says"].endswith(f" {-(-len(body) // 1000)} kB, without place or time.")
    return image


def test_story_19_a_photo_of_24_million_pixels_is_kept_small_and_without_its_place(page: Page, tmp_path: Path) -> None:
    # The size of a current phone's photo; more than the 16 777 216 pixels that some phones give a canvas.
    path = tmp_path / "photo.jpg"
    scene(5712, 4284).save(path, exif=camera(6), quality=90)
    given = Image.open(path)
    assert given.getexif().get_ifd(0x8825), "the photo that goes in carries its place"
    image = kept(choose(page, path))
    assert image.size == (1200, 1600)
    assert quarters(image) == quarters(ImageOps.exif_transpose(given)) == ["blue", "red", "white", "green"]


@pytest.mark.parametrize("way", ["decoded at its size", "through an image, where the browser cannot"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_way_to_hold_a_phone_comes_out_upright(
    page: Page, tmp_path: Path, orientation: int, way: str,
) -> None:
    path = tmp_path / "photo.jpg"
    scene(2000, 1000).save(path, exif=camera(orientation), quality=90)
    direct = way == "decoded at its size"
    page.add_init_script(SIZES if direct else "delete globalThis.createImageBitmap")  # an older browser has none
    upright = ImageOps.exif_transpose(Image.open(path))
    image = kept(choose(page, path))
    assert image.size == ((1600, 800) if upright.width > upright.height else (800, 1600))
    assert quarters(image) == quarters(upright)
    # Some phones draw nothing from a whole photo, so it must never be there in full.
    assert not direct or page.evaluate("sizes") == [list(image.size)]


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "JPEG"])
def test_other_pictures_are_taken_and_small_ones_not_blown_up(page: Page, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "picture"  # a name says nothing: the bytes do
    scene(300, 200).save(path, kind)
    image = kept(choose(page, path))
    assert image.size == (300, 200) and quarters(image) == list(CORNERS)


def test_what_is_clear_in_a_png_becomes_white_paper(page: Page, tmp_path: Path) -> None:
    image = Image.new("RGBA", (400, 400), (0, 0, 0, 0))
    ImageDraw.Draw(image).rectangle((0, 0, 199, 199), fill="red")
    image.save(tmp_path / "sketch.png")
    assert quarters(kept(choose(page, tmp_path / "sketch.png"))) == ["red", "white", "white", "white"]


def test_a_second_way_is_tried_when_the_first_gives_a_blank(page: Page, tmp_path: Path) -> None:
    # Stands in for a phone that runs out of room and hands back black; this browser does not do that by itself.
    page.add_init_script("""const real = createImageBitmap
      globalThis.createImageBitmap = () => real(new ImageData(8, 8))""")
    scene(400, 300).save(tmp_path / "photo.jpg")
    assert quarters(kept(choose(page, tmp_path / "photo.jpg"))) == list(CORNERS)


def striped_bomb(side: int) -> bytes:
    """A small PNG file (W3C PNG specification) that would be `side` times `side` pixels when opened."""
    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    squeeze = zlib.compressobj(1)
    row = b"\0" + b"\xaa" * (side // 8)
    body = b"".join(squeeze.compress(row) for _ in range(side)) + squeeze.flush()
    head = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def blank_jpeg(colour: str) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (1200, 900), colour).save(out, "JPEG")
    return out.getvalue()


def cut_jpeg() -> bytes:
    out = io.BytesIO()
    scene(1200, 900).save(out, "JPEG")
    return out.getvalue()[: out.tell() // 2]


SVG = b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><script>alert(1)</script></svg>"
REFUSED = {
    "black.jpg": (lambda: blank_jpeg("black"), "black.jpg is one colour all over. Take it again with more light."),
    "white.jpg": (lambda: blank_jpeg("white"), "white.jpg is one colour all over. Take it again with more light."),
    "notes.jpg": (lambda: b"drain plug 26 N m\n" * 40, "notes.jpg is not a photo. Choose a JPEG, PNG or WebP picture."),
    "drawing.svg": (lambda: SVG, "drawing.svg is not a photo. Choose a JPEG, PNG or WebP picture."),
    "nothing.jpg": (lambda: b"", "nothing.jpg is empty or gone. Take it again."),
    "cut.jpg": (cut_jpeg, "cut.jpg is damaged or not whole. Take it again."),
    "torn.png": (lambda: b"\x89PNG\r\n\x1a\n" + b"torn" * 50, "torn.png is damaged or not whole. Take it again."),
    "phone.heic": (lambda: b"\0\0\0\x18ftypheic" + b"\0" * 90, "phone.heic is of a kind that this browser cannot open. "
                   "Set the camera to JPEG and take it again."),
    "heavy.jpg": (lambda: b"\xff\xd8\xff\xe0" + bytes(61_000_000),
                  "heavy.jpg has 61 MB; up to 60 MB is taken. Use a normal photo."),
    "bomb.png": (lambda: striped_bomb(20_000), "bomb.png has 20000 × 20000 px; up to 120 million px is taken. "
                 "Use a normal photo."),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_photo_is_refused_in_words(page: Page, tmp_path: Path, name: str) -> None:
    body, says = REFUSED[name]
    (tmp_path / name).write_bytes(body())
    assert choose(page, tmp_path / name) == {"name": "NoPhoto", "refused": f"No photo kept: {says}"}


def test_a_file_that_changed_or_went_after_it_was_chosen(page: Page, tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    scene(400, 300).save(path)
    offer(page, path)
    path.write_bytes(blank_jpeg("black"))
    assert page.evaluate(TAKE)["refused"] == (
        "No photo kept: the phone did not hand over photo.jpg. Take it again.")
    path.unlink()
    offer_again = page.evaluate(TAKE)
    assert offer_again["name"] == "NoPhoto" and offer_again["refused"].endswith("Take it again.")
