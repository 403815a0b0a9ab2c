"""Pictures: colours can be read back, what is in front hides what is behind, words are there and keep clear."""

import os
import re
import stat
import subprocess
import sys
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from ladderfe.errors import ModelError
from ladderfe.report import wash
from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import Scale
from ladderfe.report.labels import Box
from ladderfe.report.pictures import PLAIN_NOTE, draw
from ladderfe.report.scene import Load, Name
from ladderfe.report.wash import Sheet, by_numpy
from ladderfe.report.zeros import PICTURE_ZERO

SIZE = (900, 520)
# Walls that the eye sees from ahead, the left and above: outer side and top of the left rail, inner side of the right.
SEEN = [("left rail", "minus", 1250.0), ("left rail", "top", 350.0), ("right rail", "minus", 1650.0)]


def bare(scene):
    """The walls alone, one value to a wall (rising rearward from -90 to 110 N/mm2), nothing drawn over them."""
    flat = -90 + np.repeat(scene.quads[..., 0].mean(axis=1, keepdims=True), 4, axis=1) / 20
    return replace(scene, values=flat, loads=(), supports=(), stations=())


def wall_at(scene, part, wall, station):
    """Number of the wall of that part whose middle is nearest to a station."""
    middle = scene.quads[..., 0].mean(axis=1)
    own = [p == part and w == wall for p, w in zip(scene.parts, scene.walls, strict=True)]
    return int(np.where(own, np.abs(middle - station), np.inf).argmin())


@pytest.fixture(scope="module", params=["opengl if it works", "plain"])
def way(request):
    """Both ways of drawing; on a machine without OpenGL the first falls back to the second."""
    before = os.environ.pop("LADDERFE_PICTURES", None)
    if request.param == "plain":
        os.environ["LADDERFE_PICTURES"] = "plain"
    yield request.param
    os.environ.pop("LADDERFE_PICTURES", None)
    if before is not None:
        os.environ["LADDERFE_PICTURES"] = before


@pytest.fixture(scope="module")
def drawn(way, ladder, tmp_path_factory):
    """The invented ladder frame, drawn: its scene, the answer, the pixels."""
    scene = bare(ladder)
    info = draw(scene, tmp_path_factory.mktemp("pictures") / "ladder.png", SIZE)
    return scene, info, np.asarray(Image.open(info.path).convert("RGB")).astype(int)


@pytest.fixture
def plain(monkeypatch):
    monkeypatch.setenv("LADDERFE_PICTURES", "plain")


def test_colours_read_back(drawn):
    """The pixel in the middle of each of three walls has the map's colour of its value (2 of 255: rounding twice)."""
    scene, info, pixels = drawn
    seen = []
    for place in SEEN:
        wall = wall_at(scene, *place)
        x, y = np.floor(info.project(scene.drawn[wall].mean(axis=0))).astype(int)
        expected = info.scale.colours(scene.values[wall, 0]).astype(int)
        assert np.abs(pixels[y, x] - expected).max() <= 2, place
        seen.append(tuple(expected))
    assert len(set(seen)) == 3


def test_answer_tells_what_was_drawn(way, drawn):
    """Size and extremes are those of the scene; the fallback names the packages in one line, the other says nothing."""
    scene, info, pixels = drawn
    assert pixels.shape == (SIZE[1], SIZE[0], 3)
    assert (info.lowest, info.highest) == (scene.values.min(), scene.values.max())
    assert (info.renderer, info.note) in [("plain", PLAIN_NOTE), *([("pyvista", "")] if way != "plain" else [])]
    assert "\n" not in PLAIN_NOTE


def test_both_ways_give_the_same_walls(ladder):
    """The image by OpenGL, where it works, is that of the depth buffer in numpy: all but edges, within 3 of 255."""
    from ladderfe.report.drawing import Layout
    from ladderfe.report.pictures import _sheet

    scale, layout = Scale.of(ladder), Layout.of(ladder, SIZE)
    sheet = replace(_sheet(ladder, scale, layout), edges=np.zeros((0, 2, 3)))
    ours = by_numpy(sheet).astype(int)
    theirs = wash.by_opengl(sheet)
    theirs = ours if theirs is None else theirs.astype(int)
    differs = np.abs(ours - theirs).max(axis=-1) > 3
    assert (ours[..., 3] > 0).mean() > 0.05
    assert differs.mean() < 1e-3  # single pixels along outlines, where the two round differently


