"""`python -m server COMMAND`: Django's commands with this project's settings."""

import sys

from server.cli.manage import run

sys.exit(run(sys.argv[1:]))
