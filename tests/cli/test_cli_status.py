"""Commands: exit status, what is printed where, messages whole; by the function behind `ladderfe`, in this process."""

import contextlib
import io
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from ladderfe.cli.main import COMMANDS, run

FINDINGS = ("Governing stresses", "Rails: greatest moment", "Movements", "Load cases", "Wheel loads")


@pytest.fixture
def file(tmp_path, plain_file):
    """Copy of the test frame's file that a test may change: file(old, new, ...) replaces text and gives the path."""

    def changed(*pairs, source=plain_file):
        text = source.read_text()
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new, 1)
        path = tmp_path / "frame.toml"
        path.write_text(text)
        return str(path)

    return changed


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return status, out, err

    return call


def test_within_all_limits_is_status_0(ladderfe, plain_file):
    status, out, err = ladderfe("check", plain_file, "--quick")
    assert (status, err) == (0, "")
    for words in FINDINGS:
        assert words in out
    assert "Self-check: 10 of 10 proofs hold" in out
    assert "Cautions" in out
    assert " OVER" not in out


def test_over_a_limit_is_status_1_and_says_what_to_do_next(ladderfe, file):
    path = file(("[material]", "[criteria]\nbending = 30\nshear = 100\n\n[material]"))
    status, out, err = ladderfe("check", path, "--quick")
    assert (status, err) == (1, "")
    flat = " ".join(out.split())
    row = re.search(
        r"(\d+\.\d) % OVER left rail 3318 bottom, outer edge bending -(\d+\.\d) of 30 rear axle bounce", flat
    )
    assert row
    ratio, stress = map(float, row.groups())
    assert ratio / 100 == pytest.approx(stress / 30, abs=0.05 / 30 + 0.0005)  # both are rounded to 0.1
    assert f"OVER its limit: -{stress} against 30 N/mm2 in the left rail at 3318 mm (bottom, rear axle bounce)." in flat
    assert "Next: correct the file if a size or a load in it is wrong, measure the wall there" in flat


def test_a_self_check_that_falls_short_is_status_3_without_findings(ladderfe, plain_file, monkeypatch):
    """A spring force that is a thousandth too large, on purpose."""
    import ladderfe.checks.findings as room

    real = room.solve_chassis

    def wrong(*a, **k):
        s = real(*a, **k)
        return replace(s, support_forces=s.support_forces * 1.001)

    monkeypatch.setattr(room, "solve_chassis", wrong)
    status, out, err = ladderfe("check", plain_file, "--quick")
    assert (status, err) == (3, "")
    for words in FINDINGS:
        assert words not in out
    assert "SHORT  what was weighed comes out again" in out
    flat = " ".join(out.split())
    assert flat.startswith("Test frame for closed forms")
    assert (
        "The self-check fell short (equilibrium of every case, six directions, axle reactions by the lever rule" in flat
    )
    assert "so no findings are printed. Please report the chassis file." in flat

    status, out, _ = ladderfe("check", plain_file, "--quick", "--json")
    document = json.loads(out)
    assert status == 3
    assert document["proven"] is False
    assert document["greatest utilisation"] is None
    tables = {"utilisations", "resultants", "stresses", "movements", "reactions", "beside the hand calculation"}
    assert not tables & set(document)
    assert "self-check" in document

    status, out, _ = ladderfe("hand", plain_file)
    assert status == 3
    assert "Beside the whole frame" not in out

    status, out, err = ladderfe("picture", plain_file, plain_file.with_name("never.png"))
    assert (status, out) == (3, "")
    assert "fell short" in err
    assert not plain_file.with_name("never.png").exists()


def test_nothing_is_written_when_the_self_check_falls_short(ladderfe, plain_file, tmp_path, monkeypatch):
    import ladderfe.checks.selfcheck as room

    monkeypatch.setattr(room, "PRISMATIC_LIMIT", -1.0)
    status, _, _ = ladderfe(
        "check", plain_file, "--quick", "--out", tmp_path / "results", "--picture", tmp_path / "p.png"
    )
    assert status == 3
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_used_is_status_2(ladderfe, file):
    path = file(("rate = 30", "rate = 0"))
    status, out, err = ladderfe("check", path)
    assert (status, out) == (2, "")
    line = Path(path).read_text().split("rate = 0")[0].count("\n") + 1
    assert err == (
        f'{path}:{line}: axle "front", rate: must be more than 0 N/mm (got 0). A number without a unit is in N/mm; '
        'another unit goes in quotes, as in "170 lbf/in".\n'
    )


