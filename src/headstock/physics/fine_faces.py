"""Compiled relations at the places where a pipe meets something else: an end with a valve, a part-open gate, a branch.

Each finds the flow, or the face pressure, that the pipe's own wave relation and the orifice agree on; bracketed, so the
search always ends. Textbook gas dynamics (acoustic relations, isentropic nozzle); docs/explanation/air.md.

A valve's row holds supply, feed area, feed limit, exhaust area, exhaust limit, droop, the
atmosphere's pressure. A brake's row holds chamber volume,
chamber choke, reservoir volume, reservoir choke, whether the pipe feeds it, leak area; then cylinder volume, gain, highest
cylinder pressure, fill and release times, and below what difference the chamber gives back.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
"""

from __future__ import annotations

from math import exp, sqrt

from headstock.physics import gas, orifice
from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats

R = gas.GAS_CONSTANT_J_KG_K
GAMMA = gas.HEAT_RATIO
CP = GAMMA * R / (GAMMA - 1.0)
CHOKED = orifice.CHOKED_COEFFICIENT
ROUNDS = 60
CLOSE_PA = 1e-3

_psi = kernel(orifice.flow_function)


@kernel
def orifice_flow(area: float, upstream_pa: float, downstream_pa: float, temperature_k: float) -> float:
    """What an opening of an effective area [m2] passes from a stagnant side [kg/s]; nothing backwards."""
    if area <= 0.0 or downstream_pa >= upstream_pa:
        return 0.0
    return area * upstream_pa * _psi(downstream_pa / upstream_pa) / sqrt(R * temperature_k)


@kernel
def _stagnation(p: float, temperature_k: float, speed: float, heat: bool) -> tuple[float, float]:
    """Pressure and temperature of gas brought to rest; no faster than sound."""
    square = min(speed * speed, (GAMMA if heat else 1.0) * R * temperature_k)
    if not heat:
        return p * exp(0.5 * square / (R * temperature_k)), temperature_k
    at_rest = temperature_k + 0.5 * square / CP
    return p * (at_rest / temperature_k) ** (GAMMA / (GAMMA - 1.0)), at_rest


@kernel
def _fastest_entering(at_rest_k: float, heat: bool) -> float:
    """Speed of gas that has come from rest and just moves as fast as sound in it [m/s]: no inlet passes it faster."""
    return sqrt((2.0 * GAMMA / (GAMMA + 1.0) if heat else 1.0) * R * at_rest_k)


@kernel
def _share(excess_pa: float, droop_pa: float) -> float:
    return min(1.0, max(0.0, excess_pa / droop_pa))


@kernel
def _let_out(valve: Floats, face_pa: float, upstream_pa: float, temperature_k: float) -> float:
    """Mass flow of a valve to the atmosphere [kg/s]."""
    area = valve[3] * _share(face_pa - valve[4], valve[5])
    return orifice_flow(area, upstream_pa, valve[6], temperature_k)


@kernel
def _feed(valve: Floats, face_pa: float, ambient_k: float) -> float:
    """Mass flow of a valve into the pipe [kg/s]."""
    area = valve[1] * _share(valve[2] - face_pa, valve[5])
    return orifice_flow(area, valve[0], face_pa, ambient_k)


@kernel
def _end_excess(
    face_pa: float, wall_pa: float, rho: float, out: float, p: float, t: float, c: float, area: float, valve: Floats,
    ambient_k: float, heat: bool,
) -> tuple[float, float, float, float]:  # fmt: skip
    """Pipe's outflow less the valve's at a face pressure [kg/s], and the flow out, its speed and its enthalpy."""
    if face_pa <= wall_pa:  # out of the pipe: an outgoing wave, the gas keeps its own state
        flow = rho * out - (face_pa - p) / c
        dense = max(rho + (face_pa - p) / (c * c), 1e-6) if heat else face_pa / (R * t)
        here = face_pa / (R * dense)
        speed = flow / dense
        upstream, at_rest = _stagnation(face_pa, here, speed, heat)
        return area * flow - _let_out(valve, face_pa, upstream, at_rest), area * flow, speed, CP * at_rest
    inward = min(-out + (face_pa - p) / (rho * c), _fastest_entering(ambient_k, heat))
    entering = ambient_k - 0.5 * inward * inward / CP if heat else ambient_k
    flow = face_pa * inward / (R * entering)
    return _feed(valve, face_pa, ambient_k) - area * flow, -area * flow, -inward, CP * ambient_k


