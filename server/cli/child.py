"""The processes that `tuckline up` starts: python -m server.cli.child PARENT ROLE [...]."""

from __future__ import annotations

import sys

from server.worker import lifeline


def main(argv: list[str]) -> int:
    """Tie this process to its parent, then become what the role says."""
    parent, role, *rest = argv
    lifeline.die_with(int(parent))
    if role == "prepare":
        from server.cli import prepare

        return prepare.run(demo="--demo" in rest)
    if role == "web":
        from server.cli import web

        return web.serve(int(rest[0]))
    from server.worker.app import app

    app.start(["--quiet", role, "--loglevel", "WARNING"])
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
