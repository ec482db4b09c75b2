"""Code and styles as phones get them: without comments and indentation. Text in, text out.

Modules stay modules: nothing is bundled, and no tokeniser of our own decides what means something.
Only whole lines go that are nothing but a comment, comments that tell a type, and the blanks in
front of a line. That is safe while no line of a template begins like a comment: a test sees to it.
"""

from __future__ import annotations

import re

_BLOCK = re.compile(r"^[ \t]*/\*(?:[^*]|\*(?!/))*\*/[ \t]*\n", re.MULTILINE)
_LINE = re.compile(r"^[ \t]*//.*\n", re.MULTILINE)
_TYPE = re.compile(r"/\*\* @(?:type|param|import)(?:[^*]|\*(?!/))*\*/ ?")
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
_EMPTY = re.compile(r"^\n", re.MULTILINE)


def lean_js(text: str) -> str:
    """A module without comment lines, type comments and indentation; line ends stay."""
    return _EMPTY.sub("", _INDENT.sub("", _TYPE.sub("", _LINE.sub("", _BLOCK.sub("", text)))))


def lean_css(text: str) -> str:
    """A style sheet without comment lines and indentation."""
    return _EMPTY.sub("", _INDENT.sub("", _BLOCK.sub("", text)))
