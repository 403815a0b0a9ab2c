"""`ladderfe picture --unrolled` and the drawings among the results: what is written, what is refused beforehand."""

from xml.etree import ElementTree

import pytest

from ladderfe.cli.main import run
from ladderfe.report.files import PNG


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        return status, *capsys.readouterr()

    return call


@pytest.fixture
def mine(plain_file, tmp_path):
    """A chassis file and readings of one's own."""
    (tmp_path / "my.toml").write_text(plain_file.read_text())
    readings = tmp_path / "r & <s>.csv"
    readings.write_text("side,station,wall,reading,to,rim\nleft,700,top,1.2,,\nleft,900,bottom,hole,920,\n")
    return tmp_path / "my.toml", readings


@pytest.fixture
def nothing_calculated(monkeypatch):
    monkeypatch.setattr("ladderfe.cli.picture.check", lambda *a, **k: pytest.fail("calculated"))


@pytest.mark.usefixtures("nothing_calculated")
class TestReadings:
    """Readings are drawn without a solution."""

    def test_png_beside_the_chassis_file(self, ladderfe, mine):
        file, readings = mine
        status, out, err = ladderfe("picture", file, "--unrolled", "--readings", readings)
        target = file.with_name("my-unrolled.png")
        assert (status, err) == (0, "")
        assert out.startswith(f"{target}: walls as found, rails unrolled\n")
        assert "ASSUMED" in out
        assert target.read_bytes().startswith(PNG)

    def test_svg_with_escaped_text(self, ladderfe, mine, tmp_path):
        file, readings = mine
        target = tmp_path / "walls.svg"
        assert ladderfe("picture", file, target, "--unrolled", "--show", "readings", "--readings", readings)[0] == 0
        text = " ".join(ElementTree.parse(target).getroot().itertext())
        assert "r & <s>.csv" in text
        assert "ASSUMED" in text

    @pytest.mark.parametrize("name", ["walls.svg", "walls.png"])
    def test_no_file_is_overwritten_unasked(self, ladderfe, mine, tmp_path, name):
        """Nor asked, where it is none of the same kind."""
        file, readings = mine
        target = tmp_path / name
        target.write_text("mine")
        for more in ((), ("--overwrite",)):
            status, _, err = ladderfe("picture", file, target, "--unrolled", "--readings", readings, *more)
            assert status == 2
            assert str(target) in err
            assert target.read_text() == "mine"
        target.unlink()
        for more in ((), ("--overwrite",)):
            assert ladderfe("picture", file, target, "--unrolled", "--readings", readings, *more)[0] == 0

    @pytest.mark.parametrize(
        ("args", "words"),
        [
            (("w.txt", "--unrolled", "--readings", "R"), "w.txt: unrolled rails are written as PNG or SVG files. "
             "Name it w.png or w.svg."),
            (("w.png", "--unrolled"), "--unrolled goes with --readings FILE.csv."),
            (("w.png", "--show", "readings", "--readings", "R"), "--show goes with --unrolled."),
            (("w.png", "--unrolled", "--window", "--readings", "R"), "do not go with --unrolled"),
            (("w.png", "--unrolled", "--case", "static", "--readings", "R"), "do not go with --unrolled"),
            (("w.png", "--unrolled", "--colour", "utilisation", "--readings", "R"), "do not go with --unrolled"),
            (("w.svg", "--readings", "R"), "pictures are written as PNG files"),
        ],
    )  # fmt: skip
    def test_refused_beforehand(self, ladderfe, mine, tmp_path, monkeypatch, args, words):
        file, readings = mine
        monkeypatch.chdir(tmp_path)
        status, _, err = ladderfe("picture", file, *(readings if a == "R" else a for a in args))
        assert status == 2
        assert words in " ".join(err.split())
        assert not list(tmp_path.glob("w.*"))


def test_utilisation_is_drawn_as_found(ladderfe, mine, tmp_path):
    file, readings = mine
    target = tmp_path / "use.svg"
    status, out, _ = ladderfe("picture", file, target, "--unrolled", "--show", "utilisation", "--readings", readings)
    assert status == 0
    assert f"{target}: greatest utilisation of all cases, as found, rails unrolled" in out
    assert "Greatest utilisation of all cases" in target.read_text()


def test_results_hold_both_drawings(ladderfe, mine, tmp_path):
    file, readings = mine
    status, out, _ = ladderfe("check", file, "--quick", "--readings", readings, "--out", tmp_path / "o")
    assert status in (0, 1)
    for show in ("readings", "utilisation"):
        assert (tmp_path / "o" / f"unrolled-{show}.png").read_bytes().startswith(PNG)
        assert (tmp_path / "o" / f"unrolled-{show}.svg").read_bytes().startswith(b"<svg")
        assert f"unrolled-{show}.svg" in out
