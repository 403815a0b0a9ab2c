"""Where the section changes: a channel of other walls, a box that goes over into a channel; against plain walls."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.elements import open_beam, racking_beam
from ladderfe.elements.open_beam import common_origin
from ladderfe.elements.transition import box_to_channel, channel_origin
from ladderfe.sections import Section, Wall, properties
from ladderfe.sections.flow import flow_of

E, NU = 205_000.0, 0.3
G = E / 2 / (1 + NU)
RIGID = 1e5 * G  # shear stiffness of cells that stand for Vlasov's section; leaves 1e-6


def corners_of(web, flange, height, level=0.0):
    """Upper flange's tip, web's corners, lower flange's tip."""
    y, z = np.array([flange, web, web, flange]), np.array([1, 1, -1, -1]) * height / 2
    return np.stack([y, z + level], axis=1)


def channel(chains, corners, t, length):
    """Open member on these mid-lines, its origin still to be set; sectorial coordinate at the web's upper corner and in
    its middle."""
    walls = [Wall(n, tuple(p), tuple(q), s) for n, p, q, s in zip("abc", corners, corners[1:], t, strict=False)]
    section = Section(tuple(walls))
    q, flow = properties(section), flow_of(section)
    (zz, yz), (_, yy) = E * flow.lines.moments
    p = chains.open_members(
        [length], ea=E * flow.lines.area, gj=G * q.J, eiw=E * q.Iw, bending=[[zz, yz], [yz, yy]],
        centroid=tuple(flow.lines.centre), shear_centre=(q.ys, q.zs),
    )  # fmt: skip
    return p, flow.omega[1, :1], flow.omega[1].mean(keepdims=True)


def extrapolated(seen):
    """Limit of a second-order sequence, each cell half the one before; its changes must fall fourfold."""
    first, second = seen[1] - seen[0], seen[2] - seen[1]
    large = np.abs(second) > 1e-3 * np.abs(seen[2])
    assert first[large] / second[large] == pytest.approx(4, abs=0.3)
    return seen[2] + second / 3


@pytest.mark.parametrize("pull", [0.0, 8000.0])
def test_a_channel_of_other_walls_takes_its_origin_along(chains, pull):
    """Cantilever channel, walls 4/3/5 mm for 400 mm, then 1.5/3/2 mm: shear centre and sectorial origin jump; side and
    upright force, and a pull in the web's upper corner, at the tip.  Against plain walls, halved cells extrapolated:
    1e-5 is left.  With each part's own sectorial coordinate instead the tip's twist is off by more than 1 %."""
    walls, lengths, corners = ((4.0, 3.0, 5.0), (1.5, 3.0, 2.0)), (400.0, 500.0), corners_of(0.0, 50.0, 100.0)
    place = corners[1:2]
    parts = []
    for t, length in zip(walls, lengths, strict=True):
        p, corner, _ = channel(chains, corners, t, length)
        parts.append(replace(p, origin=common_origin(p.beams.shear_centre, place, corner)))

    def tip(parts):
        first, second = (open_beam.stiffness(p)[0] for p in parts)
        k = np.zeros((21, 21))
        k[:14, :14] += first
        k[7:, 7:] += second
        force = np.zeros(7)
        force[[0, 1, 2, 4]] = pull, 300.0, 1000.0, pull * 50.0  # the corner is where the coordinate counts from
        return np.linalg.solve(k[7:, 7:], np.r_[np.zeros(7), force])[7:]

    seen = []
    for cells in (10, 20, 40):
        n = 7 * cells
        k = np.zeros((2 * n + 7,) * 2)
        for at, t, p in ((0, walls[0], parts[0]), (n, walls[1], parts[1])):
            cell = chains.channel_cell(corners, t, p.beams.GJ[0], p.length[0] / cells, E, RIGID)
            k[at : at + n + 7, at : at + n + 7] += chains.run_of(cell, cells)
        load = np.zeros(2 * n + 7)
        load[[-6, -3, -2]] = pull, 300.0, 1000.0
        seen.append(np.linalg.solve(k[7:, 7:], load[7:])[[-3, -2, -1, -6]])
    limit, found = extrapolated(seen), tip(parts)
    corner = found[0] + 50.0 * found[4]
    assert found[1:4] == pytest.approx(limit[:3], rel=1e-5)
    assert corner == pytest.approx(limit[3], rel=1e-5)
    own = tip([replace(p, origin=0 * p.origin) for p in parts])
    assert abs(own[3] / found[3] - 1) > 0.01


