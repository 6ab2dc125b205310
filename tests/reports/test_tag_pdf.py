"""Tags as they come out of a printer of 200 dots an inch: drawn by poppler, read by ZXing.

Neither is ours; where poppler's programs are not installed, these tests are skipped.
"""

import itertools
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from pathlib import Path

import msgspec
import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray

from benchmeter.checking.part_check import PartCheck
from benchmeter.reports.label_stock import LEAST_MM, LabelStock, Sheet, shipped_stock
from benchmeter.reports.tag import Tag, tags_of
from tests.fakes.bench_states import FAN_BAD, FAN_CLOSE, HERM_GOOD, judged_check
from tests.fakes.tagged import eight_checks, record_of

pytestmark = [
    pytest.mark.gui,
    pytest.mark.skipif(
        not (shutil.which("pdftotext") and shutil.which("pdftoppm")), reason="needs poppler"
    ),
]

STOCK = {stock.name: stock for stock in shipped_stock()}
LEAST = LabelStock(title="least", width_mm=LEAST_MM[0], height_mm=LEAST_MM[1], name="least")
EACH = pytest.mark.parametrize(
    "stock", [*STOCK.values(), LEAST], ids=lambda stock: stock.name, scope="module"
)
DPI = 200
DOTS = DPI / 25.4  # a millimetre
LONG = "Fan capacitor of the second condenser, taken from the box of spare parts in the van"

PlacedWord = tuple[str, float, float, float, float]


@dataclass
class Printed:
    """A PDF of tags, and what others see in it. Lengths in millimetres."""

    path: Path
    tags: tuple[Tag, ...]
    stock: LabelStock

    @cached_property
    def words(self) -> list[list[PlacedWord]]:
        """Words of each page with left, top, right and bottom."""
        done = subprocess.run(
            ["pdftotext", "-bbox", self.path, "-"], capture_output=True, text=True, check=True
        )
        box = r'<word xMin="(.*)" yMin="(.*)" xMax="(.*)" yMax="(.*)">(.*)</word>'
        return [
            [(m[4], *(float(n) * 25.4 / 72 for n in m[:4])) for m in re.findall(box, page)]
            for page in done.stdout.split("<page ")[1:]
        ]

    @cached_property
    def pictures(self) -> list[NDArray[np.uint8]]:
        """Each page, rows of red, green, blue, without smoothing: as a thermal printer burns it."""
        stem = self.path.with_suffix("")
        options = ["-r", str(DPI), "-aa", "no", "-aaVector", "no"]
        subprocess.run(["pdftoppm", *options, self.path, stem], check=True)
        return [_picture(p) for p in sorted(stem.parent.glob(f"{stem.name}-*.ppm"))]

    @cached_property
    def codes(self) -> list[list[tuple[str, float, float, float]]]:
        """Text, left, top and side of the QR codes that ZXing finds on each page."""
        return [list(codes_on(picture)) for picture in self.pictures]

    def on_label(self, number: int) -> tuple[list[PlacedWord], PlacedWord]:
        """The words and the code on the label of a tag, measured from the label's corner."""
        page, place = divmod(number, self.stock.places)
        x, y = self.stock.corner_mm(place)

        def here(word: PlacedWord) -> bool:
            middle_x, middle_y = (word[1] + word[3]) / 2 - x, (word[2] + word[4]) / 2 - y
            return 0 < middle_x < self.stock.width_mm and 0 < middle_y < self.stock.height_mm

        def moved(word: PlacedWord) -> PlacedWord:
            return (word[0], word[1] - x, word[2] - y, word[3] - x, word[4] - y)

        codes = [(text, a, b, a + side, b + side) for text, a, b, side in self.codes[page]]
        (code,) = (moved(c) for c in codes if here(c))
        return [moved(w) for w in self.words[page] if here(w)], code


def _picture(path: Path) -> NDArray[np.uint8]:
    """A picture as pdftoppm writes it: "P6", width, height, 255, then the bytes (netpbm)."""
    head, size, _, pixels = path.read_bytes().split(b"\n", 3)
    assert head == b"P6"
    width, height = map(int, size.split())
    return np.frombuffer(pixels, np.uint8).reshape(height, width, 3)


@pytest.fixture(scope="module")
def our_fonts(qapp) -> None:
    from benchmeter.window.theme import palette

    palette.apply(qapp, palette.palette("day"))


@pytest.fixture(scope="module")
def printed(our_fonts, tmp_path_factory):
    """Prints the tags of some checks."""
    from benchmeter.reports.tag_pdf import tags_pdf

    def on(stock: LabelStock, checks: Sequence[PartCheck], start: int = 1) -> Printed:
        tags = tags_of(record_of(checks))
        path = tmp_path_factory.mktemp(stock.name) / "tags.pdf"
        path.write_bytes(tags_pdf(tags, stock, start=start))
        return Printed(path, tags, stock)

    return on


