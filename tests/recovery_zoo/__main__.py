"""`python -m tests.recovery_zoo [SEEDS]`: the reliability of what is said of recoveries."""

import sys

from tests.recovery_zoo.scoring import score, table

if __name__ == "__main__":
    count = int(sys.argv[1]) if sys.argv[1:] else 10
    sys.stdout.writelines(f"{row}\n" for row in table(score(range(count))))
