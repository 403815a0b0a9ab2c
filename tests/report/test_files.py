"""Files are written whole or not at all, and nothing of the user's is overwritten unasked."""

import os

import pytest

from ladderfe.report.files import PNG, OutputError, may_write, write_folder, write_whole


def leftovers(folder):
    return sorted(p.name for p in folder.iterdir())


def test_new_file(tmp_path):
    """Text is UTF-8; the file has the rights that the user's umask gives."""
    (tmp_path / "a b").mkdir()
    path = write_whole(tmp_path / "a b" / "t.txt", "mm²\n")
    assert path.read_bytes() == "mm²\n".encode()
    assert leftovers(path.parent) == ["t.txt"]
    plain = tmp_path / "plain"
    plain.write_text("")
    assert path.stat().st_mode == plain.stat().st_mode


def test_existing_file_is_kept_unless_asked(tmp_path):
    """Without being asked the old file stays as it was; when asked it is replaced."""
    path = tmp_path / "t.txt"
    path.write_text("old")
    with pytest.raises(OutputError) as caught:
        write_whole(path, b"new")
    assert str(caught.value) == f"{path}: is there already. Choose another name or add --overwrite."
    assert path.read_text() == "old"
    write_whole(path, b"new", overwrite=True)
    assert path.read_text() == "new"
    assert leftovers(tmp_path) == ["t.txt"]


def test_file_that_appears_meanwhile_is_kept(tmp_path, monkeypatch):
    """Another program writes the same name between our look and our write: its file is kept."""
    path = tmp_path / "t.txt"
    link = os.link

    def late(source, target):
        path.write_text("theirs")
        link(source, target)

    monkeypatch.setattr(os, "link", late)
    with pytest.raises(OutputError, match="is there already"):
        write_whole(path, b"ours")
    assert path.read_text() == "theirs"
    assert leftovers(tmp_path) == ["t.txt"]


@pytest.mark.parametrize("step", ["replace", "write"])
def test_failure_leaves_what_was_there(tmp_path, monkeypatch, step):
    """A full disk in the middle: the old file is whole and no half file is left."""
    path = tmp_path / "t.txt"
    path.write_text("old")

    def full(*args, **kwargs):
        raise OSError(28, "No space left on device")

    if step == "replace":
        monkeypatch.setattr(os, "replace", full)
    else:
        monkeypatch.setattr("builtins.open", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write_whole(path, b"new", overwrite=True)
    assert path.read_text() == "old"
    assert leftovers(tmp_path) == ["t.txt"]


def test_file_system_without_links(tmp_path, monkeypatch):
    """Where hard links are not to be had the file is written all the same."""

    def refuse(*args):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    assert write_whole(tmp_path / "t.txt", b"new").read_bytes() == b"new"


def test_a_link_is_followed(tmp_path):
    """Overwriting through a symbolic link replaces the file it names and keeps the link."""
    real, link = tmp_path / "real.txt", tmp_path / "link.txt"
    real.write_text("old")
    link.symlink_to(real)
    write_whole(link, b"new", overwrite=True)
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_a_folder_and_a_forbidden_place_are_refused(tmp_path):
    """A folder is no file; where the system refuses, its reason is in the message."""
    with pytest.raises(OutputError, match="is a folder"):
        write_whole(tmp_path, b"")
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="is a file, not a folder"):
        write_whole(tmp_path / "file" / "t.txt", b"")


def test_no_folder_is_made_for_a_file(tmp_path):
    """A mistyped folder is told and not made."""
    with pytest.raises(OutputError) as caught:
        write_whole(tmp_path / "ressults" / "t.txt", b"")
    folder = tmp_path / "ressults"
    wanted = f"{folder}/t.txt: the folder {folder} does not exist. Make it first, or choose another."
    assert str(caught.value) == wanted
    assert leftovers(tmp_path) == []


