"""The report as PDF, read back with poppler; where that is not installed these tests are skipped."""

import os
import re
import shutil
import subprocess
import sys

import pytest

from benchmeter.errors import InputError
from benchmeter.files.output_file import OutputFile
from benchmeter.reports.report_file import write_report
from benchmeter.reports.session_page import page_of
from benchmeter.words.presentation import Presentation
from tests.fakes.refusals import refused
from tests.fakes.visits import ID, check, mark, record

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
pytestmark = [
    pytest.mark.gui,
    pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler"),
]


def said(*command):
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def write(path, made, *, letter=False, **options):
    from benchmeter.reports.pdf import page_pdf

    path.write_bytes(page_pdf(page_of(made, **options), letter=letter))
    return path


def pages(path):
    """Words of each page, one space between them."""
    text = said("pdftotext", "-layout", path, "-").replace("\u00a0", " ")
    return [" ".join(page.split()) for page in text.split("\f")[:-1]]


def test_numbers_pages_and_session_stand_in_the_pdf(qapp, tmp_path):
    made = record(check(), events=[mark("fan blade <b>cleared</b>")])
    found = pages(write(tmp_path / "a.pdf", made, presentation=Presentation(temperature_unit="°F")))
    text = " ".join(found)
    for each in (
        "42.3 to 47.7 µF", "44.10 ±0.63 µF", "4.400 ±0.084 µF", "93.9 °F", "Fail",
        "fan blade <b>cleared</b>", f"session {ID}", f"Page 1 of {len(found)}", "15 to 30 °F",
    ):  # fmt: skip
        assert each in text, each


@pytest.mark.parametrize(
    ("letter", "size"), [(False, "595 x 842 pts (A4)"), (True, "612 x 792 pts (letter)")]
)  # ISO 216; ANSI/ASME Y14.1
def test_both_papers(qapp, tmp_path, letter, size):
    path = write(tmp_path / "a.pdf", record(check()), letter=letter)
    assert size in said("pdfinfo", path)


def test_no_page_break_cuts_a_part(qapp, tmp_path):
    """Nine parts on three or more pages: each stands whole on one of them."""
    made = record(*(check(n, f"part-{n:02d}") for n in range(1, 10)))
    found = pages(write(tmp_path / "a.pdf", made))
    assert len(found) >= 3
    ends = [text.count("Volts on it, as last seen:") for text in found]
    begins = [len(re.findall(r"part-\d\d", text)) for text in found]
    assert sum(begins) == 9
    assert begins == ends
    for number, text in enumerate(found, 1):
        assert f"Page {number} of {len(found)}" in text
        assert text.removeprefix("Test report ").startswith("Roof unit 4")


def test_a_text_longer_than_a_page_goes_on_over_pages(qapp, tmp_path):
    words = [f"w{i:04d}" for i in range(3000)]
    made = record(check(), remark=" ".join(words), events=[mark("x" * 400)])
    found = pages(write(tmp_path / "a.pdf", made))
    text = " ".join(found)
    assert all(word in text for word in words)
    assert text.count("x") >= 400  # a word without a space is broken, not cut off
    assert "Please note" in text


def test_our_fonts_are_embedded_without_a_window(tmp_path):
    """A process of its own, in which nobody has loaded a font before."""
    code = (
        "import sys; from pathlib import Path; from PySide6.QtGui import QGuiApplication;"
        "from benchmeter.reports.pdf import page_pdf; app = QGuiApplication([]);"
        "from benchmeter.reports.page_blocks import Sentences; from benchmeter.reports.session_page import SessionPage;"
        "from benchmeter.words.presentation import PLAIN;"
        "block = Sentences('44.10 µF ± 0.6', ('34 °C ≥ Ω',));"
        "Path(sys.argv[1]).write_bytes(page_pdf(SessionPage('t', '', PLAIN, (block,)), letter=False))"
    )
    path = tmp_path / "a.pdf"
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    subprocess.run([sys.executable, "-c", code, str(path)], env=env, check=True)
    fonts = said("pdffonts", path).splitlines()[2:]
    assert len(fonts) == 2
    assert all(re.match(r"(\w+\+)?B612-\w+ .* yes ", font) for font in fonts), fonts


def test_another_ending_is_refused(tmp_path):
    with refused(InputError, match=r"\.pdf"):
        write_report(None, ID, OutputFile(tmp_path / "a.doc"))  # type: ignore[arg-type]
