"""Sag of the rails between nodes: against closed forms, and against the frame with nodes every 25 mm."""

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks import comparison
from ladderfe.checks.sag import greatest_sags
from ladderfe.solve import solve_chassis


def sags(chassis):
    return {(s.rail, s.case): s for s in greatest_sags(chassis, solve_chassis(chassis))}


def test_a_uniform_beam_with_overhangs(made):
    """Weightless rails with a uniform load on supports under them: 5 q l^4/384 EI less the two end moments' q a^2/2
    l^2/8 EI, plus the shear's M(middle)/GA; any text on strength of materials.  The load: axles of 900 kg less
    150 kg on 4 m of two rails; supports at 700 and 3300 mm.  Sampled every 25 mm by the trapezium rule: 3e-4."""
    from ladderfe.sections import properties

    c = made.chassis(material=made.WEIGHTLESS)
    found = sags(c)
    q = 2 * 0.75 * 9806.65 / 2 / 4000.0
    p = properties(c.rails[1].spans[0].shape.section())
    bend, slide = 205_000 * p.Iyy, 205_000 / 2.6 / p.shear[1, 1]
    span, over = 2600.0, 700.0
    expected = 5 * q * span**4 / (384 * bend) - q * over**2 / 2 * span**2 / (8 * bend) + q * span**2 / 8 / slide
    for rail in ("left rail", "right rail"):
        assert found[rail, "static"].size == pytest.approx(expected, rel=3e-4)
        assert found[rail, "static"].station == pytest.approx(2000.0, abs=12.5)  # half the spacing
        assert found[rail, "twice"].size == pytest.approx(2 * expected, rel=3e-4)


@pytest.mark.parametrize(("model", "room"), [("short-4x4", 2e-3), ("pick-up", 1e-2), ("light-lorry", 1e-2)])
def test_like_the_frame_with_nodes_close_together(demo_file, model, room):
    """The comparison solves the frame once more with a node every 25 mm.  Both miss a peak by half of that at most:
    1e-3 of a sag that is a parabola over more than a metre; open rails twist between the nodes besides."""
    c = read_chassis(demo_file.with_name(f"{model}.toml"))
    fine, ours = comparison.rail_sags(c), sags(c)
    for case, size in fine.items():
        own = max((s.size for (_, name), s in ours.items() if name == case), key=abs)
        assert own == pytest.approx(size, rel=room)
