"""A photo's kind, size, blankness, and what is taken out of its file; an imaging library is the reference."""

from __future__ import annotations

import base64
import io
from typing import Any

import pytest
from PIL import Image, ImageCms
from playwright.sync_api import Page

SCENE = Image.merge("RGB", (Image.linear_gradient("L"), Image.radial_gradient("L"), Image.effect_noise((256, 256), 60)))


def ask(page: Page, call: str, argument: object = None) -> Any:
    page.goto("")
    return page.evaluate(f"a => import('./js/lib/photo.js').then(m => {call})", argument)


def saved(kind: str, image: Image.Image = SCENE, **wishes: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **wishes)
    return out.getvalue()


@pytest.mark.parametrize(("width", "height", "fitted"), [
    (5712, 4284, (1600, 1200)), (4284, 5712, (1200, 1600)), (1600, 1600, (1600, 1600)), (1601, 10, (1600, 10)),
    (640, 480, (640, 480)), (1, 1, (1, 1)), (30000, 4, (1600, 1)), (3, 30000, (1, 1600)),
])
def test_a_photo_is_fitted_and_never_made_larger(
    page: Page, width: int, height: int, fitted: tuple[int, int],
) -> None:
    assert ask(page, "m.fit(...a)", [width, height]) == {"width": fitted[0], "height": fitted[1]}


def test_a_kind_is_told_by_its_bytes(page: Page) -> None:
    box = b"\x00\x00\x00\x18ftyp"  # ISO/IEC 14496-12: a length, then `ftyp` and the brand
    files = [
        (saved("JPEG"), "jpeg"), (saved("PNG"), "png"), (saved("WEBP"), "webp"), (box + b"heic\0\0\0\0", "heic"),
        (box + b"mif1\0\0\0\0", "heic"), (box + b"avif\0\0\0\0", "avif"), (box + b"isom\0\0\0\0", ""),
        (saved("GIF"), ""), (saved("BMP"), ""), (saved("TIFF"), ""), (b"<svg xmlns='http://www.w3.org/2000/svg'/>", ""),
        (b"RIFF\x24\x00\x00\x00WAVEfmt ", ""), (b"\xff\xd8", ""), (b"JPEG", ""), (b"", ""),
    ]
    got = ask(page, "a.map(one => m.kind(Uint8Array.from(one)))", [list(body[:40]) for body, _ in files])
    assert got == [kind for _, kind in files]


def test_blank_is_one_colour_all_over(page: Page) -> None:
    def pixels(image: Image.Image) -> list[int]:
        return list(image.convert("RGBA").tobytes())

    spot = Image.new("RGB", (40, 40), "white")
    spot.putpixel((39, 39), (200, 255, 255))
    through_jpeg = Image.open(io.BytesIO(saved("JPEG", Image.new("RGB", (40, 40), "#7a6a5a"), quality=60)))
    cases = [
        (Image.new("RGB", (40, 40), "black"), True), (Image.new("RGB", (40, 40), "white"), True),
        (Image.new("RGBA", (40, 40), (0, 0, 0, 0)), True), (through_jpeg, True), (spot, False),
        (SCENE.resize((40, 40)), False),
    ]
    got = ask(page, "a.map(one => m.blank(Uint8ClampedArray.from(one)))", [pixels(image) for image, _ in cases])
    assert got == [expected for _, expected in cases]


def test_remarks_are_taken_out_and_the_picture_stays(page: Page) -> None:
    exif = Image.Exif()
    exif[0x010F] = "Invented Camera"
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)  # the GPS part of Exif: latitude
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    body = saved("JPEG", exif=exif, icc_profile=profile, comment=b"taken at home", xmp=b"<x:xmpmeta/>")
    iptc = b"\xff\xed\x00\x10Photoshop 3.0\x00"  # a length of two bytes counts itself, as in ISO/IEC 10918-1
    body = body[:2] + iptc + body[2:]
    before = Image.open(io.BytesIO(body))
    assert before.getexif() and before.info.keys() >= {"exif", "icc_profile", "comment", "xmp", "photoshop"}

    got = ask(page, "Array.from(m.bare(Uint8Array.from(atob(a), one => one.charCodeAt(0))))",
              base64.b64encode(body).decode())
    after = Image.open(io.BytesIO(bytes(got)))
    assert not after.getexif()
    assert not after.info.keys() & {"exif", "comment", "xmp", "photoshop"}
    assert after.info["icc_profile"] == profile
    assert after.tobytes() == before.tobytes()
    assert not any(word in bytes(got) for word in (b"Exif", b"Invented", b"taken at", b"xmpmeta", b"Photoshop"))


def test_what_is_not_a_whole_head_is_no_jpeg(page: Page) -> None:
    body = saved("JPEG")
    bad = [b"", b"\xff\xd8", b"\xff\xd8\xff", body[:30], body[:200], b"\x89PNG" + body, saved("PNG")]
    assert ask(page, "a.map(one => m.bare(Uint8Array.from(one)))", [list(one) for one in bad]) == [None] * len(bad)
