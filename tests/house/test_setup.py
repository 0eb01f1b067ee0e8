"""The script `do` and the lock: what a newcomer meets first."""

import os
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LOCK = (ROOT / ".requirements.lock").read_text(encoding="utf-8")


def do(*arguments: str, script: Path = ROOT / "do", path: str | None = None):
    """Run the script; with a `path` of its own, only the commands there are found."""
    surroundings = {**os.environ, "PATH": path or os.environ["PATH"]}
    return subprocess.run(
        ["/bin/sh", str(script), *arguments],
        env=surroundings,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def bare_checkout(tmp_path) -> Path:
    """The script, lock and project file alone, not yet set up."""
    for name in ("do", ".requirements.lock", "pyproject.toml"):
        (tmp_path / name).write_bytes((ROOT / name).read_bytes())
    return tmp_path


@pytest.fixture
def few_commands(tmp_path) -> Path:
    """A folder of commands with what the script needs of the system and no Python."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in ("cat", "cksum", "dirname", "id"):
        (folder / name).symlink_to(
            next(p for p in (Path("/usr/bin") / name, Path("/bin") / name) if p.exists())
        )
    return folder


def test_a_machine_without_a_recent_python_is_told_what_to_install(bare_checkout, few_commands):
    old = few_commands / "python3"
    old.write_text("#!/bin/sh\nexit 1\n")  # answers "older than 3.11" to every question
    old.chmod(0o755)
    answer = do("setup", script=bare_checkout / "do", path=str(few_commands))
    assert answer.returncode == 2
    assert "Python 3.11" in answer.stderr
    assert "apt-get install" in answer.stderr
    assert not (bare_checkout / ".venv").exists()


def test_an_unknown_command_is_refused_with_the_list_of_commands():
    answer = do("quote")
    assert answer.returncode == 2
    assert "unknown command 'quote'" in answer.stderr
    assert "./do COMMAND" in answer.stderr


def test_help_names_every_command_of_the_script():
    answer = do("help")
    assert answer.returncode == 0
    script = (ROOT / "do").read_text(encoding="utf-8")
    commands = re.findall(r"^    ([a-z]+)(?: \|[^)]*)?\)", script, flags=re.MULTILINE)
    assert len(commands) >= 7
    assert [name for name in commands if f"\n  {name} " not in answer.stdout] == []


def test_the_lock_pins_every_dependency_of_the_project_with_hashes():
    pinned = dict(re.findall(r"^([a-z0-9-]+)==(\S+)", LOCK, flags=re.MULTILINE))
    asked = PROJECT["project"]["dependencies"] + PROJECT["dependency-groups"]["dev"]
    names = [re.split(r"[^A-Za-z0-9-]", line, maxsplit=1)[0].lower() for line in asked]
    assert len(names) > 10
    assert [name for name in names if name not in pinned] == []
    entries = re.split(r"^(?=[a-z0-9])", LOCK, flags=re.MULTILINE)[1:]
    assert [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry] == []


def test_the_lock_names_no_package_index():
    assert "://" not in LOCK
    assert "index-url" not in LOCK
