"""The square code, module for module as another library makes it, and read back by a third from a picture."""

from __future__ import annotations

import random
from typing import Any

import pytest
import segno
import segno.encoder
import zxingcpp
from PIL import Image
from playwright.sync_api import Page

# Bytes that versions 1 to 10 hold at level M (ISO/IEC 18004:2015, table 7).
HOLDS = [14, 26, 42, 62, 84, 106, 122, 152, 180, 213]
LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789-/.?=%&"
Grid = list[list[int]]


def codes(page: Page, texts: list[str]) -> list[Grid]:
    """Return rows of 0 and 1 for each text."""
    if "/" not in page.url or page.url == "about:blank":
        page.goto("404.html")
    made: list[Grid] = page.evaluate(
        "async (all) => { const {qr} = await import(new URL('js/lib/qr.js', document.baseURI).href);"
        " return all.map((text) => qr(text).map((row) => row.map(Number))) }", texts)
    return made


def theirs(text: str) -> Grid:
    made = segno.make(text, error="m", boost_error=False, mode="byte", micro=False, encoding="utf-8")
    return [list(row) for row in made.matrix]


@pytest.fixture
def whole_codewords(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pad as the standard does (7.4.10): a stream that ends with a codeword gets no more zeros.

    The library adds a codeword of zeros there, which no reader minds, so it differs wherever a code is not full.
    """
    def pad(bits: Any, _version: int, length: int) -> None:
        bits.extend([0] * (-length % 8))

    monkeypatch.setattr(segno.encoder, "write_padding_bits", pad)


def address(chance: random.Random, length: int) -> str:
    start = "https://fillmark.example/cards/p01/?for="[:length]
    return start + "".join(chance.choice(LETTERS) for _ in range(length - len(start)))


@pytest.mark.usefixtures("whole_codewords")
def test_it_is_module_for_module_the_other_librarys_with_its_mask(page: Page) -> None:
    chance = random.Random(18004)
    texts = [address(chance, length) for length in range(1, 214, 2)]
    texts += [address(chance, chance.randrange(40, 214)) for _ in range(20)]
    texts += ["".join(chance.choice("é°·µ₂☐🔧 aZ9") for _ in range(chance.randrange(1, 50))) for _ in range(30)]
    made = codes(page, texts)
    assert {len(grid) for grid in made} == {17 + 4 * version for version in range(1, 11)}
    for text, grid in zip(texts, made, strict=True):
        assert grid == theirs(text), text


def test_full_codes_need_no_padding_and_are_the_other_librarys_as_it_is(page: Page) -> None:
    chance = random.Random(7)
    texts = [address(chance, length) for length in HOLDS for _ in range(3)]
    made = codes(page, texts)
    for index, (text, grid) in enumerate(zip(texts, made, strict=True)):
        assert len(grid) == 21 + 4 * (index // 3)
        assert grid == theirs(text), text


def picture(grid: Grid) -> Image.Image:
    image = Image.new("L", (len(grid) + 8, len(grid) + 8), 255)
    for y, row in enumerate(grid):
        for x, dark in enumerate(row):
            image.putpixel((x + 4, y + 4), 0 if dark else 255)
    return image.resize((image.width * 5, image.height * 5), Image.Resampling.NEAREST)


def test_a_reader_reads_it_as_level_m(page: Page) -> None:
    chance = random.Random(42)
    texts = [address(chance, length) for length in range(1, 214, 4)] + ["Größe 2,35 L · 26 N·m · ½ ☐", "0"]
    for text, grid in zip(texts, codes(page, texts), strict=True):
        [read] = zxingcpp.read_barcodes(picture(grid))
        assert (read.text, read.ec_level, read.format) == (text, "M", zxingcpp.BarcodeFormat.QRCode)


def test_it_is_read_with_a_corner_of_the_data_lost(page: Page) -> None:
    """Level M mends some 15 % of the codewords: a spot of 7 modules square is at most 8 % of a code of 37."""
    text = address(random.Random(1), 80)
    [grid] = codes(page, [text])
    assert len(grid) == 37
    for y in range(14, 21):
        for x in range(14, 21):
            grid[y][x] = 1
    assert [one.text for one in zxingcpp.read_barcodes(picture(grid))] == [text]


@pytest.mark.parametrize(("text", "size"), [("a" * 214, 214), ("é" * 107, 214), ("a" * 5000, 5000)])
def test_a_text_too_long_is_refused_with_its_length(page: Page, text: str, size: int) -> None:
    said = page.evaluate(
        "async (text) => { const {qr} = await import(new URL('js/lib/qr.js', document.baseURI).href);"
        " try { qr(text) } catch (error) { return `${error.name}: ${error.message}` } }", text)
    assert said == f"RangeError: text for a code: at most 213 bytes expected, got {size}. Shorten it."