def test_three_problems_are_told_at_once_and_counted(ladderfe, file):
    path = file(("rate = 30", "rate = -1"), ("track = 1480", "trak = 1480"), ("depth = 150", "depth = 3"))
    status, out, err = ladderfe("check", path)
    assert (status, out) == (2, "")
    *problems, last = err.splitlines()
    assert len(problems) >= 3
    assert all(p.startswith(f"{path}:") for p in problems)
    assert last == f"{len(problems)} problems; nothing was calculated."


def test_a_line_load_that_turns_negative_is_one_sentence(ladderfe, file):
    """The rear axle weighed with 100 kg more than its own mass: nothing for the frame, engine in front."""
    path = file(("load = 1553.534", "load = 175"))
    status, out, err = ladderfe("check", path)
    assert (status, out) == (2, "")
    # 1063.449 and 5 kg on the springs: by Cramer's rule over two halves of 2079 mm, per rail
    front, rear = 1063.449, 5.0
    share = [(1039.5 - 778) / 2540, (3118.5 - 778) / 2540]
    behind = (rear - share[0] * (front + rear)) / (share[1] - share[0])
    first, *rest = err.splitlines(keepends=True)
    weighed = [k for k, line in enumerate(Path(path).read_text().splitlines(), 1) if line.startswith("load = ")]
    assert first == (
        f"{path}:{weighed[0]} (front axle), {path}:{weighed[1]} (rear axle): "
        f"body line load, left rail: comes out negative ({behind / 2 / 2.079:.0f} kg/m) at the rear: that end was "
        "weighed too light for the masses listed there (none listed there), its unsprung mass and the frame itself (0 "
        "kg in all), or the other end too heavy. Check the weighed loads of both axles (front 1223.45 kg and rear 175 "
        "kg), which masses were aboard, their places and the unsprung mass.\n"
    )
    assert "".join(rest).startswith(f"Looks unusual in {path}:\n  rear axle, load: 175 kg, usual 200 to 6000 kg; ")


def test_a_mechanism_is_named_in_words(ladderfe, file):
    """A crossmember that is free to spin about its own axis at both ends."""
    path = file(('name = "second"\n', 'name = "second"\njoint = { ry = "free" }\n'))
    for command in ("check", "hand", "picture"):
        status, _, err = ladderfe(command, path)
        assert status == 2
        assert err == (
            "crossmember second, left end: free to rotate about y: nothing holds it, so the frame is a mechanism. "
            "Connect the part to the rest of the frame, or give the joint a stiffness in that direction.\n"
        )


def test_rails_that_can_slide_apart_are_named(ladderfe, file):
    """Every crossmember free along y at the right: nothing keeps the rails at their distance."""
    names = ("front", "second", "third", "rear")
    path = file(*((f'name = "{n}"\nstation', f'name = "{n}"\njoint_right = {{ y = "free" }}\nstation') for n in names))
    status, _, err = ladderfe("check", path, "--quick")
    assert status == 2
    assert err == (
        "crossmember front, right end: free to move sideways (y): nothing holds it, so the frame is a mechanism. "
        "Connect the part to the rest of the frame, or give the joint a stiffness in that direction.\n"
    )


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("chek", "x.toml"), "Error: There is no command 'chek'. Did you mean check?"),
        (("fly",), "Error: There is no command 'fly'. Commands are "),
        (("check",), "Error: Missing argument 'CHASSIS.toml'."),
        (("check", "x.toml", "--jason"), "Error: No such option '--jason'. Did you mean '--json'?"),
        (("picture", "x.toml", "--magnify", "nan"), "Error: Invalid value for '--magnify': nan is no number to reckon"),
        (("picture", "x.toml", "--magnify", "inf"), "Error: Invalid value for '--magnify': inf is no number to reckon"),
        (("picture", "x.toml", "--colour", "red"), "Error: Invalid value for '--colour': 'red' is not one of "),
        (("margin", "x.toml", "--case", "bounce", "--case", "static"), "Error: --case is given 2 times; it takes one "),
        (("check", "--pool", "300", "x.toml", "--pool=200"), "Error: --pool is given 2 times; it takes one value."),
    ],
)
def test_what_the_command_line_cannot_use_is_status_2(ladderfe, args, words):
    status, out, err = ladderfe(*args)
    assert (status, out) == (2, "")
    # click words its own complaints a little differently from version to version: quotes and the colon
    plain = err.replace("No such option: --jason", "No such option '--jason'.").replace(
        "Did you mean --json?", "Did you mean '--json'?"
    )
    assert words in " ".join(plain.split())


