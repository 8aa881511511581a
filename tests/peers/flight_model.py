"""The flight of the modern ball, written down a second time from the doc comments
of src/flight (ball, air, trajectory), for the programs beside this file."""

import math

import numpy as np
from numba import njit

MASS, DIAMETER, GRAVITY, DECAY = 0.04593, 0.04267, 9.80665, 4.0e-5
RADIUS, AREA = DIAMETER / 2, math.pi * DIAMETER**2 / 4
LOWEST_WIND = 0.5
RPM = 2 * math.pi / 60


def wind_law(roughness):
    """a and b of the wind's share a + b ln z of its speed at 10 m."""
    if roughness == 0.0:
        return 1.0, 0.0
    b = 1.0 / math.log(10.0 / roughness)
    return -b * math.log(roughness), b


def begin(speed, launch, start, rpm, tilt):
    """State and unit spin axis; right, forward, up; angles in degrees, right positive."""
    up, side, tilt = (math.radians(x) for x in (launch, start, tilt))
    velocity = speed * np.array(
        [math.cos(up) * math.sin(side), math.cos(up) * math.cos(side), math.sin(up)]
    )
    right = np.array([math.cos(side), -math.sin(side), 0.0])
    above = np.array(
        [-math.sin(up) * math.sin(side), -math.sin(up) * math.cos(side), math.cos(up)]
    )
    # Lift stands square to the velocity, tilted to the right; the axis is velocity x lift.
    lift = math.cos(tilt) * above + math.sin(tilt) * right
    axis = np.cross(velocity / np.linalg.norm(velocity), lift)
    return np.concatenate([np.zeros(3), velocity, [rpm * RPM]]), axis


@njit
def derivative(s, axis, wr, wf, a, b, rho, mu, out):
    share = a + b * math.log(max(s[2], LOWEST_WIND))
    vx, vy, vz = s[3] - wr * share, s[4] - wf * share, s[5]
    v = math.sqrt(vx * vx + vy * vy + vz * vz)
    spin = RADIUS * s[6] / v
    re = rho * v * DIAMETER / mu
    sd, sl = min(spin, 0.52 / (2 * 0.46)), min(spin, 2.18 / (2 * 3.80))
    t = min(max((82_000.0 - re) / (82_000.0 - 44_000.0), 0.0), 1.0)
    dimpled = 0.202 + 0.52 * sd - 0.46 * sd * sd
    cd = dimpled + (0.5 - dimpled) * t * t * (3.0 - 2.0 * t)
    cl = 2.18 * sl - 3.80 * sl * sl
    q = 0.5 * rho * AREA / MASS
    lx = axis[1] * vz - axis[2] * vy
    ly = axis[2] * vx - axis[0] * vz
    lz = axis[0] * vy - axis[1] * vx
    drag = q * v * cd
    lift = q * v * v * cl / math.sqrt(lx * lx + ly * ly + lz * lz)
    out[0], out[1], out[2] = s[3], s[4], s[5]
    out[3] = lift * lx - drag * vx
    out[4] = lift * ly - drag * vy
    out[5] = lift * lz - drag * vz - GRAVITY
    out[6] = -DECAY * s[6] * v / DIAMETER
