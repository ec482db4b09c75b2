"""What phones get is what the repository holds, less comment lines, type comments, indentation."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.core.files.storage import FileSystemStorage

from server.api.lean import lean_css, lean_js
from server.api.static import HashedModules, lean_files
from tests.needs import need

FRONTEND = Path(__file__).resolve().parents[2] / "frontend"
MODULES = sorted(
    path
    for path in FRONTEND.rglob("*.js")
    if not {"node_modules", "vendor"} & set(path.relative_to(FRONTEND).parts)
)
STYLES = sorted((FRONTEND / "styles").glob("*.css"))


def named(path: Path) -> str:
    return path.relative_to(FRONTEND).as_posix()


def test_comment_lines_blocks_and_indentation_go():
    text = (
        "// What this is.\n"
        '/** @import {Op} from "./types.js" */\n'
        "\n"
        "/** The sum.\n * @param {number} a\n */\n"
        "export function sum(a) {\n"
        "  // why\n"
        "  return a + 1;\n"
        "}\n"
    )
    assert lean_js(text) == "export function sum(a) {\nreturn a + 1;\n}\n"


def test_a_type_inside_a_line_goes_and_leaves_the_line():
    assert lean_js("const f = (/** @type {any} */ e) => e;\n") == "const f = (e) => e;\n"
    assert lean_js("return /** @type {any} */ (x);\n") == "return (x);\n"


@pytest.mark.parametrize(
    "line",
    [
        'const at = "https://example.org/a"; // said again',
        'const pattern = /\\/\\*\\*[^"]*\\*\\//g;',
        "const half = all / 2 / parts; const more = `${a}//${b}`;",
        'const said = "/* not a comment */";',
        "const page = `<a href=//x>/* kept */ ${'`'} // kept</a>`;",
        "a = b / c; /* kept: not on a line of its own */ d = e / f;",
        "x = a++ / b++; y = (a) / 2; if (z) /[/*]/.test(z);",
    ],
)
def test_what_shares_a_line_with_code_stays_as_it_is(line):
    assert lean_js(f"    {line}\n") == f"{line}\n"


def test_line_ends_stay_where_they_end_a_statement():
    text = "let a = 1\n\n// why\nlet b = a\n++b\nreturn\na\n"
    assert lean_js(text) == "let a = 1\nlet b = a\n++b\nreturn\na\n"


def test_leaning_twice_changes_nothing_more():
    for path in MODULES:
        once = lean_js(path.read_text(encoding="utf-8"))
        assert lean_js(once) == once, named(path)


def template_lines(text: str) -> list[str]:
    """Lines that begin inside a template; a reading of its own, apart from the code under test."""
    found, depth, line_start = [], [], True
    at = 0
    quote = ""
    while at < len(text):
        char = text[at]
        inside = bool(depth) and depth[-1] == "`"
        if line_start:
            if inside:
                found.append(text[at:].split("\n", 1)[0])
            line_start = False
        if char == "\n":
            line_start, quote = True, ""
        elif char == "\\":
            at += 1
        elif inside:
            if char == "`":
                depth.pop()
            elif text.startswith("${", at):
                depth.append("{")
                at += 1
        elif quote:
            quote = "" if char == quote else quote
        elif text.startswith("//", at) and text[at - 1] in " \n":
            at = text.find("\n", at) - 1
        elif text.startswith("/*", at) and text[at - 1] in " \n(":
            at = text.find("*/", at) + 1
        elif char in "\"'":
            quote = char
        elif char == "`":
            depth.append("`")
        elif char == "{" and depth:
            depth.append("{")
        elif char == "}" and depth:
            depth.pop()
        at += 1
    return found


@pytest.mark.parametrize("path", [*MODULES, FRONTEND / "sw.js"], ids=named)
def test_no_line_of_a_template_looks_like_a_comment(path):
    """The rule that lets whole lines go: markup may lose its indentation, never a line."""
    for line in template_lines(path.read_text(encoding="utf-8")):
        assert not re.match(r"\s*(//|/\*|\*)", line), line


def test_the_rule_would_be_noticed_when_broken():
    text = "const a = `x\n  // y\n${`z\n/* w */`}`;\n// no\n"
    assert template_lines(text) == ["  // y", "${`z", "/* w */`}`;"]


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_every_line_left_is_a_line_of_the_file_in_the_same_order(path):
    text = path.read_text(encoding="utf-8")
    lines = iter(
        re.sub(r"/\*\* @(?:type|param|import).*?\*/ ?", "", line).strip()
        for line in text.split("\n")
    )
    for left in lean_js(text).rstrip("\n").split("\n"):
        assert any(line == left.rstrip() for line in lines), left


def test_what_is_served_is_what_node_can_read():
    need(shutil.which("node"), "there is no node to read the modules with")
    texts = [lean_js(path.read_text(encoding="utf-8")) for path in MODULES]
    check = (
        "const vm = require('node:vm');"
        "const texts = JSON.parse(require('node:fs').readFileSync(0, 'utf8'));"
        "for (const [name, text] of texts) {"
        " try { new vm.SourceTextModule(text); } catch (e) { console.log(name, e.message); } }"
    )
    said = subprocess.run(
        ["node", "--experimental-vm-modules", "--no-warnings", "-e", check],
        input=json.dumps([[named(p), t] for p, t in zip(MODULES, texts, strict=True)]),
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout == ""


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_styles_keep_every_declaration(path):
    text = path.read_text(encoding="utf-8")
    bare = " ".join(re.sub(r"/\*.*?\*/", " ", text, flags=re.DOTALL).split())
    lean = lean_css(text)
    assert " ".join(re.sub(r"/\*.*?\*/", " ", lean, flags=re.DOTALL).split()) == bare
    assert not re.search(r"^\s*/\*[^*]*\*/\s*$|^[ \t]", lean, re.MULTILINE)


def test_a_comment_beside_a_declaration_stays():
    assert lean_css("a { b: c; } /* d */\n/* e\n   f */\n  g { h: i; }\n") == (
        "a { b: c; } /* d */\ng { h: i; }\n"
    )


def test_what_others_wrote_is_served_as_they_wrote_it():
    storage = FileSystemStorage(location=FRONTEND)
    names = ["vendor/preact.js", "plain/dates.js", "icons/tuckline.svg"]
    places = lean_files({name: (storage, name) for name in names})
    assert places["vendor/preact.js"] == (storage, "vendor/preact.js")
    assert places["icons/tuckline.svg"] == (storage, "icons/tuckline.svg")
    served = places["plain/dates.js"][0].open("plain/dates.js").read().decode()
    assert served == lean_js((FRONTEND / "plain" / "dates.js").read_text(encoding="utf-8"))


def test_collected_files_are_lean_and_point_at_hashed_names(tmp_path):
    storage = HashedModules(location=tmp_path, base_url="/static/")
    found = {
        name: (store, name) for finder in finders.get_finders() for name, store in finder.list([])
    }
    for name, (store, _) in found.items():
        with store.open(name) as file:
            storage._save(name, file)
    failed = [made for _, _, made in storage.post_process(found) if isinstance(made, Exception)]
    assert failed == []
    app = (tmp_path / storage.stored_name("app.js")).read_text(encoding="utf-8")
    assert re.search(r'from "\./store/store\.[0-9a-f]{12}\.js";', app)
    assert not re.search(r"^\s*//|^\s+\S", app, re.MULTILINE)
    assert (tmp_path / (storage.stored_name("app.js") + ".gz")).exists()
