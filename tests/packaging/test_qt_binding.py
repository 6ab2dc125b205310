"""The Qt binding that is installed does not eat the interpreter's None."""

import sys

import pytest

pytestmark = pytest.mark.gui


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="None is immortal there (PEP 683)")
def test_void_qt_calls_do_not_lose_references_to_none() -> None:
    """PySide6 6.12.0 on Python 3.11 loses one a call and aborts the process after some thousands.

    Measured with 6.12.0; 6.8.3 to 6.11.3 lose none. Hence the upper limit in pyproject.toml.
    """
    from PySide6.QtCore import QTimer
    from PySide6.QtGui import QColor

    timer, colour = QTimer(), QColor()
    before = sys.getrefcount(None)
    for number in range(100):
        timer.setInterval(number)
        colour.setRgb(number, number, number)
    assert abs(sys.getrefcount(None) - before) <= 50
