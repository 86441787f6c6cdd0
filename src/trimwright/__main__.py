"""`python -m trimwright`."""

import sys

from trimwright.cli import main

sys.exit(main())
