"""Force in plates: V Q/I of composite beams, the plate as a free body, weld lines."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ladderfe.checks.plate_forces import force_coefficients, growth_of, plate_run
from ladderfe.connections.anchorage import PlateEnd, anchorage
from ladderfe.errors import ModelError
from ladderfe.sections import (
    Box,
    Channel,
    Plate,
    Wall,
    joining_flow,
    plated,
    properties,
    weld_lines,
)
from ladderfe.solve import solve_chassis

N, VY, VZ, T, MY, MZ, B, LAST = range(8)
BOX = Box(depth=140.0, width=70.0, top=2.5, bottom=2.5, minus=2.5, plus=3.0)
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y")
COVERED = plated(BOX, [Plate(wall="bottom", thickness=6.0, width=50.0, centre=4.0)])


def test_cover_plate_of_a_doubled_beam():
    """M S/I and V S/I by hand: the plate's area times its distance from the composite centroid."""
    A = 140 * 70 - 135 * 65 + 300
    zc = -73 * 300.0 / A
    inertia = 70 * 140**3 / 12 - 65 * 135**3 / 12 + 50 * 6**3 / 12 + 300 * 73**2 - A * zc**2
    shape = plated(replace(BOX, plus=2.5), [Plate(wall="bottom", thickness=6.0, width=50.0)])
    c = force_coefficients(shape, shape.section(), ["bottom plate"])
    assert c[MY] == pytest.approx(300 * (-73 - zc) / inertia, rel=1e-12)
    assert c[N] == pytest.approx(300 / A, rel=1e-12)
    assert c[MZ] == pytest.approx(0, abs=1e-12)
    assert growth_of(c, racks=True)[VZ] == c[MY]


@example(t=2.0, width=57.0, centre=4.0, wall="top", inside=False)  # its edge lies over the wall beside
@settings(max_examples=25, deadline=None)
@given(t=st.floats(1.5, 8.0), width=st.floats(20.0, 55.0), centre=st.floats(-4.0, 4.0),
       wall=st.sampled_from(["top", "bottom", "minus", "plus"]), inside=st.booleans())
