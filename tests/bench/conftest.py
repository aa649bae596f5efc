"""Running planbook as a new process with its bytecode at hand, and measuring the whole of it."""

from __future__ import annotations

import json
import os
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sample_processes import Measured

ROOT = Path(__file__).parents[2]
# What a command did, told by its own process: exit code, libraries loaded, peak memory.
REPORT = """
import json, resource, sys
from planbook.cli.entry import run
code = run(json.loads(sys.argv[1]))
try:
    # ru_maxrss counts what the process that started this one held, so the peak of this one alone is asked for.
    status = open("/proc/self/status").read()
    own = int(status.split("VmHWM:")[1].split()[0])
except (OSError, IndexError):
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
both = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
cpu = sum(used.ru_utime + used.ru_stime for used in both)
heavy = [name for name in ("matplotlib", "numpy", "pint", "typst", "jinja2", "pydantic") if name in sys.modules]
print(json.dumps({"code": code, "cpu": cpu, "modules": heavy, "own_kb": own, "children_kb": children}))
"""


@pytest.fixture(scope="session")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Return an environment in which bytecode is kept, in a place of its own."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("bytecode")), "PYTHONPATH": str(ROOT)}


@pytest.fixture(scope="session")
def bare(environment: dict[str, str]) -> Callable[[str], Measured]:
    """Run Python code in a new process; the best of three, after one that makes the bytecode."""

    def measure(code: str) -> Measured:
        runs = []
        for _ in range(4):
            before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
            subprocess.run([sys.executable, "-c", code], env=environment, check=True, cwd=ROOT)
            seconds, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
            cpu = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
            runs.append(Measured(seconds, cpu))
        return min(runs[1:], key=lambda run: run.seconds)

    return measure


@pytest.fixture(scope="session")
def planbook_process(environment: dict[str, str]) -> Callable[..., Measured]:
    """Run one command of planbook in a new process."""

    def measure(*words: object) -> Measured:
        command = [sys.executable, "-c", REPORT, json.dumps([str(word) for word in words])]
        start = time.perf_counter()
        done = subprocess.run(command, env=environment, check=False, cwd=ROOT, capture_output=True, text=True)
        seconds = time.perf_counter() - start
        assert done.returncode == 0, done.stderr
        report = json.loads(done.stdout.strip().rpartition("\n")[2])
        assert report["code"] == 0, done.stderr
        return Measured(
            seconds, report["cpu"], tuple(report["modules"]), report["own_kb"] / 1024, report["children_kb"] / 1024
        )

    return measure


DEMO = "boot-bench"


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Path]:
    """Return a copy of the demo book with one of its plans, beside which nothing is kept yet."""
    target = tmp_path / "content"
    shutil.copytree(ROOT / "content", target, ignore=shutil.ignore_patterns(".planbook"))
    for folder in (target / "plans").iterdir():
        if folder.name != DEMO:
            shutil.rmtree(folder)
    for path in (target / "classes").iterdir():
        if not path.name.startswith(DEMO):
            path.unlink()
    book = target / "planbook.yaml"
    lines = book.read_text("utf-8").splitlines()
    book.write_text("\n".join(f"plans: [{DEMO}]" if line.startswith("plans:") else line for line in lines), "utf-8")
    yield target
    shutil.rmtree(target)
