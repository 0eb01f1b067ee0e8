"""A store that may be read and not written: reading works, writing says what is read-only."""

import os
import shutil
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest
from tests.support import command
from tests.support.deeds import PROCESSES, desk_on
from tests.support.jobs import a_job, by, furnished

from wholekit.services.quotes import issue_quote
from wholekit.settings import read_settings
from wholekit.store.access import OLDEST_SQLITE, Access, access_to
from wholekit.store.backup import back_up
from wholekit.store.check import check_store
from wholekit.store.engine import sqlite_place
from wholekit.store.errors import StoreError
from wholekit.store.open import open_place
from wholekit.store.unit_of_work import SqlStore

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="rights are another matter there")
NOBODY = 65534
READING = (
    ("job", "list"),
    ("job", "show", "1"),
    ("quote", "show", "Q-1"),
    ("margin", "job", "1", "--by", "odo"),
    ("catalog", "list"),
    ("db", "check"),
    ("db", "upgrade"),
)
WRITING = (
    ("job", "new", "Another", "--customer", "saltmarsh", "--by", "ines"),
    ("quote", "expire", "--by", "ines"),
    ("db", "restore", "KEPT", "--overwrite", "--by", "odo"),
)


@pytest.fixture
def home(tmp_path):
    """A data folder with an issued quote, that everybody may look into."""
    folder = tmp_path / "home"
    folder.mkdir()
    store = SqlStore(sqlite_place(folder / "wholekit.sqlite3"))
    desk = furnished(store)
    assert issue_quote(desk_on(store), by(), a_job(desk, "101").label).revision is not None
    store.close()
    for above in (tmp_path, *tmp_path.parents[:3]):
        if above.stat().st_uid == os.geteuid():
            above.chmod(0o755)
    (tmp_path / "free").mkdir()
    (tmp_path / "free").chmod(0o777)
    yield folder
    folder.chmod(0o755)


def limit(folder, files=0o444, mode=0o555):
    for file in folder.iterdir():
        file.chmod(files)
    folder.chmod(mode)


def as_nobody(home, *calls):
    """The results of commands that somebody runs who may not write what is not his."""
    here, far = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=_run_as_nobody, args=(far, str(home), calls))
    process.start()
    far.close()
    found = here.recv()
    process.join(60)
    assert not isinstance(found, BaseException), found
    return found


def _run_as_nobody(answer, home, calls):
    try:
        spare = Path(home).with_name("spare")
        shutil.copytree(home, spare, ignore=shutil.ignore_patterns("*-wal", "*-shm"))
        (spare / "wholekit.sqlite3").chmod(0o644)
        os.environ["WHOLEKIT_HOME"] = str(spare)
        # What the commands import is read while there is the right to.
        for call in calls:
            copied = call[:2] == ("db", "backup")
            command.run(*((*call[:2], str(spare / "kept")) if copied else call))
        shutil.rmtree(spare)
        if os.geteuid() == 0:
            os.seteuid(NOBODY)
        os.environ["WHOLEKIT_HOME"] = home
        answer.send([command.run(*call) for call in calls])
    except BaseException as error:  # noqa: BLE001  # the test must hear of it
        answer.send(error)


def with_paths(calls, tmp_path):
    return [tuple(str(tmp_path / "kept") if one == "KEPT" else one for one in call)
            for call in calls]  # fmt: skip


@pytest.mark.parametrize(
    ("files", "mode", "part"),
    [(0o444, 0o555, "file"), (0o666, 0o555, "folder"), (0o444, 0o777, "file")],
    ids=["folder and file", "folder", "file"],
)
def test_a_store_without_the_right_to_write_is_read_and_not_written(
    home, tmp_path, files, mode, part
):
    backup = tmp_path / "free" / "made"
    limit(home, files, mode)
    before = {path.name: path.read_bytes() for path in home.iterdir()}
    *read, copied = as_nobody(home, *READING, ("db", "backup", str(backup), "--by", "odo"))
    assert [one.status for one in (*read, copied)] == [0] * (len(READING) + 1), read
    assert "Heron Quay" in read[0].out
    assert "Q-00001/1" in read[2].out
    assert "no fault" in read[5].out
    assert check_store(sqlite_place(backup)).faults == ()
    shutil.copy(backup, tmp_path / "kept")
    refused = as_nobody(home, *with_paths(WRITING, tmp_path))
    for one in refused:
        assert (one.status, one.out) == (2, "")
        assert f"the {part} is read-only" in one.err
        assert str(home / "wholekit.sqlite3") in one.err
    assert {path.name: path.read_bytes() for path in home.iterdir()} == before, (
        "nothing is left there"
    )


@pytest.mark.skipif(
    sys.platform != "linux" or os.geteuid() != 0, reason="mounting takes root on Linux"
)
def test_on_a_read_only_disk_a_store_is_read_and_not_written(home, tmp_path, monkeypatch):
    disk = tmp_path / "disk"
    disk.mkdir()
    shutil.copytree(home, tmp_path / "spare")
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "spare"))
    assert command.run("db", "backup", str(tmp_path / "kept"), "--by", "odo").status == 0
    bound = subprocess.run(["mount", "--bind", str(home), str(disk)], capture_output=True)
    if bound.returncode:
        pytest.skip("this machine lets nobody mount")
    try:
        subprocess.run(["mount", "-o", "remount,ro,bind", str(disk)], check=True)
        monkeypatch.setenv("WHOLEKIT_HOME", str(disk))
        assert [command.run(*one).status for one in READING] == [0] * len(READING)
        for call in with_paths(WRITING, tmp_path):
            refused = command.run(*call)
            assert (refused.status, refused.out) == (2, "")
            assert "the disk is read-only" in refused.err
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=True)


