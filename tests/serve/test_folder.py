"""Saving loses nothing: not to another tab, another process, a full disk, or a second thought."""

import errno
import multiprocessing
import os
import threading
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.reading.problems import InputError
from advisor.serve import folder as plans
from advisor.serve.folder import ChangedSince, NoSuchPlan, mark_of, save, step_back, text_before

NAME = "a.yaml"


def seen(folder: Path) -> str:
    return mark_of((folder / NAME).read_bytes())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / NAME).write_bytes(b"0")
    return tmp_path


def test_every_save_can_be_undone_and_made_again(folder: Path) -> None:
    texts = [b"0", b"1", b"2", b"3"]
    for text in texts[1:]:
        save(folder, NAME, text, seen(folder))
    for text in texts[-2::-1]:
        step_back(folder, NAME, seen(folder))
        assert (folder / NAME).read_bytes() == text
    assert text_before(folder, NAME) is None
    step_back(folder, NAME, seen(folder))
    assert (folder / NAME).read_bytes() == b"0"
    for text in texts[1:]:
        step_back(folder, NAME, seen(folder), again=True)
        assert (folder / NAME).read_bytes() == text


@given(st.lists(st.sampled_from(["save", "undo", "redo"]), max_size=30))
@settings(max_examples=60, deadline=None)
def test_undo_is_a_stack(tmp_path_factory: pytest.TempPathFactory, steps: list[str]) -> None:
    """Against the simplest stack there is."""
    folder = tmp_path_factory.mktemp("plans")
    (folder / NAME).write_bytes(b"start")
    now, before, after = b"start", list[bytes](), list[bytes]()
    for number, step in enumerate(steps):
        if step == "save":
            save(folder, NAME, f"{number}".encode(), seen(folder))
            before, after, now = [*before, now], [], f"{number}".encode()
        else:
            step_back(folder, NAME, seen(folder), step == "redo")
            taken, given = (before, after) if step == "undo" else (after, before)
            if taken:
                given.append(now)
                now = taken.pop()
        assert (folder / NAME).read_bytes() == now
        assert text_before(folder, NAME) == (before[-1] if before else None)
        assert text_before(folder, NAME, again=True) == (after[-1] if after else None)


def test_what_someone_else_wrote_is_not_overwritten(folder: Path) -> None:
    mark = seen(folder)
    (folder / NAME).write_bytes(b"by another hand")
    with pytest.raises(ChangedSince):
        save(folder, NAME, b"mine", mark)
    with pytest.raises(ChangedSince):
        step_back(folder, NAME, mark)
    assert (folder / NAME).read_bytes() == b"by another hand"


def test_only_so_many_texts_are_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plans, "MOST_KEPT", 5)
    for number in range(1, 12):
        save(folder, NAME, f"{number}".encode(), seen(folder))
    kept = sorted((folder / plans.KEPT / NAME / "before").iterdir())
    assert [path.read_bytes() for path in kept] == [b"6", b"7", b"8", b"9", b"10"]


@pytest.mark.parametrize("call", ["fsync", "replace", "link", "mkdir"])
def test_a_full_disk_leaves_the_file_as_it_was(
    call: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    mark = seen(folder)
    monkeypatch.setattr(os, call, full)
    if call != "link":  # without hard links the name is taken another way
        with pytest.raises(InputError) as told:
            save(folder, NAME, b"1", mark)
        assert "No space left" in told.value.problems[0].message
        monkeypatch.undo()
        assert (folder / NAME).read_bytes() == b"0"
    else:
        save(folder, NAME, b"1", mark)
        monkeypatch.undo()
    assert not list(folder.rglob("*.part"))


def add_own(folder: Path, who: str, rounds: int) -> None:
    """Adds lines as a page does: reads, changes what it saw, saves, and looks again when it was not the only one."""
    for number in range(rounds):
        while True:
            now = (folder / NAME).read_bytes()
            try:
                save(folder, NAME, now + f"{who}{number}\n".encode(), mark_of(now))
                break
            except ChangedSince:
                continue


def test_two_processes_and_two_tabs_lose_nothing(folder: Path) -> None:
    (folder / NAME).write_bytes(b"")
    others = [multiprocessing.get_context("spawn").Process(target=add_own, args=(folder, who, 6)) for who in "ab"]  # fmt: skip
    tabs = [threading.Thread(target=add_own, args=(folder, who, 6)) for who in "cd"]
    for process in others:
        process.start()
    for tab in tabs:
        tab.start()
    for process in others:
        process.join()
    for tab in tabs:
        tab.join()
    assert [one.exitcode for one in others] == [0, 0]
    lines = (folder / NAME).read_text("utf-8").split()
    assert sorted(lines) == sorted(f"{who}{number}" for who in "abcd" for number in range(6))


@pytest.mark.parametrize("name", ["b.yaml", "../a.yaml", ".a.yaml", "a.txt", ""])
def test_no_other_name_is_written(name: str, folder: Path) -> None:
    with pytest.raises(NoSuchPlan):
        save(folder, name, b"1", seen(folder))
    assert sorted(path.name for path in folder.iterdir()) == [NAME]
