"""A milling cut in time, marched plainly in NumPy, vectorised over slices, teeth and modes.

Six modes, four teeth, 40 axial slices; as many steps in a turn as told. Regeneration over one tooth
passing before, clipped at zero. Prints the mean forces over the last turn and the seconds taken
(wall, processor).
"""

import sys
import time

import numpy as np

D, FEED, RPM, DEPTH, WIDTH = 0.012, 5e-5, 12000.0, 0.006, 0.003
HELIX, TEETH, SLICES = np.arctan(np.radians(119.0) * D / 2 / DEPTH), 4, 40
KTC, KRC, KTE, KRE = 700e6, 250e6, 15e3, 18e3
X = ((880.0, 0.03, 2.5e7), (1730.0, 0.03, 4.2e7), (2900.0, 0.03, 9e7))
Y = ((925.0, 0.03, 2.7e7), (1810.0, 0.03, 3.9e7), (3050.0, 0.03, 9e7))


def march(turns, steps):
    dt = 60 / RPM / steps
    w = np.array([2 * np.pi * m[0] for m in X + Y])
    zeta = np.array([m[1] for m in X + Y])
    k = np.array([m[2] for m in X + Y])
    wd = w * np.sqrt(1 - zeta * zeta)
    turn = np.exp((-zeta * w + 1j * wd) * dt)
    kick = w * w / (k * wd) * dt
    q = np.zeros(6, complex)
    kick_x, kick_y = kick * [1, 1, 1, 0, 0, 0], kick * [0, 0, 0, 1, 1, 1]
    dz = DEPTH / SLICES
    lag = 2 * np.tan(HELIX) / D * dz * (np.arange(SLICES) + 0.5)
    offset = 2 * np.pi * np.arange(TEETH)[:, None] / TEETH + lag[None, :]
    entry, leave = np.pi - np.arccos(1 - 2 * WIDTH / D), np.pi
    tooth = steps // TEETH
    past = np.zeros((steps + 1, 2))
    mean = np.zeros(2)
    for i in range(turns * steps):
        im = q.imag
        x, y = im[:3].sum(), im[3:].sum()
        old = past[(i - tooth) % steps]
        past[i % steps] = x, y
        phi = (2 * np.pi * (i % steps) / steps - offset) % (2 * np.pi)
        s, c = np.sin(phi), np.cos(phi)
        h = (FEED + x - old[0]) * s + (y - old[1]) * c
        cut = (phi >= entry) & (phi <= leave) & (h > 0)
        ft = dz * (KTC * h + KTE) * cut
        fr = dz * (KRC * h + KRE) * cut
        fx = -(ft * c + fr * s).sum()
        fy = (ft * s - fr * c).sum()
        q = (q + kick_x * fx + kick_y * fy) * turn
        if i >= (turns - 1) * steps:
            mean += (fx / steps, fy / steps)
    return mean


if __name__ == "__main__":
    march(1, int(sys.argv[2]))
    start, cpu = time.perf_counter(), time.process_time()
    result = march(int(sys.argv[1]), int(sys.argv[2]))
    print(result[0], result[1], time.perf_counter() - start, time.process_time() - cpu)
