"""The window's tests run without a screen unless told otherwise."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