@pytest.fixture(scope="module")
def eight(printed, stock: LabelStock) -> Printed:
    """One tag for each verdict, with too long a name, on some labels."""
    return printed(stock, [replace(c, part=f"{c.part} {LONG}") for c in eight_checks()])


def codes_on(picture: NDArray[np.uint8]) -> Iterator[tuple[str, float, float, float]]:
    for found in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
        corners = found.position
        left, top = corners.top_left.x, corners.top_left.y
        yield found.text, left / DOTS, top / DOTS, (corners.top_right.x - left + 1) / DOTS


@EACH
def test_a_page_has_the_size_of_the_paper_to_the_point(eight: Printed, stock: LabelStock):
    """A point is 1/72 in (ISO 32000-1 cl. 8.3.2.3); Qt writes whole ones."""
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", eight.path.read_bytes())
    points = tuple(round(mm * 72 / 25.4) for mm in stock.page_mm)
    assert {tuple(map(float, box)) for box in boxes} == {points}


@EACH
def test_a_reader_that_is_not_ours_reads_each_code(eight: Printed, stock: LabelStock):
    read = [text for page in eight.codes for text, *_ in page]
    assert sorted(read) == [tag.code for tag in eight.tags]


@EACH
def test_a_module_is_three_dots_with_four_modules_of_white_round_the_code(
    eight: Printed, stock: LabelStock
):
    """Quiet zone of 4 modules: ISO/IEC 18004 cl. 5.3.8 (from memory). Three dots of a printer with
    203 dots an inch are 0.375 mm: common practice, no source. 53 bytes at level M: version 4,
    33 modules (ISO/IEC 18004 table 7, from memory).
    """
    (_, left, top, side), *_ = eight.codes[0]
    module = side / 33
    assert module >= 0.375 - 0.005
    dark = (eight.pictures[0][:, :, 0] < 128).copy()
    x, y = round(left * DOTS), round(top * DOTS)
    size, quiet = round(side * DOTS), int(4 * module * DOTS) - 1
    assert min(x, y, dark.shape[1] - x - size) >= quiet
    dark[y - 1 : y + size + 1, x - 1 : x + size + 1] = False
    assert not dark[y - quiet : y + size + quiet, x - quiet : x + size + quiet].any()


@EACH
def test_a_tag_is_black_on_white_and_nothing_between(eight: Printed, stock: LabelStock):
    for picture in eight.pictures:
        assert np.isin(picture, (0, 255)).all()
        assert (picture.min(axis=2) == picture.max(axis=2)).all()


def close(text: str) -> str:
    """Without blanks, as columns of words are read without them."""
    return re.sub(r"\s", "", text)


@EACH
def test_all_but_the_name_is_whole_on_each_label(eight: Printed, stock: LabelStock):
    for number, tag in enumerate(eight.tags):
        text = close("".join(word for word, *_ in eight.on_label(number)[0]))
        rows = [text for row in tag.rows for text in (row.name, row.reading, row.limits)]
        for whole in (tag.word, tag.when, tag.record, tag.label, tag.meter, *rows):
            assert close(whole) in text
        assert "…" in text
        assert close(tag.part) not in text


# As profiles of people's own may be called; the longest is longer than any label is wide.
TITLES = ["DMM", "Multimeter that is asked in SCPI, any function", f"Bench meter. {LONG}. {LONG}"]
BY_METER = ["", "0815-4711", "SN " + "0" * 60]


@EACH
def test_the_meter_line_is_whole_and_true_however_long_the_title(our_fonts, stock, tmp_path):
    from benchmeter.reports.tag_pdf import tags_pdf

    tags: list[Tag] = []
    for title, serial, origin in itertools.product(TITLES, BY_METER, ("serial", "simulated")):
        made = record_of([judged_check(FAN_BAD)], origin=origin)
        (link, *others) = made.setup.links
        profile = msgspec.structs.replace(link.profile, title=title, serial=serial)
        links = (msgspec.structs.replace(link, profile=profile), *others)
        tags += tags_of(replace(made, setup=msgspec.structs.replace(made.setup, links=links)))
    path = tmp_path / "tags.pdf"
    path.write_bytes(tags_pdf(tags, stock))
    printed = Printed(path, tuple(tags), stock)
    assert_apart(printed)
    for number, tag in enumerate(tags):
        text = close("".join(word for word, *_ in printed.on_label(number)[0]))
        assert any(close(form) in text for form in (tag.meter, *tag.meter_short)), text
        assert "…" not in text


def assert_apart(printed: Printed) -> None:
    for number in range(len(printed.tags)):
        words, code = printed.on_label(number)
        for _, left, top, right, bottom in (*words, code):
            assert left >= 1 and right <= printed.stock.width_mm - 1
            assert top >= 0.5 and bottom <= printed.stock.height_mm - 0.5
        for one, other in itertools.combinations((*words, code), 2):
            across = min(one[3], other[3]) - max(one[1], other[1])
            down = min(one[4], other[4]) - max(one[2], other[2])
            # Boxes are as high as the font may reach: of lines they touch, the letters do not.
            least = min(one[4] - one[2], other[4] - other[2])
            assert across <= 0.01 or down <= 0.35 * least, (one, other)


