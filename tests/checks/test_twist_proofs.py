"""The proofs of a study of twist hold on real frames, and each falls short where its number is broken on purpose."""

from dataclasses import replace

import numpy as np

from ladderfe.checks.twist_proofs import twist_proofs

NAMES = (
    "strain energy of all parts against the couple's work",
    "torsional stiffness with every member halved",
    "raised wheels: loads against the balance of axles",
    "raised wheels: couple in front against the rear one",
    "raised wheels: solved alone against followed up",
)


def proofs(t, **changes):
    """The proofs with some of what they look at changed: name -> proof."""
    given = {"twisted": t.twisted, "lifts": t.lifts, "solution": t.findings.solution} | changes
    found = twist_proofs(t.chassis, given["twisted"], t.used, given["lifts"], given["solution"])
    return {p.what: p for p in found}


def short(t, **changes):
    return [name for name, p in proofs(t, **changes).items() if not p.holds]


def test_all_hold_and_stand_beside_those_of_the_solution(demo_twist, plain_twist):
    for t in (demo_twist, plain_twist):
        assert tuple(proofs(t)) == NAMES
        assert short(t) == []
        assert t.proven
        assert [p.what for p in t.all_proofs][-5:] == list(NAMES)
        assert len(t.all_proofs) > 10


def test_limits_are_rounding_but_for_tapers(demo_twist, plain_twist):
    """The demo's rails taper; the test frame's do not."""
    assert proofs(demo_twist)[NAMES[1]].limit == 2e-3
    assert {p.limit for p in proofs(plain_twist).values()} == {1e-9}


def test_energy_that_is_lost(plain_twist):
    t = plain_twist.twisted["low"]
    lost = {**plain_twist.twisted, "low": replace(t, strain_energy=t.strain_energy * (1 - 1e-8))}
    assert short(plain_twist, twisted=lost) == [NAMES[0]]


def test_a_stiffness_that_hangs_on_the_mesh(plain_twist):
    t = plain_twist.twisted["middle"]
    other = replace(t, stiffness=t.stiffness * (1 + 1e-8), strain_energy=t.strain_energy / (1 + 1e-8))
    assert short(plain_twist, twisted={**plain_twist.twisted, "middle": other}) == [NAMES[1]]


def test_wheel_loads_out_of_balance(plain_twist):
    first = plain_twist.lifts[0]
    forces = first.forces.copy()
    forces[first.supports.index("front left wheel")] *= 1 + 1e-8
    assert short(plain_twist, lifts=(replace(first, forces=forces), *plain_twist.lifts[1:])) == [NAMES[2]]


def test_couples_that_do_not_match(plain_twist):
    first = plain_twist.lifts[0]
    other = replace(first, rear_couple=first.rear_couple * (1 + 1e-8))
    assert short(plain_twist, lifts=(other, *plain_twist.lifts[1:])) == [NAMES[3]]


def test_a_path_that_leads_elsewhere(plain_twist):
    s = plain_twist.findings.solution
    forces = s.support_forces.copy()
    forces[:, s.case("rear left raised")] *= 1 + 1e-8
    assert short(plain_twist, solution=replace(s, support_forces=forces)) == [NAMES[4]]


def test_what_was_not_compared_does_not_hold(plain_twist):
    """No case that raises wheels, no couple at all: not a number, and no proof."""
    none = [replace(lift, couple=0 * lift.couple) for lift in plain_twist.lifts]
    found = proofs(plain_twist, lifts=tuple(none))
    assert np.isnan(found[NAMES[3]].difference)
    assert not found[NAMES[3]].holds
    one_pair = tuple(replace(lift, wheels=("front left", "front right")) for lift in plain_twist.lifts)
    assert not proofs(plain_twist, lifts=one_pair)[NAMES[4]].holds


def test_one_that_falls_short_is_enough(plain_twist):
    def broken(found):
        return (*found[:-1], replace(found[-1], difference=2 * found[-1].limit))

    findings = plain_twist.findings
    assert not replace(plain_twist, proofs=broken(plain_twist.proofs)).proven
    assert not replace(plain_twist, findings=replace(findings, proofs=broken(findings.proofs))).proven
