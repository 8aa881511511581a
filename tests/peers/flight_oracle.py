"""10 000 random launches, drivers to wedges, winds to 15 m/s, by SciPy's DOP853 at rtol 1e-10.

    python tests/peers/flight_oracle.py > tests/data/flight_landings.csv

Needs numpy, scipy, numba. About ten minutes on one core."""

import math
import sys

import numpy as np
from scipy.integrate import solve_ivp

from flight_model import begin, derivative, wind_law

AIRS = [(1.225, 1.7894e-5, 0.03), (1.185, 1.83e-5, 0.01), (1.05, 1.75e-5, 0.03), (1.29, 1.72e-5, 0.0)]


def main(count):
    rng = np.random.default_rng(20020931)
    print("ball_speed_m_s,launch_deg,start_deg,spin_rpm,axis_deg,wind_right_m_s,"
          "wind_forward_m_s,air,right_mm,forward_mm,time_us")
    for i in range(count):
        t = rng.uniform()
        speed = round(82 - 50 * t + rng.uniform(-4, 4), 2)
        launch = round(9 + 24 * t + rng.uniform(-4, 5), 2)
        start = round(rng.uniform(-8, 8), 2)
        rpm = round(2000 + 7500 * t + rng.uniform(-1000, 1500))
        tilt = round(rng.uniform(-25, 25), 2)
        wind, to = 15 * math.sqrt(rng.uniform()), rng.uniform(0, 2 * math.pi)
        right, forward = round(wind * math.sin(to), 2), round(wind * math.cos(to), 2)
        rho, mu, roughness = AIRS[i % 4]
        a, b = wind_law(roughness)
        state, axis = begin(speed, launch, start, rpm, tilt)

        def f(_, s):
            out = np.empty(7)
            derivative(s, axis, right, forward, a, b, rho, mu, out)
            return out

        def down(_, s):
            return s[2]

        down.terminal, down.direction = True, -1
        sol = solve_ivp(f, (0, 30), state, method="DOP853", rtol=1e-10, atol=1e-10, events=down)
        end = sol.y_events[0][0]
        print(f"{speed},{launch},{start},{rpm},{tilt},{right},{forward},{i % 4},"
              f"{round(1000 * end[0])},{round(1000 * end[1])},{round(1e6 * sol.t_events[0][0])}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