def test_a_file_that_is_not_there(ladderfe, plain_file):
    near = plain_file.with_name("test-frme.toml")
    status, out, err = ladderfe("check", near)
    assert (status, out) == (2, "")
    meant = plain_file
    assert err == f'{near}: file: does not exist. Did you mean "{meant}"? Otherwise check its name and folder.\n'


@pytest.mark.parametrize("columns", ["80", "100"])
@pytest.mark.parametrize("command", list(COMMANDS))
def test_help_of_every_command_has_an_example(ladderfe, command, columns, monkeypatch):
    """One line for each example, as it is typed, whatever the terminal's width; no line is wider."""
    monkeypatch.setenv("COLUMNS", columns)
    status, out, _ = ladderfe(command, "--help")
    assert status == 0
    assert f"\n  Examples:\n    ladderfe {command}" in out
    assert "\b" not in out
    assert r"\b" not in out
    assert all(len(line) <= int(columns) for line in out.splitlines())


def test_help_lists_the_commands_and_the_statuses(ladderfe):
    status, out, _ = ladderfe("--help")
    assert status == 0
    for name in COMMANDS:
        assert f"\n  {name} " in out
    flat = " ".join(out.split())
    assert "0 all within limits, 1 something exceeds a limit, 2 the input cannot be used or the output cannot" in flat
    assert "3 the self-check fell short, 130 stopped by Ctrl-C" in flat


def test_schema_is_json(ladderfe):
    status, out, _ = ladderfe("schema")
    assert status == 0
    assert "rails" in json.loads(out)["properties"]


def test_hand_alone_and_beside(ladderfe, plain_file):
    status, alone, _ = ladderfe("hand", plain_file, "--alone")
    assert status == 0
    assert "Beside the whole frame" not in alone
    status, both, _ = ladderfe("hand", plain_file)
    assert status == 0
    page, cautions = alone.split("\nCautions\n")
    assert both.startswith(page.rstrip("\n"))
    assert both.endswith(cautions)
    rows = [line for line in both.splitlines() if line.startswith("greatest sagging moment")]
    assert rows[-1].split()[3:8] == ["2.717", "2.717", "2.717", "kN", "m"]


def test_hand_over_a_limit_is_status_1(ladderfe, file):
    path = file(("[material]", "[criteria]\nbending = 60\n\n[material]"))
    status, _, _ = ladderfe("hand", path, "--alone")
    assert status == 1


# --- result files -------------------------------------------------------------------------------------------------


@pytest.fixture
def sketched(monkeypatch):
    """Pictures take no time: a few bytes stand for each, written like a real one."""
    import ladderfe.report.pictures as room
    from ladderfe.report.files import PNG, write_whole

    def draw(scene, path, size=(1, 1), *, overwrite=False):
        write_whole(path, PNG + b"sketch", overwrite, PNG)
        return SimpleNamespace(lowest=scene.lowest, highest=scene.highest, note="")

    monkeypatch.setattr(room, "draw", draw)


@pytest.fixture(scope="module")
def drawn(plain_file, tmp_path_factory):
    """A folder with the results of the test frame, drawn the plain way and small, and what the command said."""
    from ladderfe.report.pictures import draw

    folder = tmp_path_factory.mktemp("cli") / "results"
    page = io.StringIO()
    with pytest.MonkeyPatch.context() as patch, contextlib.redirect_stdout(page):
        patch.setenv("LADDERFE_PICTURES", "plain")
        patch.setattr(draw, "__defaults__", ((420, 240),))
        status = run(["check", str(plain_file), "--quick", "--out", str(folder)])
    return folder, status, page.getvalue()


