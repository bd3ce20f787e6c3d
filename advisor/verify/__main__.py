"""``python -m verify FILE RULES``, from a copy of this folder alone."""

import json
import sys
from pathlib import Path

from . import verify


def main(arguments: list[str]) -> int:
    """``verify.py FILE RULES``: 0 where every step holds, 4 where one does not."""
    wrong = verify(json.loads(Path(arguments[0]).read_text("utf-8")), Path(arguments[1]))
    print(f"Does not hold: {wrong}" if wrong else "Every step holds.")
    return 4 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
