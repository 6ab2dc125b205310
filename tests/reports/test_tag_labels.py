"""Labels to print on: those that come with the program, and the user's own."""

from pathlib import Path

import pytest

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.reports.label_stock import LabelStock, load_stock, read_stock, shipped_stock
from tests.fakes.refusals import refused, said

STOCK = {stock.name: stock for stock in shipped_stock()}
SHEETS = [name for name, stock in STOCK.items() if stock.sheet]
SHEET = """
title = "three by eight"
width_mm = 70
height_mm = 37

[sheet]
width_mm = 210
height_mm = 297
columns = 3
rows = 8
left_mm = 0
top_mm = 0.5
across_mm = 70
down_mm = 37
"""


def test_the_common_single_labels_are_there():
    """Sizes of rolls that are sold everywhere: common practice, no source."""
    singles = {(s.width_mm, s.height_mm) for s in STOCK.values() if s.sheet is None}
    assert singles >= {(62, 29), (57, 32), (100, 50), (50, 25)}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_a4_or_letter(name: str):
    """A4: ISO 216, 210 × 297 mm. Letter: ANSI/ASME Y14.1, 8.5 × 11 in of 25.4 mm."""
    page = {"a4": (210, 297), "letter": (8.5 * 25.4, 11 * 25.4)}[name.partition("-")[0]]
    assert STOCK[name].page_mm == pytest.approx(page, abs=0.01)


@pytest.mark.parametrize("name", STOCK)
def test_the_name_says_the_labels(name: str):
    stock = STOCK[name]
    said = tuple(int(n) for n in name.rpartition("-")[2].split("x"))
    if stock.sheet:
        assert said == (stock.sheet.columns, stock.sheet.rows)
        assert stock.places == said[0] * said[1]
    else:
        assert said == (stock.width_mm, stock.height_mm)


@pytest.mark.parametrize("name", SHEETS)
def test_labels_lie_on_the_page_in_the_middle_and_beside_each_other(name: str):
    """Die-cut sheets are symmetrical: common practice, no source."""
    stock = STOCK[name]
    width, height = stock.page_mm
    corners = [stock.corner_mm(place) for place in range(stock.places)]
    last_left, last_top = corners[-1]
    assert corners[0][0] == pytest.approx(width - last_left - stock.width_mm, abs=0.1)
    assert corners[0][1] == pytest.approx(height - last_top - stock.height_mm, abs=0.1)
    for i, (left, top) in enumerate(corners):
        for other_left, other_top in corners[i + 1 :]:
            across, down = abs(left - other_left), abs(top - other_top)
            assert across >= stock.width_mm - 0.01 or down >= stock.height_mm - 0.01


def test_places_are_counted_along_the_rows():
    stock = STOCK["a4-3x8"]
    assert [stock.corner_mm(p) for p in (0, 2, 3)] == [(0, 0.5), (140, 0.5), (0, 37.5)]


def own(folders: Folders, name: str, text: str) -> Path:
    folders.labels.mkdir(exist_ok=True)
    path = folders.labels / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_of_the_users_takes_the_place_of_the_programs(folders: Folders):
    own(folders, "62x29", 'title = "cut by hand"\nwidth_mm = 61\nheight_mm = 28\n')
    own(folders, "mine", SHEET)
    cut = LabelStock(title="cut by hand", width_mm=61, height_mm=28, name="62x29")
    assert load_stock("62x29", folders, sheet=False) == cut
    assert load_stock("mine", folders, sheet=True).places == 24


def test_an_unknown_name_lists_those_that_there_are(folders: Folders):
    with refused(InputError, match="62x29") as told:
        load_stock("62x99", folders, sheet=False)
    assert "a4" not in str(told.value)
    with refused(InputError, match="a4-3x8"):
        load_stock("../instruments/scpi-meter", folders, sheet=True)


def test_a_sheet_is_no_single_label(folders: Folders):
    with refused(InputError, match="--sheet a4-3x8"):
        load_stock("a4-3x8", folders, sheet=False)
    with refused(InputError, match="--size 62x29"):
        load_stock("62x29", folders, sheet=True)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("width_mm = 70", "", "width_mm"),
        ("width_mm = 70", "width_mm = 'wide'", "width_mm"),
        ("width_mm = 70", "width_mm = 20", "too small"),
        ("width_mm = 70", "width_mm = nan", "width_mm"),
        ("width_mm = 70", "width_mm = 71", "overlap"),
        ("height_mm = 37", "height_mm = 38", "overlap"),
        ("columns = 3", "columns = 4", "wider than the page"),
        ("rows = 8", "rows = 9", "higher than the page"),
        ("rows = 8", "rows = 0", "rows"),
        ("rows = 8", "lines = 8", "lines"),
        ("[sheet]", "[sheet", "no TOML"),
    ],
)
def test_a_file_that_cannot_be_is_refused_and_named(
    folders: Folders, old: str, new: str, told: str
):
    path = own(folders, "mine", SHEET.replace(old, new, 1))
    with refused(DataFileError, match=told) as error:
        read_stock(path)
    assert "mine.toml" in said(error.value)
