"""Records in a given folder and says what has been acknowledged, while its disk fails."""

import sys
import time
from pathlib import Path

from benchmeter.errors import StoreError
from tests.faults.killed_child import begin, take

INPUTS = 120
_FLUSH_EVERY = 10
_PATIENCE = 2


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> None:
    folder = Path(sys.argv[1])
    for _ in range(_PATIENCE):
        try:
            _, recorder = begin(folder)
            break
        except StoreError as error:
            say(f"refused {error}")
    else:
        return
    number = 0
    while number < INPUTS:
        for _ in range(_FLUSH_EVERY):
            take(recorder, number)
            number += 1
        try:
            recorder.flush()
            say(f"kept {number}")
        except StoreError as error:
            say(f"refused {error}")
    for _ in range(_PATIENCE):
        try:
            recorder.close()
            say(f"kept {number}")
            return
        except StoreError as error:
            say(f"refused {error}")
            time.sleep(0.1)


main()
