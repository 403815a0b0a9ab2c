"""Diaphragms in box rails that rack: closed forms of a beam on an elastic foundation with a spring in its middle.

M. Hetenyi, Beams on Elastic Foundation (from memory, text not seen; the forms are derived anew beside the kernel's
tests): long rail, load Q on racking: g = Q beta/(2 KD); load Bf on warping: f = Bf beta^3/(4 KD); with a spring k at
the load 1/g adds k/Q.  KD and I of equal walls by hand.
"""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import Diaphragm
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.mesh import build_mesh
from ladderfe.solve import Factor, frame_of

E, NU, T, B, H = 205_000.0, 0.3, 3.0, 72.0, 147.0  # rail 150 x 75 x 3, its mid-lines
G = E / 2 / (1 + NU)
D = E * T**3 / 12 / (1 - NU**2)
KD = 24 * D / (H + B - 2 * T)  # slope deflection of four equal walls with clear spans
EI = E * T * (B**2 * H**3 + H**2 * B**3) / 24
BETA = (KD / EI) ** 0.25
LONG, MIDDLE = 8000.0, 4000.0  # 12 decay lengths to either side: exp(-12)
THIN = 1e-9


def ladder(made, thickness=None, station=MIDDLE, model="walls"):
    """Two long box rails, crossmembers near the ends, mounts on the walls of the right one in mid-length."""
    half = made.HALF
    corners = {"high outer": (1, 1), "high inner": (-1, 1), "low outer": (1, -1), "low inner": (-1, -1)}
    mounts = [made.mount(n, "right rail", MIDDLE, half + y * B / 2, z * H / 2) for n, (y, z) in corners.items()]
    mounts += [made.mount(n, "right rail", MIDDLE, half + y * B / 2) for n, y in (("outer", 1), ("inner", -1))]
    mounts += [made.mount(n, "right rail", MIDDLE, half, z * H / 2) for n, z in (("high", 1), ("low", -1))]
    plates = () if thickness is None else (Diaphragm(name="plate", side="right", station=station, thickness=thickness),)
    return made.chassis(
        rails=made.rails(made.box(150, 75, T), path=((0, half, 0), (LONG, half, 0))),
        crossmembers=(made.cross("front", 100.0), made.cross("rear", LONG - 100.0)),
        axles=(made.axle("front", 1000.0), made.axle("rear", 7000.0)),
        mounts=tuple(mounts), diaphragms=plates, joint_model=model,
    )  # fmt: skip


def solved(chassis, forces):
    """Racking and warping of the right rail in mid-length under forces on places: name -> (direction, size)."""
    mesh = build_mesh(chassis)
    frame = frame_of(mesh)
    load = np.zeros((frame.unknowns, 1))
    for name, (way, size) in forces.items():
        place = mesh.places[name]
        unknowns, row = frame.row(place.node, np.array(place.arm), np.eye(6)[way], np.array(place.follow).T)
        load[unknowns, 0] += size * row
    left = mesh.part("left rail")
    held = [int(frame.start[mesh.ends[m, end]]) for m, end in ((left.first, 0), (left.last - 1, 1))]
    u = Factor(frame, np.array([first + k for first in held for k in range(6)])).solve(load)
    first = int(frame.start[mesh.places["outer"].node]) + 6
    return u[first : first + 2, 0]


UP = {"outer": (2, 3000.0), "inner": (2, -3000.0)}
Q = 2 * 3000.0 * (B / 2) / 2
#: Half of it on the webs and half on the flanges: no torque.
EVEN = {"outer": (2, 1500.0), "inner": (2, -1500.0), "high": (1, 1500.0 * B / H), "low": (1, -1500.0 * B / H)}
ALONG = {"high outer": (0, 900.0), "low inner": (0, 900.0), "high inner": (0, -900.0), "low outer": (0, -900.0)}
BF = 4 * 900.0 * B * H / 4


@pytest.mark.parametrize("thickness", [0.02, 0.05, 0.3])
def test_opposite_forces_on_the_webs_rack_against_a_diaphragm(made, thickness):
    """The foundation alone is 2 KD/beta = 3.7e7 N mm stiff, G t b h of 0.05 mm is 4.2e7: both count.  0 to 6 % softer
    than the closed form, in which walls do not shear (the kernel's own tests say so of the bare rail)."""
    foundation, plate = 2 * KD / BETA, G * thickness * B * H
    g, f = solved(ladder(made, thickness), UP)
    assert 1.0 <= g / (Q / (foundation + plate)) <= 1.06
    assert abs(f) < 1e-6 * g * BETA  # even about the load


