"""Seeded faults: each breaks one rule on purpose, and the test that guards it must turn red.

`python -m tests.faults` runs all of them on a copy of the code, `python -m tests.faults NAME ...`
some. A proof that stays green with its fault in place proves nothing, so that is a failure here.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.fault_list import FAULTS, Fault

ROOT = Path(__file__).resolve().parent.parent
COPIED = ("server", "tests", "fixtures", "frontend", "pyproject.toml")
LIMIT_S = 180


def copy_of_the_code(folder: Path) -> None:
    """The code without its installed packages, which the copy borrows."""
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            leave = shutil.ignore_patterns("node_modules", "__pycache__")
            shutil.copytree(source, folder / name, ignore=leave)
        else:
            shutil.copy(source, folder / name)
    modules = ROOT / "frontend" / "node_modules"
    if modules.exists():
        (folder / "frontend" / "node_modules").symlink_to(modules)


def command(fault: Fault) -> list[str]:
    """How the guarding test is run."""
    if fault.test.endswith(".mjs"):
        # From inside frontend/, where its packages are found.
        return ["node", "--test", f"--test-name-pattern={fault.only}", fault.test]
    quiet = ["-q", "-x", "-p", "no:cacheprovider", "--no-header", "--durations=0"]
    return [sys.executable, "-m", "pytest", *quiet, "-m", fault.marks, fault.test]


def run(fault: Fault, folder: Path) -> subprocess.CompletedProcess[str]:
    """The guarding test, on the copy."""
    return subprocess.run(
        command(fault), cwd=folder, capture_output=True, text=True, timeout=LIMIT_S, check=False
    )


def shown_red(fault: Fault, folder: Path) -> str:
    """ "" where the test is green without the fault and red with it, else what is wrong."""
    file = folder / fault.file
    whole = file.read_text(encoding="utf-8")
    if whole.count(fault.old) != 1:
        return f"the text to break is there {whole.count(fault.old)} times in {fault.file}"
    green = run(fault, folder)
    if green.returncode != 0:
        return f"its test fails without the fault:\n{(green.stdout + green.stderr)[-1500:]}"
    file.write_text(whole.replace(fault.old, fault.new), encoding="utf-8")
    try:
        red = run(fault, folder)
    finally:
        file.write_text(whole, encoding="utf-8")
    if red.returncode == 0:
        return "its test stays green with the fault in place"
    if "no tests ran" in red.stdout or red.returncode != 1:
        return f"its test did not run:\n{(red.stdout + red.stderr)[-1500:]}"
    return ""


def main(names: list[str]) -> int:
    """Run the named faults, or all; 1 when any proof could not be shown red."""
    chosen = [fault for fault in FAULTS if not names or fault.name in names]
    unknown = set(names) - {fault.name for fault in FAULTS}
    if unknown:
        print(f"no such fault: {', '.join(sorted(unknown))}", file=sys.stderr)
        return 2
    failed = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        copy_of_the_code(folder)
        for fault in chosen:
            wrong = shown_red(fault, folder)
            failed += bool(wrong)
            print(f"{'NOT SHOWN' if wrong else 'red'}  {fault.name}  {wrong}", flush=True)
    print(f"{len(chosen) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
