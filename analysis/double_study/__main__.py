"""Run the command line: ``python -m double_study``."""

import sys

from double_study.cli.main import main

sys.exit(main())