def test_only_results_of_the_same_kind_are_overwritten(tmp_path):
    """A picture takes the place of a picture or of an empty file, and of nothing else."""
    mine, picture, empty = tmp_path / "chassis.png", tmp_path / "frame.png", tmp_path / "empty.png"
    mine.write_text("title = 'a week of measuring'")
    picture.write_bytes(PNG + b"old")
    empty.write_bytes(b"")
    with pytest.raises(OutputError, match="is no earlier result of the same kind, so it is not overwritten"):
        write_whole(mine, PNG + b"new", overwrite=True, mark=PNG)
    assert mine.read_text() == "title = 'a week of measuring'"
    for path in (picture, empty):
        assert write_whole(path, PNG + b"new", overwrite=True, mark=PNG).read_bytes() == PNG + b"new"


def test_a_device_is_not_replaced_by_a_file(tmp_path):
    """What is written there would take the device's place: a pipe stands for /dev/null and its like."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(OutputError, match="is a device or the like, no plain file"):
        write_whole(pipe, b"new", overwrite=True)
    assert pipe.is_fifo()
    with pytest.raises(OutputError, match="is a device or the like, no plain file"):
        may_write("/dev/null", overwrite=True)


def test_a_file_that_was_read_is_never_written(tmp_path):
    """By whatever name: the same, a hard link, a symbolic link, one past a folder and back."""
    file = tmp_path / "chassis.toml"
    file.write_text("title = 'mine'")
    (tmp_path / "hard.png").hardlink_to(file)
    (tmp_path / "soft.png").symlink_to(file)
    for name in ("chassis.toml", "hard.png", "soft.png", f"../{tmp_path.name}/chassis.toml"):
        with pytest.raises(OutputError, match="is a file that was read, and stays as it is"):
            may_write(tmp_path / name, True, b"", [tmp_path / "gone.toml", file])
    may_write(tmp_path / "other.png", True, PNG, [file])


def test_a_folder_is_filled_whole(tmp_path):
    """New, or over files of the same names in one that is there; its other files stay."""
    folder = tmp_path / "results"
    write_folder(folder, lambda part: (part / "a.txt").write_text("one"))
    (folder / "notes.txt").write_text("mine")
    write_folder(folder, lambda part: [(part / n).write_text("two") for n in ("a.txt", "b.txt")])
    assert {p.name: p.read_text() for p in folder.iterdir()} == {"a.txt": "two", "b.txt": "two", "notes.txt": "mine"}
    assert leftovers(tmp_path) == ["results"]


def test_results_of_an_earlier_run_that_the_new_one_lacks_are_taken_away(tmp_path):
    """Tables of readings beside a check without any would be taken for its own; what is no result of ours stays."""
    folder, marks = tmp_path / "results", {"a.txt": b"one", "b.txt": b"one", "c.txt": b"one", "d.txt": b""}
    write_folder(folder, lambda part: [(part / n).write_text("one") for n in ("a.txt", "b.txt")])
    (folder / "c.txt").write_text("mine")
    (folder / "d.txt").write_text("")
    assert write_folder(folder, lambda part: (part / "a.txt").write_text("one, again"), marks) == ["b.txt"]
    assert {p.name: p.read_text() for p in folder.iterdir()} == {"a.txt": "one, again", "c.txt": "mine", "d.txt": ""}
    (folder / "b.txt").write_text("one")
    with pytest.raises(ZeroDivisionError):
        write_folder(folder, lambda part: 1 / 0, marks)  # type: ignore[arg-type, return-value]
    assert leftovers(folder) == ["a.txt", "b.txt", "c.txt", "d.txt"]


@pytest.mark.parametrize("stop", [KeyboardInterrupt(), OSError(28, "No space left on device"), RuntimeError("bug")])
@pytest.mark.parametrize("there", [True, False])
def test_what_stops_half_way_leaves_the_folder_as_it_was(tmp_path, stop, there):
    """Ctrl-C after the first of two files: the old results are whole, and no hidden folder is left."""
    folder = tmp_path / "results"
    if there:
        folder.mkdir()
        (folder / "a.txt").write_text("old")

    def half(part):
        (part / "a.txt").write_text("new")
        raise stop

    with pytest.raises((type(stop), OutputError)):
        write_folder(folder, half)
    assert leftovers(tmp_path) == (["results"] if there else [])
    assert not there or leftovers(folder) == ["a.txt"]
    assert not there or (folder / "a.txt").read_text() == "old"
