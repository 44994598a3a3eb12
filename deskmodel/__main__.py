"""``python -m deskmodel``."""

from __future__ import annotations

import sys

from deskmodel.cli import main

if __name__ == "__main__":
    sys.exit(main())