@pytest.mark.parametrize(("side", "at"), [(-1, (0.0, 0.0)), (1, (0.0, 0.0)), (1, (12.0, -20.0))])
def test_a_box_goes_over_into_a_channel(chains, side, at):
    """A box 72 x 147 of 3/2/4/1.5 mm, 600 mm, whose one web ends; its other three walls run on for 500 mm as a
    channel. Torque, forces and a pull at the tip; racking and warping at the change.  Against plain walls tied at the
    change (all four corners' axial movement, both flange lines, the web that runs on), cells halved and extrapolated:
    2e-5 is left."""
    b, h, t = 72.0, 147.0, (3.0, 2.0, 4.0, 1.5)
    box = chains.box_members([600.0], b, h, t, E=E, nu=NU, plates=False)
    box = chains.with_plain_shear(box, t, G)
    pole, web = np.array([at], float), np.array([side * b / 2])
    here = corners_of(side * b / 2, -side * b / 2, h)
    metal = (t[2], t[1] if side > 0 else t[0], t[3])
    p, _, middle = channel(chains, here + pole, metal, 500.0)
    p = replace(p, origin=channel_origin(p.beams.shear_centre, middle, pole, web))
    moved = replace(
        box, pole=pole,
        beams=replace(box.beams, centroid=box.beams.centroid + pole, shear_centre=box.beams.shear_centre + pole),
    )  # fmt: skip
    tie = np.zeros((14, 15))
    tie[:7, :8], tie[7:, 8:] = box_to_channel(pole, web)[0], np.eye(7)
    k = np.zeros((23, 23))
    k[:16, :16] += racking_beam.stiffness(moved)[0]
    k[8:, 8:] += tie.T @ open_beam.stiffness(p)[0] @ tie
    y, z = at
    on_web, pull = y + web[0], 5000.0  # the pull acts in the middle of the web, where y z is none
    force = np.array([pull, 300.0, -1000.0, 4e4 - 1000.0 * y - 300.0 * z, pull * z, -pull * on_web, 0])
    u = np.linalg.solve(k[8:, 8:], np.r_[np.zeros(6), 2e5, 0.0, force])
    tip, change = u[8:], u[:8]
    pulled = tip[0] + z * tip[4] - on_web * tip[5]
    found = np.r_[pulled, tip[1] - z * tip[3], tip[2] + y * tip[3], tip[3], change[3], change[6], change[7]]
    seen = []
    for cells in (15, 30, 60):
        seen.append(_plain(chains, box, (here, metal, p.beams.GJ[0]), (t, side * b / 2, cells)))
    assert found == pytest.approx(extrapolated(seen), rel=2e-5)


def _plain(chains, box, channel, more):
    """Tip's movement and the change's rx, g, f by cells of plain walls, reference line in the box's middle."""
    (corners, metal, torsion), (t, web, cells) = channel, more
    first = chains.run_of(chains.wall_cell(box, t, 600.0 / cells, E, G), cells)
    second = chains.run_of(chains.channel_cell(corners, metal, torsion, 500.0 / cells, E, RIGID), cells)
    tie = np.zeros((7, 8))  # of the channel's corners, uy, uz, rx to the box's node
    tie[:4, 0], tie[:4, 4], tie[:4, 5], tie[:4, 7] = 1, corners[:, 1], -corners[:, 0], corners[:, 0] * corners[:, 1]
    tie[4, 1] = 1
    tie[6, [3, 6]] = 1, -0.5
    tie[5, [2, 6]] = 1, web  # uz + web (rx + g/2) is uz' + web (rx - g/2)
    n, m = 8 * cells, 7 * cells
    expand = np.zeros((7 * cells + 7, m + 8))
    expand[:7, :8], expand[7:, 8:] = tie, np.eye(m)
    k = np.zeros((n + m + 8,) * 2)
    k[: n + 8, : n + 8] += first
    k[n:, n:] += expand.T @ second @ expand
    load = np.zeros(n + m + 8)
    load[n + 6] = 2e5
    load[-3:] = 300.0, -1000.0, 4e4
    load[[-6, -5]] = 2500.0
    u = np.zeros(n + m + 8)
    u[8:] = np.linalg.solve(k[8:, 8:], load[8:])
    return np.r_[u[[-6, -5]].mean(), u[-3:], u[n + 3], u[n + 6], u[n + 7]]