def _square(depth, value, left=10.0, right=30.0):
    corners = np.array([(left, 10, depth), (right, 10, depth), (right, 30, depth), (left, 30, depth)])
    return np.array([corners[[0, 1, 2]], corners[[0, 2, 3]]]), np.full((2, 3), value)


@pytest.mark.parametrize("order", [1, -1])
def test_nearer_walls_hide_farther_ones(order, magnitude):
    """Two squares one behind the other, entered in either order: the nearer is seen where they overlap."""
    scale = Scale.of(magnitude)
    parts = [_square(0.0, scale.low), _square(5.0, scale.high, 20.0, 40.0)][::order]
    sheet = Sheet(
        triangles=np.concatenate([p[0] for p in parts]), values=np.concatenate([p[1] for p in parts]),
        edges=np.zeros((0, 2, 3)), size=(50, 40), table=scale.table, low=scale.low, high=scale.high,
    )
    image = by_numpy(sheet)
    assert tuple(image[20, 15, :3]) == tuple(scale.table[0])
    assert tuple(image[20, 25, :3]) == tuple(image[20, 38, :3]) == tuple(scale.table[-1])
    assert image[..., 3].sum() / 255 == 30 * 20  # pixels covered: both squares, overlap once
    assert image[5, 5, 3] == 0


def test_values_run_linearly_across_a_triangle(magnitude):
    """In the middle of a triangle stands the mean of its corner values."""
    scale = Scale.of(magnitude)
    corners = np.array([[(0.0, 0, 0), (90, 0, 0), (0, 90, 0)]])
    values = np.array([[scale.low, scale.low, scale.high]])
    sheet = Sheet(triangles=corners, values=values, edges=np.zeros((0, 2, 3)), size=(90, 90), table=scale.table,
                  low=scale.low, high=scale.high)
    seen = by_numpy(sheet)[30, 30, :3].astype(int)
    expected = scale.colours(scale.low + (scale.high - scale.low) * 30.5 / 90).astype(int)
    assert np.abs(seen - expected).max() <= 2  # a pixel spans 1/90 of the map


def _sheet_of_one(scene):
    """A sheet with one square."""
    square, values = _square(0.0, 1.0)
    return Sheet(triangles=square, values=values, edges=np.zeros((0, 2, 3)), size=(50, 40),
                 table=Scale.of(scene).table, low=0.0, high=1.0)


