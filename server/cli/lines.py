"""Read JSON documents and answer each with one: a whole document, or one per line."""

import json
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, BinaryIO

from server.errors import BadInput
from server.science.reading import shown

OK, SOME_BAD, BAD = 0, 1, 2
USAGE = "[FILE|-] [--lines]"

Answer = Callable[[object], dict[str, Any]]


def run(command: str, help_text: str, argv: list[str], answer: Answer) -> int:
    """Answer the documents that the arguments name. Returns the exit status.

    answer: makes one JSON answer of one document, or raises BadInput.
    """
    if "-h" in argv or "--help" in argv:
        print(f"usage: tuckline {command} {USAGE}\n\n{help_text}")
        return OK
    try:
        path, by_line = _arguments(argv)
        with _opened(path) as file:
            if by_line:
                return _answer_lines(file, answer)
            _write(answer(_parsed(file.read())))
    except BadInput as error:
        print(f"tuckline {command}: {_one_line(str(error))}", file=sys.stderr)
        return BAD
    return OK


def _arguments(argv: list[str]) -> tuple[str, bool]:
    paths = []
    by_line = False
    for argument in argv:
        if argument == "--lines":
            by_line = True
        elif argument.startswith("-") and argument != "-":
            raise BadInput("arguments", f"must be {USAGE}, not {argument}")
        else:
            paths.append(argument)
    if len(paths) > 1:
        raise BadInput("arguments", f"must name one file at most, not {len(paths)}")
    return (paths[0] if paths else "-"), by_line


@contextmanager
def _opened(path: str) -> Iterator[BinaryIO]:
    try:
        file = sys.stdin.buffer if path == "-" else open(path, "rb")  # noqa: SIM115 - closed below
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else error
        raise BadInput("file", f"{path} cannot be read: {why}") from error
    try:
        yield file
    finally:
        if path != "-":
            file.close()


def _parsed(data: bytes) -> object:
    try:
        return json.loads(data.decode("utf-8-sig"), object_pairs_hook=_once)
    except BadInput:
        raise
    except RecursionError:
        raise BadInput("document", "must be JSON that is not nested this deep") from None
    except UnicodeDecodeError as error:
        raise BadInput("document", f"must be UTF-8; byte {error.start} is not") from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise BadInput("document", f"must be JSON; {error.msg} at {where}") from None
    except ValueError:
        raise BadInput("document", "must be JSON without endlessly long numbers") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    # Of two values for one key JSON keeps one in silence; which weight was meant?
    values = dict(pairs)
    if len(values) < len(pairs):
        twice, _ = Counter(key for key, _ in pairs).most_common(1)[0]
        raise BadInput(shown(twice).strip('"'), "must be given once, not twice")
    return values


def _answer_lines(file: BinaryIO, answer: Answer) -> int:
    status = OK
    for line in file:
        try:
            _write(answer(_parsed(line.rstrip(b"\r\n"))))
        except BadInput as error:
            status = SOME_BAD
            _write({"error": {"field": error.field, "message": _one_line(error.message)}})
    return status


def _write(document: dict[str, Any]) -> None:
    text = json.dumps(document, ensure_ascii=False, allow_nan=False)
    sys.stdout.buffer.write(text.encode() + b"\n")
    sys.stdout.buffer.flush()


def _one_line(text: str) -> str:
    return " ".join(text.split())