@EACH
def test_no_words_overlap_and_none_leaves_its_label(eight: Printed, stock: LabelStock):
    assert sum(map(len, eight.words)) == sum(len(eight.on_label(n)[0]) for n in range(8))
    assert_apart(eight)


SMALL = pytest.mark.parametrize(
    "stock", [STOCK["50x25"], STOCK["62x29"], LEAST], ids=lambda s: s.name, scope="module"
)


@SMALL
def test_whatever_is_too_long_is_shortened(printed, stock: LabelStock):
    check = judged_check(FAN_BAD, part="W" * 300)
    assert check.verdict is not None
    rating = replace(check.rating, text=f"40/6 µF ±5 % 440 V {LONG}")
    check = replace(check, verdict=replace(check.verdict, rating=rating))
    made = printed(stock, [check])
    words, _ = made.on_label(0)
    assert sum(word.endswith("…") for word, *_ in words) == 2
    assert_apart(made)


@SMALL
def test_a_reading_of_many_digits_is_never_cut(printed, stock: LabelStock):
    """A cut number is another number. The reading is shown to the digit that decides."""
    section = replace(FAN_CLOSE.section, low_si=Decimal("5.700000001e-6"))
    near = replace(FAN_CLOSE, section=section, reading_si=Decimal("5.700000002e-6"))
    check = judged_check(FAN_BAD)
    assert check.verdict is not None
    verdict = replace(check.verdict, sections=(HERM_GOOD, near))
    made = printed(stock, [replace(check, verdict=verdict)])
    words = [word for word, *_ in made.on_label(0)[0]]
    assert {"5.700000002", "39.20", "±0.57"} <= set(words)
    assert not any("…" in word and re.search(r"\d", word) for word in words)
    assert_apart(made)


def test_a_single_section_stands_without_a_name(printed):
    single = replace(FAN_BAD, section=replace(FAN_BAD.section, name="single"))
    check = judged_check(FAN_BAD)
    assert check.verdict is not None
    verdict = replace(check.verdict, sections=(single,))
    made = printed(STOCK["100x50"], [replace(check, verdict=verdict)])
    text = close("".join(word for word, *_ in made.on_label(0)[0]))
    assert "single" not in text
    assert "4.860±0.090µFlimits5.7to6.3µF" in text
    assert "Bad.4.860±0.090µFisbelowthelimitof5.7µF." in text
    assert_apart(made)


def test_each_verdict_has_a_shape_of_its_own(printed):
    """Pairwise: a good part of the dots differs."""
    pictures = printed(STOCK["62x29"], eight_checks()).pictures
    corner = slice(round(1.5 * DOTS), round(7 * DOTS))
    shapes = [picture[corner, corner, 0] < 128 for picture in pictures]
    assert all(shape.mean() > 0.05 for shape in shapes)
    for one, other in itertools.combinations(shapes, 2):
        assert (one != other).mean() > 0.05


def test_the_shapes_are_those_of_the_window():
    from PySide6.QtCore import QRectF, Qt
    from PySide6.QtGui import QColor, QImage, QPainter

    from benchmeter.conformity import verdict
    from benchmeter.reports.tag_pdf import shape_in_black
    from benchmeter.window.theme.icons import paint_icon, verdict_icon

    def drawn(draw) -> QImage:
        image = QImage(96, 96, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        draw(painter, QRectF(0, 0, 96, 96))
        painter.end()
        return image

    for word in verdict.Verdict:
        tag = drawn(shape_in_black(word).render)
        window = drawn(lambda p, r, w=word: paint_icon(p, verdict_icon(w), r, QColor("black")))
        assert tag == window


def test_a_begun_sheet_is_gone_on_with_and_the_next_begins_at_its_first_place(printed):
    """Labels of 70 mm × 37 mm, 0.5 mm from the top."""
    made = printed(STOCK["a4-3x8"], eight_checks(), start=20)
    places = {
        text: sheet * 24 + int((top - 0.5) // 37) * 3 + int(left // 70) + 1
        for sheet, codes in enumerate(made.codes)
        for text, left, top, _ in codes
    }
    assert places == {tag.code: 20 + i for i, tag in enumerate(made.tags)}


def test_a_full_sheet_is_one_page_and_one_tag_more_makes_two(printed):
    sheet = Sheet(
        width_mm=210,
        height_mm=100,
        columns=2,
        rows=2,
        left_mm=5,
        top_mm=5,
        across_mm=100,
        down_mm=45,
    )
    stock = LabelStock(title="small", width_mm=98, height_mm=42, sheet=sheet, name="small")
    checks = eight_checks()
    assert [len(printed(stock, checks[:n]).words) for n in (1, 4, 5, 8)] == [1, 1, 2, 2]
