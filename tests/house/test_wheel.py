"""The installed package stands alone: its samples and templates travel in the wheel."""

import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pypdf
import pytest

from wholekit.cli.demo_job import ANSWERS, CHANGES, OPTION, RELEASED, REMOVED

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel of this checkout, built without network."""
    out = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out)]
    subprocess.run([*build, str(ROOT)], check=True, capture_output=True, text=True)
    (built,) = out.glob("wholekit-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    """The scripts folder of a fresh environment that holds the wheel and its dependencies.

    The dependencies are borrowed from the environment that runs the tests. A
    path file makes their folder importable without obeying the path files in
    it, so the checkout, which is installed there in place, stays out of reach.
    """
    environment = tmp_path_factory.mktemp("environment")
    venv.create(environment, with_pip=False, symlinks=True)
    scripts = environment / "bin"
    python = str(scripts / "python")
    install = [sys.executable, "-m", "pip", "--python", python, "install", "--quiet"]
    install += ["--no-deps", "--no-index", "--disable-pip-version-check", str(wheel)]
    subprocess.run(install, check=True, capture_output=True, text=True)
    (site_packages,) = environment.glob("lib/python3*/site-packages")
    dependencies = sysconfig.get_path("purelib")
    (site_packages / "dependencies.pth").write_text(f"{dependencies}\n", encoding="utf-8")
    return scripts


def run(command: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    """Run in an empty folder, with a home of its own and nothing from this process."""
    folder.mkdir()
    surroundings = {"PATH": "/usr/bin:/bin", "HOME": str(folder), "LANG": "C.UTF-8"}
    return subprocess.run(
        command, cwd=folder, env=surroundings, capture_output=True, text=True, check=False
    )


def test_the_wheel_carries_the_samples_the_templates_and_the_rule_book(wheel):
    packed = set(zipfile.ZipFile(wheel).namelist())
    wanted = {"wholekit/py.typed"}
    wanted |= {f"wholekit/_bundled/{name}" for name in files_under("catalog_samples", "templates")}
    wanted |= {
        f"wholekit/{path.relative_to(ROOT / 'src/wholekit')}"
        for folder in ("rulebook", "dialect")
        for path in ROOT.glob(f"src/wholekit/{folder}/*.toml")
    }
    for kind in ("_bundled/catalog_samples/", "_bundled/templates/", "rulebook/", "dialect/"):
        assert any(kind in name for name in wanted), f"the checkout has no {kind}"
    assert wanted <= packed


def files_under(*folders: str) -> list[str]:
    """Every file of top-level folders of the checkout, as paths from its root."""
    return [
        path.relative_to(ROOT).as_posix()
        for folder in folders
        for path in sorted((ROOT / folder).rglob("*"))
        if path.is_file()
    ]


def test_the_command_of_the_wheel_is_not_the_checkout(installed, tmp_path):
    show = [str(installed / "python"), "-c", "import wholekit; print(wholekit.__file__)"]
    shown = run(show, tmp_path / "elsewhere")
    assert Path(shown.stdout.strip()).is_relative_to(installed.parent), shown.stderr


def test_the_demo_of_an_installed_wheel_makes_its_papers_anywhere(installed, tmp_path):
    """Of the openings that the demo names alone: whole, it lays out more of the same pages."""
    (sheet,) = installed.parent.glob("lib/python3*/**/wholekit/**/jobs/ostrell-bay-school.csv")
    header, *rows = sheet.read_text(encoding="utf-8").splitlines()
    named = {*ANSWERS, *CHANGES, *OPTION, RELEASED, REMOVED}
    few = [row for row in rows if row.partition(",")[0] in named]
    assert len(few) == len(named) < len(rows) / 4
    sheet.write_text("\n".join([header, *few, ""]), encoding="utf-8")
    papers = tmp_path / "papers"
    demo = run([str(installed / "wholekit"), "demo", "--out", str(papers)], tmp_path / "elsewhere")
    assert demo.returncode == 0, demo.stderr
    made = sorted(papers.rglob("*.pdf"))
    assert len(made) >= 9, f"five papers of the schedule and four of the job, not {made}"
    for paper in made:
        assert len(pypdf.PdfReader(paper).pages) >= 1
    assert not list((tmp_path / "elsewhere").rglob("*.pdf")), "papers only where they were asked"