@kernel
def _narrowed(
    low: float, f_low: float, high: float, f_high: float, side: int, x: float, f_x: float
) -> tuple[float, float, float, float, int]:
    """A bracket made smaller by one more point; the end that stays put a second time counts half (Illinois rule)."""
    if f_x * f_high > 0.0:
        return low, f_low * 0.5 if side == 1 else f_low, x, f_x, 1
    return x, f_x, high, f_high * 0.5 if side == -1 else f_high, -1


@kernel
def settle_end(
    rho: float, out: float, p: float, t: float, area: float, valve: Floats, ambient_k: float, heat: bool
) -> tuple[float, float, float, float, float]:
    """A pipe's end with a valve: mass out [kg/s], momentum flux [Pa], energy out [W], face pressure [Pa], fed [kg/s].

    ``out`` is the gas's speed out of the pipe. The face pressure lies where pipe and valve pass the same.
    """
    c = sqrt((GAMMA if heat else 1.0) * R * t)
    wall = max(p + rho * c * out, 1e-3 * p)  # a straight line would have gas that runs away fast leave less than nothing
    if _let_out(valve, wall, wall, t) > 0.0:
        low, high = 1e-3 * wall, wall
    elif _feed(valve, wall, ambient_k) > 0.0:
        # Gas that runs off faster than sound would leave less than nothing at a wall; an inlet leaves something.
        low, high = max(wall, 1.0) * (1.0 + 1e-15), valve[0]
    else:
        return 0.0, wall, 0.0, wall, 0.0
    # The excess falls with the face pressure of an outflow, and of an inflow as it is written: one rule for both.
    f_low = _end_excess(low, wall, rho, out, p, t, c, area, valve, ambient_k, heat)[0]
    f_high = _end_excess(high, wall, rho, out, p, t, c, area, valve, ambient_k, heat)[0]
    # Judged by the excess, not by the last move: beside a wide opening the rule creeps for a while before it arrives.
    enough = CLOSE_PA * area / c
    face, side = (low if abs(f_low) < abs(f_high) else high), 0
    for _ in range(ROUNDS if min(abs(f_low), abs(f_high)) > enough else 0):
        face = (low * f_high - high * f_low) / (f_high - f_low) if f_high != f_low else 0.5 * (low + high)
        f_face = _end_excess(face, wall, rho, out, p, t, c, area, valve, ambient_k, heat)[0]
        if abs(f_face) < enough:
            break
        low, f_low, high, f_high, side = _narrowed(low, f_low, high, f_high, side, face, f_face)
    _, mass, speed, enthalpy = _end_excess(face, wall, rho, out, p, t, c, area, valve, ambient_k, heat)
    return mass, face + mass / area * speed, mass * enthalpy, face, max(0.0, -mass)


@kernel
def _gate_excess(
    flow: float, rho: float, out: float, p: float, t: float, c: float, far_rho: float, inward: float, far_p: float, far_c: float,
    area: float, gate: float, heat: bool,
) -> tuple[float, float, float, float, float, float]:  # fmt: skip
    """Flow per pipe area less what the gate passes, both face pressures, both speeds, enthalpy; flow out of "here"."""
    face = p + c * (rho * out - flow)
    dense = max(rho + (face - p) / (c * c), 1e-6) if heat else face / (R * t)
    here = face / (R * dense)
    speed = flow / dense
    upstream, at_rest = _stagnation(face, here, speed, heat)
    slope = 1.0 / (far_rho * far_c)
    fastest = _fastest_entering(at_rest, heat)
    entering = at_rest
    beyond = far_p
    for _ in range(3 if heat else 1):
        lean = inward - slope * far_p
        beyond = (-lean + sqrt(lean * lean + 4.0 * slope * flow * R * entering)) / (2.0 * slope)
        beyond = max(beyond, flow * R * entering / fastest)
        if heat:
            fast = flow * R * entering / beyond
            entering = at_rest - 0.5 * fast * fast / CP
    passed = orifice_flow(gate, upstream, beyond, at_rest)
    return area * flow - passed, face, beyond, speed, flow * R * entering / beyond, CP * at_rest


