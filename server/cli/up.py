"""`tuckline up`: one command from a fresh clone to a running server.

This module must stay readable for every Python 3, or an old one could not be told that it is old.
"""

import argparse
import os
import sys
from pathlib import Path

OLDEST_PYTHON = (3, 11)
PORT = 8000
HOST = "127.0.0.1"


def run(argv):  # type: (list[str]) -> int
    """Start web, worker and beat on one data folder, and stop them on Ctrl-C.

    Returns 0 after a stop that was asked for, 1 where the server did not come up, 2 where it
    cannot start as asked (old Python, folder not writable, port taken, already running).
    """
    complaint = _cannot_run_here()
    if complaint:
        return _refuse(complaint)
    wish = _parser().parse_args(argv)

    from server.cli import starting  # needs the Python that was just checked

    try:
        return starting.start(wish.data, host=wish.host, port=wish.port, demo=wish.demo)
    except starting.CannotStart as reason:
        return _refuse(str(reason))
    except KeyboardInterrupt:
        print("tuckline up: stopped before it was up", file=sys.stderr)
        return 1


def _cannot_run_here():  # type: () -> str
    if sys.version_info < OLDEST_PYTHON:
        return "Tuckline needs Python {}.{} or newer; this is Python {}.{}.".format(
            *(OLDEST_PYTHON + tuple(sys.version_info[:2]))
        )
    if os.name != "posix":
        return "`tuckline up` runs on Linux and macOS; on Windows start it inside WSL."
    return ""


def _refuse(text):  # type: (str) -> int
    print("tuckline up: " + text, file=sys.stderr)
    return 2


def _port(text):  # type: (str) -> int
    port = int(text) if text.isdigit() else 0
    if not 1 <= port <= 65535:
        raise argparse.ArgumentTypeError("must be a whole number from 1 to 65535")
    return port


def _parser():  # type: () -> argparse.ArgumentParser
    parser = argparse.ArgumentParser(
        prog="tuckline up", description="Start Tuckline here; Ctrl-C stops it."
    )
    parser.add_argument(
        "--demo", action="store_true", help="load invented people and dogs to try it out"
    )
    parser.add_argument(
        "--data", type=Path, metavar="DIR", help="folder for everything kept (made if missing)"
    )
    parser.add_argument(
        "--host", default=HOST, metavar="ADDRESS", help="address to listen on (%(default)s)"
    )
    parser.add_argument(
        "--port", type=_port, default=PORT, metavar="N", help="port to listen on (%(default)s)"
    )
    return parser
