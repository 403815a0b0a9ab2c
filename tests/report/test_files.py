"""Files are written whole or not at all, and nothing of the user's is overwritten unasked."""

import os

import pytest

from ladderfe.report.files import OutputError, write_whole


def leftovers(folder):
    return sorted(p.name for p in folder.iterdir())


def test_new_file_in_a_new_folder(tmp_path):
    """Text is UTF-8; missing folders are made; the file has the rights that the user's umask gives."""
    path = write_whole(tmp_path / "a b" / "c" / "t.txt", "mm²\n")
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
    assert str(caught.value) == f"{path}: is there already. Choose another name, or ask for it to be overwritten."
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
    with pytest.raises(OutputError, match="cannot be written"):
        write_whole(tmp_path / "file" / "t.txt", b"")