@pytest.mark.parametrize("thickness", [0.02, 0.05, 0.3])
def test_racking_without_torque_against_a_diaphragm(made, thickness):
    """Shear of the walls makes the foundation alone softer by 0 to 6 %, the sum by its share of that; what the plate
    adds is exact."""
    foundation, plate = 2 * KD / BETA, G * thickness * B * H
    g, bare = solved(ladder(made, thickness), EVEN)[0], solved(ladder(made), EVEN)[0]
    assert 1.0 <= bare / (Q / foundation) <= 1.06
    assert 1.0 <= g / (Q / (foundation + plate)) <= 1 + 0.06 * foundation / (foundation + plate)
    assert Q / g - Q / bare == pytest.approx(plate, rel=1e-8)  # a difference of numbers up to 3 times as large


@pytest.mark.parametrize("thickness", [10.0, 20.0])
def test_forces_along_the_corners_warp_against_a_diaphragm(made, thickness):
    """4 KD/beta^3 = 7.8e12, G t^3 b h/3 of 20 mm 2.2e12 N mm3 x mm.  0 to 6 % softer for the walls' shear again; what
    the plate adds is exact."""
    foundation, plate = 4 * KD / BETA**3, G * thickness**3 * B * H / 3
    bare = solved(ladder(made), ALONG)[1]
    assert 1.0 <= bare / (BF / foundation) <= 1.06
    g, f = solved(ladder(made, thickness), ALONG)
    assert abs(g) < 1e-6 * f / BETA
    assert BF / f - BF / bare == pytest.approx(plate, rel=1e-8)


def test_a_very_thick_one_holds_the_section_and_a_very_thin_one_does_nothing(made):
    bare = solved(ladder(made), UP)
    assert abs(solved(ladder(made, 1e6), UP)[0]) < 1e-6 * bare[0]  # 2 KD/(beta G t b h) is 5e-8
    assert solved(ladder(made, THIN), UP)[0] == pytest.approx(bare[0], rel=1e-7)  # G t b h is 2e-8 of 2 KD/beta


def test_a_diaphragm_half_a_wave_away_is_hardly_felt(made):
    """It is where it stands that it holds: at pi/beta g is -exp(-pi) = 4 % of that under the load, and what a full hold
    there takes away at the load is of that order squared."""
    bare, away = solved(ladder(made), UP)[0], solved(ladder(made, 5.0, MIDDLE + np.pi / BETA), UP)[0]
    assert away == pytest.approx(bare, rel=0.01)
    near = solved(ladder(made, 5.0, MIDDLE + 0.5 / BETA), UP)[0]
    assert near < 0.6 * bare


def test_diaphragms_work_in_twist_and_are_counted(made):
    """A crossmember on one web racks the rail; a plate behind it stiffens the whole.  Its energy is the rail's, all
    shares make up the whole, and the whole is the work of the couple."""
    ends = tuple(Diaphragm(name=s, side=s, station=100.0, thickness=1.0) for s in ("left", "right"))
    plain = replace(ladder(made), mounts=())
    bare, held = twist_frame(plain), twist_frame(replace(plain, diaphragms=ends))
    assert held.stiffness > 1.01 * bare.stiffness
    assert 2 * held.strain_energy == pytest.approx(1 / held.stiffness, rel=1e-9)
    assert sum(s.total for s in held.energy) == pytest.approx(1, rel=1e-9)
    rails = [s.joints for s in held.energy if s.part.endswith("rail") and s.start == 0.0]
    assert len(rails) == 2
    assert min(rails) > 0
    assert max(s.joints for s in bare.energy) == 0  # rigid joints


def test_without_racking_the_twelve_unknowns_remain(made):
    """With joints as springs a plate changes nothing at all, and given joints make the frame of rigid sections."""
    plain = replace(ladder(made, model="springs"), mounts=())
    held = replace(plain, diaphragms=(Diaphragm(name="p", side="left", station=1000.0, thickness=5.0),))
    frame = frame_of(build_mesh(plain))
    assert frame.unknowns == 6 * len(frame.nodes)
    assert twist_frame(held).stiffness == pytest.approx(twist_frame(plain).stiffness, rel=1e-9)  # one node more
    rigid = replace(plain, joint_level=np.inf, joint_model="walls")
    assert twist_frame(plain).stiffness == pytest.approx(twist_frame(rigid).stiffness, rel=1e-12)
