"""`python -m skirtloft`."""

import sys

from skirtloft.cli import main

if __name__ == "__main__":
    sys.exit(main())
