"""The command itself: help, unknown commands, what importing it costs, real processes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from server.cli.main import COMMANDS, main
from server.science.condition import RIBS, TUCK, WAIST
from server.science.vet_first import CONDITION_WORDS
from tests.cli.documents import PLAN, REVIEW, run

ROOT = Path(__file__).parents[2]


def tuckline(*arguments: str, text: str = "") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "server.cli.main", *arguments],
        input=text.encode(),
        capture_output=True,
        check=False,
        cwd=ROOT,
    )


def test_help_lists_every_command_with_one_line(capsys):
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    for name, command in COMMANDS.items():
        assert any(line.split(maxsplit=1) == [name, command.line] for line in out.splitlines()), (
            name
        )


def test_no_command_and_an_unknown_one_are_errors(capsys):
    assert main([]) == 2
    assert "usage" in capsys.readouterr().err
    assert main(["fly"]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith("tuckline: command: must be one of plan, review")


@pytest.mark.parametrize("command", ["plan", "review", "conditions"])
def test_each_command_explains_itself(capsys, command):
    outcome = run(capsys, command, "", "--help")
    assert outcome.status == 0
    assert outcome.out.startswith(f"usage: tuckline {command}")


def test_conditions_lists_all_words_with_text_and_source(capsys):
    outcome = run(capsys, "conditions", "")
    assert outcome.status == 0
    printed = outcome.json
    assert {item["word"] for item in printed["conditions"]} == CONDITION_WORDS
    for name, answers in (("ribs", RIBS), ("waist", WAIST), ("tuck", TUCK)):
        assert [item["word"] for item in printed[name]] == [answer.word for answer in answers]
    for name in ("conditions", "ribs", "waist", "tuck"):
        for item in printed[name]:
            assert set(item) == {"word", "text", "source"}
            assert all(item.values())


def test_conditions_takes_no_arguments(capsys):
    outcome = run(capsys, "conditions", "", "ribs")
    assert (outcome.status, outcome.out) == (2, "")


def test_a_real_process_answers_and_refuses():
    good = tuckline("plan", text=json.dumps(PLAN))
    assert good.returncode == 0
    assert json.loads(good.stdout)["kcal_per_day"] == 488
    bad = tuckline("plan", text='{"as_of": 5}')
    assert (bad.returncode, bad.stdout) == (2, b"")
    assert bad.stderr.startswith(b"tuckline plan: as_of: must be a date")


def test_the_review_is_the_same_in_another_process(capsys):
    here = run(capsys, "review", json.dumps(REVIEW))
    there = tuckline("review", text=json.dumps(REVIEW))
    assert there.stdout.decode() == here.out


def test_the_pure_commands_start_no_django():
    program = (
        "import sys; import server.cli.plan, server.cli.review, server.cli.conditions; "
        "print(sorted(n for n in sys.modules if n.split('.')[0] in "
        "('django', 'celery', 'ninja', 'PIL', 'sqlite3')))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, check=True, cwd=ROOT
    )
    assert done.stdout.strip() == b"[]"


def test_a_reader_that_leaves_is_no_error():
    lines = (json.dumps(PLAN) + "\n") * 200
    process = subprocess.Popen(
        [sys.executable, "-m", "server.cli.main", "plan", "--lines"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
    )
    assert process.stdout
    process.stdout.close()
    _, err = process.communicate(lines.encode())
    assert err == b""
    assert process.returncode == 1