def test_where_nothing_is_and_nothing_can_be_made_that_is_told(home, tmp_path):
    empty = tmp_path / "free" / "empty"
    empty.mkdir()
    shutil.copy(home / "wholekit.sqlite3", empty / "wholekit.sqlite3")
    here, far = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=_open_an_empty_folder, args=(far, str(empty)))
    process.start()
    assert here.recv() == ("store-read-only", "folder")
    process.join(60)
    empty.chmod(0o755)


def _open_an_empty_folder(answer, folder):
    SqlStore(open_place(read_settings({"WHOLEKIT_HOME": folder}))).close()
    (Path(folder) / "wholekit.sqlite3").unlink()
    Path(folder).chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(NOBODY)
    try:
        SqlStore(open_place(read_settings({"WHOLEKIT_HOME": folder})))
    except StoreError as error:
        answer.send((error.code, error.fields["part"]))


def test_a_file_that_may_not_be_read_is_told(home):
    limit(home, 0o000, 0o755)
    (refused,) = as_nobody_reading(home, ("job", "list"))
    assert refused.status == 2
    assert "no right to read" in refused.err


def as_nobody_reading(home, *calls):
    """The same for a file that could not be copied first."""
    limit(home, 0o000, 0o755)
    return as_nobody(home, *calls)


def test_what_another_program_has_just_written_is_seen_through_its_log(home):
    store = SqlStore(sqlite_place(home / "wholekit.sqlite3"))
    a_job(desk_on(store), "201", name="Just entered")
    log = home / "wholekit.sqlite3-wal"
    assert log.stat().st_size > 0
    limit(home)
    (read,) = as_nobody(home, ("job", "list"))
    assert read.status == 0, read.err
    assert "Just entered" in read.out
    store.close()


def test_a_log_that_was_left_and_cannot_be_read_is_told_with_the_way_out(home, tmp_path):
    store = SqlStore(sqlite_place(home / "wholekit.sqlite3"))
    a_job(desk_on(store), "201", name="Just entered")
    left = tmp_path / "left"
    left.mkdir()
    for end in ("", "-wal"):
        name = f"wholekit.sqlite3{end}"
        shutil.copy(home / name, left / name)
    store.close()
    limit(left)
    first, second = as_nobody(left, ("job", "list"), ("job", "new", "X", "--customer", "saltmarsh"))
    assert (first.status, first.out) == (2, "")
    assert "wholekit.sqlite3-wal" in first.err
    assert "wholekit db check" in first.err
    assert (second.status, second.out) == (2, "")
    left.chmod(0o755)
    for file in left.iterdir():
        file.chmod(0o644)
    again = SqlStore(sqlite_place(left / "wholekit.sqlite3"))
    with again.reading() as work:
        found = work.jobs.by_number(2)
    assert found is not None
    assert found.name == "Just entered", "and it is not lost"
    again.close()


@pytest.fixture
def lying_still(home, monkeypatch):
    """The store as one who may not write opens it, and the same as its owner does."""
    file = home / "wholekit.sqlite3"
    owner = SqlStore(sqlite_place(file))
    owner.close()
    here = threading.local()
    monkeypatch.setattr(
        "wholekit.store.access.may",
        lambda path, wanted: not (getattr(here, "limited", False) and wanted & os.W_OK),
    )
    here.limited = True
    reader = SqlStore(sqlite_place(file))
    assert access_to(file) is Access.STILL

    def change(name):
        here.limited = False
        a_job(desk_on(owner), "201", name=name)
        owner.close()
        here.limited = True

    yield reader, change
    here.limited = False
    reader.close()


def test_a_change_while_the_file_is_read_as_it_lies_is_told(lying_still):
    reader, change = lying_still
    with pytest.raises(StoreError) as told, reader.reading():  # told at its end
        change("Meanwhile")
    assert told.value.code == "store-moved"


def test_a_change_between_two_readings_is_seen(lying_still):
    reader, change = lying_still
    for number in (2, 3):
        with reader.reading() as work:
            assert work.jobs.by_number(number) is None
        change(f"Number {number}")
        with reader.reading() as work:
            found = work.jobs.by_number(number)
        assert found is not None
        assert found.name == f"Number {number}"


def test_a_backup_of_a_file_that_changes_under_it_is_told(lying_still, tmp_path):
    reader, change = lying_still
    changed: list[bool] = []

    def progress(_what, _done, _total):
        if not changed:
            changed.append(True)
            change("Meanwhile")

    with pytest.raises(StoreError) as told:
        back_up(reader.place, tmp_path / "free" / "made", progress)
    assert told.value.code == "store-moved"
    assert list((tmp_path / "free").iterdir()) == []


def test_an_sqlite_without_strict_tables_is_told_before_anything_is_touched(tmp_path, monkeypatch):
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 36, 0))
    monkeypatch.setattr(sqlite3, "sqlite_version", "3.36.0")
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "home"))
    refused = command.run("job", "list")
    assert (refused.status, refused.out) == (2, "")
    assert "3.36.0" in refused.err
    assert "3.37.0" in refused.err
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setattr(sqlite3, "sqlite_version_info", OLDEST_SQLITE)
    assert command.run("job", "list").status == 0


def test_the_oldest_sqlite_is_the_one_that_knows_strict_tables():
    """SQLite's release history: STRICT tables came with 3.37.0, of 2021-11-27."""
    assert OLDEST_SQLITE == (3, 37, 0)
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.execute("CREATE TABLE t (n INTEGER) STRICT")
