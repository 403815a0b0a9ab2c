"""`ladderfe tow`: statuses, options, what is printed where; by the function behind `ladderfe`."""

import json
from dataclasses import replace

import pytest

import ladderfe.cli.tow as room
from ladderfe.cli.main import COMMANDS, run


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return status, out, err

    return call


@pytest.fixture(scope="module")
def plain_limits(plain_file):
    from ladderfe.chassis import read_chassis

    return room.check_towing(read_chassis(plain_file))


@pytest.fixture
def studied(monkeypatch, plain_limits):
    """The limits of the test frame, made once; what was asked for is noted."""
    asked = {}

    def study(chassis, **options):
        asked.update(options)
        return plain_limits

    monkeypatch.setattr(room, "check_towing", study)
    return asked


def test_it_is_among_the_commands(ladderfe):
    assert COMMANDS["tow"] == "tow"
    status, out, _ = ladderfe("tow", "--help")
    words = " ".join(out.split())
    assert status == 0
    assert "--bounce F" in words
    assert "default: 0.8" in words


@pytest.mark.parametrize("name", ["test-frame", "short-4x4", "pick-up", "light-lorry"])
def test_the_gallery(ladderfe, demo_file, name):
    status, out, err = ladderfe("tow", demo_file.with_name(f"{name}.toml"))
    assert (status, err) == (0, "")
    assert "limits of towing" in out
    assert "Loads behind the rear axle" in out
    assert "proofs hold" in out
    assert max(map(len, out.splitlines())) <= 100


@pytest.mark.usefixtures("studied")
def test_json_instead_of_the_page(ladderfe, plain_file):
    status, out, err = ladderfe("tow", plain_file, "--json")
    assert (status, err) == (0, "")
    assert json.loads(out)["limits"][-1]["unit"] == "kg"


@pytest.mark.usefixtures("studied")
def test_options_reach_the_search(ladderfe, plain_file, studied):
    ladderfe("tow", plain_file, "--bounce", "3", "--factor", "2.5", "--grip", "0.6")
    assert (studied["nose"], studied["behind"], studied["grip"]) == (3.0, 2.5, 0.6)
    ladderfe("tow", plain_file)
    assert (studied["nose"], studied["behind"], studied["grip"]) == (None, None, 0.8)


@pytest.mark.parametrize(
    ("option", "value"),
    [("--bounce", "0.5"), ("--bounce", "nan"), ("--factor", "11"), ("--factor", "x"), ("--grip", "0"),
     ("--grip", "inf"), ("--grip", "nan")],
)  # fmt: skip
def test_what_cannot_be_reckoned_with_is_status_2(ladderfe, plain_file, option, value):
    status, out, err = ladderfe("tow", plain_file, option, value)
    assert (status, out) == (2, "")
    assert value in err


def test_a_file_that_is_not_there_is_status_2(ladderfe, tmp_path):
    status, out, err = ladderfe("tow", tmp_path / "none.toml")
    assert (status, out) == (2, "")
    assert "none.toml" in err


def test_a_mount_that_is_not_there_is_one_sentence_and_status_2(ladderfe, plain_file, monkeypatch):
    from ladderfe.chassis import Towing

    known = room.read
    monkeypatch.setattr(room, "read", lambda file: replace(known(file), towing=Towing(winch=("drum",))))
    status, out, err = ladderfe("tow", plain_file)
    assert (status, out) == (2, "")
    assert err == "towing, winch: there is no mount drum. Name one of the [[mounts]].\n"


def test_short_of_proof_is_status_3(ladderfe, plain_file, plain_limits, monkeypatch):
    short = replace(plain_limits, proofs=(replace(plain_limits.proofs[0], difference=0.1),))
    monkeypatch.setattr(room, "check_towing", lambda *a, **k: short)
    status, out, err = ladderfe("tow", plain_file)
    assert (status, err) == (3, "")
    assert "The self-check fell short" in " ".join(out.split())
    assert ladderfe("tow", plain_file, "--json")[0] == 3