@kernel
def settle_gate(
    rho: float, out: float, p: float, t: float, far_rho: float, inward: float, far_p: float, far_t: float, area: float,
    gate: float, heat: bool,
) -> tuple[float, float, float, float]:  # fmt: skip
    """A part-open gate from "here" to "far": mass [kg/s], momentum fluxes on both sides [Pa], energy [W].

    No pressure is recovered downstream: what leaves the gate enters the far pipe as from a vessel.
    """
    step = GAMMA if heat else 1.0
    c, far_c = sqrt(step * R * t), sqrt(step * R * far_t)
    low, high = 0.0, gate * (p + rho * c * max(out, 0.0)) * CHOKED / sqrt(R * t) / area * 1.5
    for _ in range(ROUNDS):
        middle = 0.5 * (low + high)
        if _gate_excess(middle, rho, out, p, t, c, far_rho, inward, far_p, far_c, area, gate, heat)[0] > 0.0:
            high = middle
        else:
            low = middle
        if high - low < 1e-10:
            break
    flow = 0.5 * (low + high)
    _, face, beyond, speed, fast, enthalpy = _gate_excess(
        flow, rho, out, p, t, c, far_rho, inward, far_p, far_c, area, gate, heat
    )
    return area * flow, face + flow * speed, beyond + flow * fast, area * flow * enthalpy


@kernel
def _drawn(area: float, p: float, vessel_pa: float, volume: float, t: float, ambient_k: float, dt: float) -> float:
    """Flow through a choke with a check valve [kg/s], at most half of what would equalise in this step."""
    if area <= 0.0 or p <= vessel_pa:
        return 0.0
    return min(orifice_flow(area, p, vessel_pa, t), 0.5 * (p - vessel_pa) * volume / (R * ambient_k * dt))


@kernel
def branch_flows(
    p: float, t: float, brake: Floats, chamber_pa: float, reservoir_pa: float, valve: Floats, ambient_k: float, dt: float
) -> tuple[float, float, float, float, float]:
    """What a branch draws at a static pressure [kg/s]: chamber, reservoir, leak, let out by a valve, fed by a valve."""
    chamber = _drawn(brake[1], p, chamber_pa, brake[0], t, ambient_k, dt)
    if p < chamber_pa < p + brake[11]:
        chamber = -_drawn(brake[1], chamber_pa, p, brake[0], ambient_k, ambient_k, dt)
    reservoir = _drawn(brake[3], p, reservoir_pa, brake[2], t, ambient_k, dt) if brake[4] > 0.0 else 0.0
    leak = orifice_flow(brake[5], p, valve[6], t)
    return chamber, reservoir, leak, _let_out(valve, p, p, t), _feed(valve, p, ambient_k)


@kernel
def settle_branch(
    base_pa: float, yielding: float, t: float, brake: Floats, chamber_pa: float, reservoir_pa: float, valve: Floats,
    ambient_k: float, dt: float,
) -> float:  # fmt: skip
    """The pressure [Pa] at which a branch draws what both sides bring: p = base - drawn / yielding [kg/(s Pa)]."""
    a, b, d, e, f = branch_flows(base_pa, t, brake, chamber_pa, reservoir_pa, valve, ambient_k, dt)
    f_low = f - (a + b + d + e)
    if f_low == 0.0:
        return base_pa
    low, high = base_pa, base_pa + f_low / yielding
    a, b, d, e, f = branch_flows(high, t, brake, chamber_pa, reservoir_pa, valve, ambient_k, dt)
    f_high = yielding * (base_pa - high) - (a + b + d + e - f)
    p, side = high, 0
    for _ in range(ROUNDS if abs(f_high) > CLOSE_PA * yielding else 0):
        p = (low * f_high - high * f_low) / (f_high - f_low)
        a, b, d, e, f = branch_flows(p, t, brake, chamber_pa, reservoir_pa, valve, ambient_k, dt)
        here = yielding * (base_pa - p) - (a + b + d + e - f)
        if abs(here) < CLOSE_PA * yielding:
            break
        low, f_low, high, f_high, side = _narrowed(low, f_low, high, f_high, side, p, here)
    return p