def _stub(tmp_path, body):
    """A program that takes the interpreter's place."""
    program = tmp_path / "python-stub"
    program.write_text("#!/bin/sh\n" + body + "\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    return str(program)


ENDINGS = {"crash": "kill -SEGV $$", "error": "exit 1", "nothing": "exit 0", "hang": "exec sleep 5"}


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_child_that_ends_badly_gives_no_image(ending, ladder, tmp_path, monkeypatch):
    """OpenGL that crashes, refuses, draws nothing or hangs: the answer is None, and nothing is raised."""
    monkeypatch.setenv("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    monkeypatch.setattr(sys, "executable", _stub(tmp_path, ENDINGS[ending]))
    monkeypatch.setattr(wash, "PATIENCE", 0.3)
    assert wash.by_opengl(_sheet_of_one(ladder)) is None


def test_without_opengl_there_is_a_picture_and_one_line(ladder, tmp_path, monkeypatch):
    """A child that crashes leads to the plain way and a note that names the packages."""
    monkeypatch.delenv("LADDERFE_PICTURES", raising=False)
    monkeypatch.setattr(sys, "executable", _stub(tmp_path, "kill -SEGV $$"))
    info = draw(bare(ladder), tmp_path / "a.png", (480, 320))
    assert (info.renderer, info.note) == ("plain", PLAIN_NOTE)
    assert info.path.stat().st_size > 5000


def test_no_library_no_child(ladder, monkeypatch):
    """Where no OpenGL library can be loaded, no child is started at all."""
    monkeypatch.delenv("VTK_DEFAULT_OPENGL_WINDOW", raising=False)
    monkeypatch.setattr(wash, "WINDOWS", (("libnothing.so.9", "x"),))
    monkeypatch.setattr(wash.subprocess, "run", lambda *a, **k: pytest.fail("a child was started"))
    assert wash.by_opengl(_sheet_of_one(ladder)) is None


@pytest.fixture
def written(monkeypatch):
    """Words that are written on the sheet from now on, with their boxes."""
    return listened(monkeypatch)


def listened(patch):
    kept = []
    write = Canvas.write

    def keep(self, words, *args, **kwargs):
        box = write(self, words, *args, **kwargs)
        kept.append((words, box))
        return box

    patch.setattr(Canvas, "write", keep)
    return kept


@pytest.fixture(scope="module")
def on_sheet(tmp_path_factory):
    """Draws a scene without OpenGL, of one size once: the answer, and the words that are written, with their boxes."""
    folder, known = tmp_path_factory.mktemp("sheets"), {}

    def shown(scene, size=SIZE):
        key = (id(scene), size)
        if key not in known:
            with pytest.MonkeyPatch.context() as patch:
                patch.setenv("LADDERFE_PICTURES", "plain")
                words = listened(patch)
                known[key] = scene, draw(scene, folder / f"{len(known)}.png", size), words  # the scene: it keeps its id
        return known[key][1:]

    return shown


def test_words_on_the_sheet(ladder, on_sheet):
    """Chassis, case, what is shown, magnification, extremes as printed, stations, supports and loads are all there."""
    info, written = on_sheet(ladder)
    words = [w for w, _ in written]
    for expected in [
        "Short 4x4, box rails", "static laden: normal stress", "deflection × 40, greatest 3.7 mm, " + PICTURE_ZERO,
        ladder.text(ladder.lowest), ladder.text(ladder.highest), "0", "500", "4000", "front spring, left 5.21 kN",
        "engine 1.96 kN", "3.26 N/mm",
    ]:
        assert expected in words, expected
    assert info.left_out == ()


@pytest.mark.parametrize("size", [(1400, 800), (700, 420)])
def test_words_do_not_overlap(size, utilisation, on_sheet):
    """No two words on the sheet overlap, and none leaves it."""
    _, written = on_sheet(utilisation, size)
    sheet = Box(0, 0, *size)
    stations = {f"{s:.0f}" for s in utilisation.stations}
    kept = [(w, b) for w, b in written if w not in stations]  # stations that found no room were taken off again
    for word, box in kept:
        assert sheet.left <= box.left, word
        assert sheet.top <= box.top, word
        assert box.right <= sheet.right, word
        assert box.bottom <= sheet.bottom, word
    for (one, a), (two, b) in combinations(kept, 2):
        assert not a.meets(b), (one, two)


def test_utilisation_over_100_per_cent_has_a_second_sign(plain, utilisation, tmp_path, written):
    """The legend says "over", and each part over its limit is named with its value."""
    draw(replace(utilisation, values=1.2 * utilisation.values), tmp_path / "a.png", SIZE)
    words = [w for w, _ in written]
    assert {"100 %", "over limit", "over its limit", "136.5 %", "7.8 %"} <= set(words)  # 120.1 of 88 N/mm2: conftest
    assert any(re.fullmatch(r"left rail 1\d\d\.\d %", w) for w in words)
    assert any(w.startswith("greatest 136.5 %\nright rail") for w in words), "that rail has its words there"


@pytest.mark.parametrize("top", [0.26, 0.97, 1.02, 1.6, 3.0])
def test_extremes_stand_at_their_places_on_the_scale(plain, utilisation, tmp_path, written, monkeypatch, top):
    """The pointer of the greatest is at its height among the bands (six of them, equally high, the last open upward),
    and its words are not farther off than the limit's words need."""
    tips = []
    area = Canvas.area
    monkeypatch.setattr(Canvas, "area", lambda self, p, *a, **k: (tips.append(p), area(self, p, *a, **k))[1])
    values = utilisation.values / utilisation.highest * top
    info = draw(replace(utilisation, values=values, loads=()), tmp_path / "a.png", SIZE)
    boxes = dict(written)
    bar = next(p for p in tips if p.shape == (4, 2) and p[:, 0].min() == info.layout.legend.left)  # lowest band
    each = np.ptp(bar[:, 1])
    at = bar[:, 1].max() - each * np.interp(top, (0, 0.25, 0.5, 0.75, 1, 1.5, 2), range(7))
    pointers = [p for p in tips if p.shape == (3, 2) and abs(p[0, 0] - bar[:, 0].max()) < 2]
    assert any(abs(p[0, 1] - at) < 0.01 for p in pointers)
    words = boxes[f"{100 * top:.1f} %"]
    assert abs(words.top - at) < 28 * info.layout.k
    assert not any(a.meets(b) for a, b in combinations([b for w, b in written if b.left > info.layout.legend.left], 2))


def test_the_ring_at_the_greatest_is_whole(utilisation, on_sheet):
    """Dark all around, whatever words, arrows and walls lie there (the sheet's ink on a white rim)."""
    info, _ = on_sheet(utilisation, (1400, 800))
    mark = utilisation.marked()[0]
    x, y = info.project(utilisation.drawn[mark.wall, mark.corner])
    pixels = np.asarray(Image.open(info.path).convert("L")).astype(int)
    turns = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    around = [(x + 6 * info.layout.k * np.cos(t), y + 6 * info.layout.k * np.sin(t)) for t in turns]
    dark = [pixels[round(v) - 1 : round(v) + 2, round(u) - 1 : round(u) + 2].min() < 110 for u, v in around]
    assert all(dark)


def test_words_keep_off_the_walls(plain, ladder, tmp_path, written):
    """No label lies on walls by more than a tenth: there is room beside the frame, and leaders lead there."""
    from ladderfe.report.drawing import Layout
    from ladderfe.report.pictures import _sheet

    draw(ladder, tmp_path / "a.png", (1400, 800))
    covered = by_numpy(_sheet(ladder, Scale.of(ladder), Layout.of(ladder, (1400, 800))))[..., 3] > 0
    for words, box in written:
        x0, x1, y0, y1 = (round(v) for v in (box.left, box.right, box.top, box.bottom))
        assert covered[y0:y1, x0:x1].mean() < 0.1, words


def test_spring_seats_are_no_triangles(plain, utilisation, tmp_path, monkeypatch):
    """Filled triangles are for what is over its limit; where the frame is carried stands a spring on hatched ground."""
    from ladderfe.report import drawing

    seats, over = [], []
    monkeypatch.setattr(drawing, "spring_seat", lambda *a: seats.append(a))
    monkeypatch.setattr(drawing, "over", lambda *a: over.append(a))
    draw(replace(utilisation, values=1.2 * utilisation.values, loads=()), tmp_path / "a.png", SIZE)
    assert len(seats) == len(utilisation.supports) == 4
    assert len(over) == 2


class Strokes:
    """A canvas that keeps the lines drawn on it."""

    def __init__(self):
        self.lines = []

    def line(self, points, *_, **__):
        self.lines.append(points)


def test_a_hanging_spring_has_no_ground(plain, ladder, on_sheet, tmp_path, written):
    """Lines that are level or below the spring's end are the ground and its hatches; the key tells both signs."""
    from ladderfe.report.signs import SPRING, spring_seat

    def low(hangs):
        canvas = Strokes()
        spring_seat(canvas, np.zeros(2), 1.0, hangs)
        assert canvas.lines, "the spring itself"
        return [p for p in canvas.lines if p[:, 1].min() >= SPRING]

    assert low(False)
    assert not low(True)
    first, *others = ladder.supports
    assert "hanging spring" not in {w for w, _ in on_sheet(ladder)[1]}
    written.clear()
    draw(replace(ladder, supports=(replace(first, hangs=True), *others), loads=()), tmp_path / "b.png", SIZE)
    assert {"spring seat", "hanging spring"} <= {w for w, _ in written}
    written.clear()
    draw(replace(ladder, supports=(replace(first, hangs=True),), loads=()), tmp_path / "c.png", SIZE)
    assert "spring seat" not in {w for w, _ in written}


def test_the_key_has_the_signs_that_are_there(plain, ladder, on_sheet, tmp_path, written):
    words = {w for w, _ in on_sheet(ladder)[1]}
    assert {"spring seat", "weight of a mass", "weight along the rails", "greatest and lowest", "at rest"} <= words
    written.clear()
    draw(replace(ladder, supports=(), loads=(), magnification=0.0), tmp_path / "b.png", SIZE)
    assert not {"spring seat", "weight of a mass", "weight along the rails", "at rest"} & {w for w, _ in written}


def test_names_of_sides_are_written_and_those_of_parts_where_there_is_room(plain, ladder, tmp_path, written):
    """A hundred crossmembers of one name at one place: some of them find no room and are left out, and it is said."""
    names = [Name((1200.0, 0.0, 600.0), "gearbox crossmember")] * 100
    sides = [Name((0.0, y, 600.0), words, "side") for y, words in ((-380.0, "LEFT RAIL"), (380.0, "RIGHT RAIL"))]
    info = draw(replace(ladder, names=(*names, *sides)), tmp_path / "a.png", SIZE)
    words = [w for w, _ in written]
    assert {"LEFT RAIL", "RIGHT RAIL"} <= set(words)
    assert 0 < words.count("gearbox crossmember") < 100
    assert info.left_out.count("gearbox crossmember") == 100 - words.count("gearbox crossmember")


def test_walls_that_were_not_checked_are_grey_and_said_to_be(plain, ladder, tmp_path, written):
    """Walls with nan are grey; the legend says "not checked" and keeps its ends."""
    scene = bare(ladder)
    wall = wall_at(scene, *SEEN[0])
    scene.values[wall] = np.nan
    info = draw(scene, tmp_path / "a.png", SIZE)
    pixels = np.asarray(Image.open(info.path).convert("RGB"))
    x, y = np.floor(info.project(scene.drawn[wall].mean(axis=0))).astype(int)
    assert tuple(pixels[y, x]) == (0xD5, 0xD9, 0xDB)
    assert "not checked" in [w for w, _ in written]


def test_cases_differ_and_repeat(plain, ladder, magnitude, tmp_path):
    """The same scene gives the same bytes; another value another picture."""
    scenes = [bare(ladder), bare(ladder), replace(magnitude, loads=(), supports=())]
    one, again, other = (draw(s, tmp_path / f"{i}.png", (480, 320)).path.read_bytes() for i, s in enumerate(scenes))
    assert one == again
    assert one != other


def test_symbols_in_titles_are_written_as_they_are(plain, ladder, tmp_path, written):
    """Dollar signs and brackets are letters, not formulas; a title too long for the sheet is cut short."""
    draw(replace(bare(ladder), title="$x_{2 " * 60, case="a < b & c"), tmp_path / "a.png", SIZE)
    title = written[0][0]
    assert title.startswith("$x_{2 ")
    assert title.endswith("…")


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ({"values": np.zeros((3, 4))}, "values has shape (3, 4)"),
        ({"parts": ("left rail",)}, "1 part names"),
        ({"displacements": np.full((464, 4, 3), np.nan)}, "a corner is not a number"),
    ],
)
def test_scene_refuses_what_does_not_match(ladder, change, problem):
    """A scene whose arrays do not match says which."""
    with pytest.raises(ModelError) as caught:
        replace(ladder, **change)
    assert problem in str(caught.value)


def test_load_refuses_what_does_not_match():
    """Points and vectors of a load go together."""
    with pytest.raises(ModelError, match="do not match"):
        Load(points=np.zeros((2, 3)), vectors=np.zeros((3, 3)))


def test_report_room_starts_light():
    """Importing what `check` needs of this room brings in none of the drawing libraries."""
    code = (
        "import sys, ladderfe.report.pictures, ladderfe.report.vtu, ladderfe.report.window, ladderfe.report.files;"
        "print([m for m in ('pyvista', 'vtk', 'vtkmodules', 'matplotlib', 'meshio', 'jinja2') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