FILES = {
    "findings.txt", "hand.txt", "findings.json", "findings.xlsx", "frame.vtu", "utilisation.png", "von-mises.png",
    "utilisations.csv",
    "resultants.csv", "stresses.csv", "movements.csv", "reactions.csv", "wheel-loads.csv", "line-loads.csv",
    "mounts.csv", "joints.csv", "thin-walls.csv", "effective-walls.csv", "slender-webs.csv", "spring-seats.csv",
    "self-check.csv", "assumptions.csv", "load-cases.csv", "jacks-and-stands.csv", "link-forces.csv", "couples.csv",
    "envelope.csv", "rail-moments.csv", "sags.csv", "residuals.csv",
}  # fmt: skip


def test_results_are_where_the_command_says(drawn):
    folder, status, page = drawn
    assert status == 0
    assert {p.name for p in folder.iterdir()} == FILES
    told = page[page.index(f"Results in {folder}:") :]
    for name in FILES:
        assert f"  {name} " in told
    assert "  utilisation.png      utilisation in case 'rear axle bounce'\n" in told
    assert (folder / "findings.txt").read_text() == page[: page.index(f"\nResults in {folder}:")]


def test_results_are_not_overwritten_unasked(drawn, ladderfe, plain_file, tmp_path):
    """One picture that is there already keeps everything else from being written; other files do not matter."""
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "notes.txt").write_text("my notes")
    shutil.copy(drawn[0] / "von-mises.png", folder)
    before = (folder / "von-mises.png").read_bytes()
    status, _, err = ladderfe("check", plain_file, "--quick", "--out", folder)
    assert status == 2
    assert err == f"{folder}: holds results already (von-mises.png). Name another folder or add --overwrite.\n"
    assert {p.name for p in folder.iterdir()} == {"notes.txt", "von-mises.png"}
    assert (folder / "von-mises.png").read_bytes() == before


def test_several_results_that_are_there_are_named_in_short(drawn, ladderfe, plain_file):
    status, _, err = ladderfe("check", plain_file, "--quick", "--out", drawn[0])
    assert status == 2
    assert "holds results already (findings.txt, hand.txt, findings.json, ...)" in err


def test_overwrite_replaces_results_and_leaves_the_rest(sketched, drawn, ladderfe, plain_file, tmp_path):
    folder = tmp_path / "again"
    shutil.copytree(drawn[0], folder)
    (folder / "notes.txt").write_text("my notes")
    old = {p.name: p.stat().st_ino for p in folder.iterdir()}
    status, _, err = ladderfe("check", plain_file, "--quick", "--out", folder, "--overwrite")
    assert (status, err) == (0, "")
    assert [p.name for p in folder.iterdir() if p.stat().st_ino == old[p.name]] == ["notes.txt"]
    assert (folder / "notes.txt").read_text() == "my notes"
    assert "Test frame for closed forms" in (folder / "findings.txt").read_text()
    assert {p.name for p in folder.iterdir()} == FILES | {"notes.txt"}, "no part files are left"


def test_a_folder_that_is_a_file_is_told(ladderfe, plain_file, tmp_path):
    (tmp_path / "taken").write_text("")
    status, _, err = ladderfe("check", plain_file, "--quick", "--out", tmp_path / "taken")
    assert status == 2
    assert err.startswith(f"{tmp_path / 'taken'}")
    assert err.count("\n") == 1


def test_json_on_stdout_stays_json_when_files_are_written(sketched, ladderfe, plain_file, tmp_path):
    status, out, err = ladderfe("check", plain_file, "--quick", "--json", "--picture", tmp_path / "p.png")
    assert status == 0
    assert json.loads(out)["chassis"] == "Test frame for closed forms"
    assert f"{tmp_path / 'p.png'}: utilisation, case 'rear axle bounce', from 0.0 % to 61.3 %" in err


def test_picture_names_the_case_it_lacks(ladderfe, plain_file):
    status, _, err = ladderfe("picture", plain_file, "--case", "rear axle bouncing")
    assert status == 2
    assert "There is no case 'rear axle bouncing'. Did you mean 'rear axle bounce'?" in err
    status, _, err = ladderfe("picture", plain_file, "--case", "xyz")
    cases = ("as weighed", "static", "amplified", "front axle bounce", "rear axle bounce")
    assert f"Cases are: {', '.join(map(repr, cases))}." in " ".join(err.split())
