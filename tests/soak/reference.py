"""Sleeps five milliseconds again and again, and writes down when it was woken late.

python reference.py FILE: one line each time, `begin end` in seconds of the monotonic clock, which is
one for all processes of a computer. Nothing of what is watched can delay it, so what it lacks, the
computer did not give. Ends with its parent.
"""

import os
import sys
import time
from pathlib import Path

_SLEEP_S = 0.005
_LATE_S = 0.002


def main(path: Path) -> None:
    parent = os.getppid()
    with path.open("w", buffering=1) as lines:
        while os.getppid() == parent:
            due = time.monotonic() + _SLEEP_S
            time.sleep(_SLEEP_S)
            if (woken := time.monotonic()) - due > _LATE_S:
                lines.write(f"{due:.6f} {woken:.6f}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