def test_growth_under_shear_is_the_joining_flow(t, width, centre, wall, inside):
    """dN/dx of the force against V Q/I of `joining_flow`, both from the true plates."""
    shape = plated(BOX, [Plate(wall=wall, thickness=t, width=width, centre=centre,
                               face="inside" if inside else "outside")])
    section, name = shape.section(), f"{wall} plate" + " inside" * inside
    growth = growth_of(force_coefficients(shape, section, [name]), racks=True)
    for load, shear in ((VY, (1.0, 0.0)), (VZ, (0.0, 1.0))):
        assert growth[load] == pytest.approx(joining_flow(section, [name], shear), rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("shape", [
    COVERED, plated(CHANNEL, [Plate(wall="top", thickness=4.0, width=40.0), Plate(wall="web", thickness=3.0)]),
], ids=["box", "channel"])  # fmt: skip
def test_growth_is_what_the_welds_bring(shape):
    """Both welds together: under Vz within the walls' thickness (3 %, `weld_lines` goes by mid-lines), nothing of
    torque; of walls that warp also under the warping torque (within 10 %: the plate lies off its wall)."""
    section = shape.section()
    name = next(w.name for w in section.walls if w.name.endswith(" plate"))
    growth = growth_of(force_coefficients(shape, section, [name]), racks=False)
    welds = np.sum([line.flow for line in weld_lines(section, [name])], axis=0)
    assert welds[1] == pytest.approx(growth[VZ], rel=0.03)
    assert welds[2] == pytest.approx(0, abs=1e-12)
    if properties(section).Iw:
        assert welds[3] == pytest.approx(growth[LAST], rel=0.1)
        assert abs(growth[LAST]) > 0


def test_force_is_the_stress_summed_over_the_plate():
    """All resultants at once, on a fine grid over the plate: stress of bending and of racking, omega = y z less its
    part that is plane over the walls' mid-lines (worked out here by summing over strips)."""
    c = force_coefficients(COVERED, COVERED.section(), ["bottom plate"])
    strips = [(w, k) for w in BOX.section().walls + _spread() for k in (np.arange(4000) + 0.5) / 4000]
    y, z, area = np.array([_place(w, k) for w, k in strips]).T
    pole = np.array([(BOX.minus - BOX.plus) / 4, (BOX.bottom - BOX.top) / 4])
    y, z = y - pole[0], z - pole[1]
    basis = np.stack([np.ones_like(y), y, z], axis=1)
    plane = np.linalg.solve(basis.T @ (area[:, None] * basis), basis.T @ (area * y * z))
    inertia = area @ (y * z - basis @ plane) ** 2
    yp, zp = (np.arange(1000) + 0.5) / 1000 * 50 - 25 + 4, -73 - pole[1]  # the flat's middle is the pole's
    omega = yp * zp - plane[0] - plane[1] * yp - plane[2] * zp
    assert c[B] == pytest.approx(omega.mean() * 300 / inertia, rel=1e-6)


def _spread():
    """The cover plate's area spread over the bottom wall's mid-line, as a box that racks counts it."""
    bottom = BOX.section().named("bottom")[0]
    return (replace(bottom, thickness=300 / bottom.length),)


def _place(wall: Wall, share: float):
    y, z = np.array(wall.start) + share * np.subtract(wall.end, wall.start)
    return y, z, wall.length / 4000 * wall.thickness


ALONG = ("braking", "drive-off", "pothole", "kerb strike", "recovery", "rear overhang whip", "braking in a bend")


@pytest.mark.parametrize(("base", "within"), [(BOX, 4e-3), (CHANNEL, 1e-5)], ids=["box", "channel"])
def test_plates_of_a_frame_are_free_bodies(made, base, within):
    """What comes in between the two ends of a member is the growth summed along it (Simpson's rule in 64 steps, 1e-5),
    in every case that does not pull the rails lengthwise between their nodes.

    Of boxes R holds the walls' own twist as plates, which brings no stress along: 2 R is up to 3 % above B' there,
    0.2 % of the greatest force in the plate.
    """
    shape = plated(base, [Plate(wall="bottom", thickness=5.0, width=40.0)])
    solution = solve_chassis(made.worked_chassis(*made.every_case(), rails=made.rails(shape), material=made.WEIGHTLESS))
    run = plate_run(solution, "left rail", ["bottom plate"], steps=64)
    size = np.abs(run.force).max()
    assert size > 100
    weights = np.array([1, *[4, 2] * 31, 4, 1]) / 3
    for m in np.unique(run.member):
        own = run.member == m
        step = np.diff(run.x[own])[0]
        came = step * weights @ run.growth[own]
        upright = [k for k, case in enumerate(solution.cases) if case.name not in ALONG]
        assert len(upright) > 15
        assert (run.force[own][-1] - run.force[own][0])[upright] == pytest.approx(came[upright], abs=within * size)


def test_a_run_of_plate_can_be_anchored(made):
    """Stations that rise and one force each, cut to a reach; jumps are told."""
    shape = plated(BOX, [Plate(wall="bottom", thickness=5.0, width=40.0)])
    solution = solve_chassis(made.chassis(rails=made.rails(shape)))
    run = plate_run(solution, "right rail", ["bottom plate"], (700.0, 3300.0))
    station, force = run.places
    assert (station[0], station[-1]) == (700.0, 3300.0)
    found = anchorage(station, force[:, 0], [0.5, 0.5], (PlateEnd(zone=80.0), PlateEnd(zone=80.0)))
    assert found.end_force == pytest.approx(force[[0, -1], 0])
    at, jumps = run.jumps
    assert jumps.shape == (len(at), force.shape[1])
    with pytest.raises(ModelError, match="no wall there is called top plate"):
        plate_run(solution, "right rail", ["top plate"])
