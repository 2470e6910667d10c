"""Zero-order lobes as curves in NumPy, vectorised over frequency and lobe, for comparison.

4,000 frequencies x 20 lobes, two modes in x and two in y; the classical formulas of Altintas & Budak
(1995). Prints the checksum of all finite speeds and the best and median time of a warm call in
seconds.
"""

import sys
import time

import numpy as np

N, KT, KR = 4, 900e6, 0.35
X = ((880.0, 0.022, 6.5e6), (1730.0, 0.014, 4.2e6))
Y = ((925.0, 0.025, 7.4e6), (1810.0, 0.013, 3.9e6))
ST, EX = 0.0, np.pi / 2


def factors():
    def at(p):
        return 0.5 * np.array([np.cos(2 * p) - 2 * KR * p + KR * np.sin(2 * p),
                               -np.sin(2 * p) - 2 * p + KR * np.cos(2 * p),
                               -np.sin(2 * p) + 2 * p + KR * np.cos(2 * p),
                               -np.cos(2 * p) - 2 * KR * p - KR * np.sin(2 * p)])
    return at(EX) - at(ST)


def receptance(modes, f):
    total = 0
    for fn, zeta, k in modes:
        r = f / fn
        total = total + (1 / k) / (1 - r * r + 2j * zeta * r)
    return total


def lobes(f, count):
    axx, axy, ayx, ayy = factors()
    gx, gy = receptance(X, f), receptance(Y, f)
    a0 = gx * gy * (axx * ayy - axy * ayx)
    a1 = axx * gx + ayy * gy
    root = np.sqrt(a1 * a1 - 4 * a0)
    lam = np.stack((-a1 + root, -a1 - root)) / (2 * a0)
    kappa = lam.imag / lam.real
    depth = -2 * np.pi * lam.real * (1 + kappa * kappa) / (N * KT)
    waves = 0.5 - np.arctan(kappa) / np.pi
    waves[depth <= 0] = np.nan
    depth[depth <= 0] = np.nan
    speed = (60 / N) * f / (waves[:, None, :] + np.arange(count)[None, :, None])
    return depth, speed


if __name__ == "__main__":
    points, count, seconds = 4000, 20, float(sys.argv[1]) if len(sys.argv) > 1 else 3.0
    f = 500 + 2000 * np.arange(points) / points
    depth, speed = lobes(f, count)
    times = []
    end = time.perf_counter() + seconds
    while time.perf_counter() < end:
        start = time.perf_counter()
        depth, speed = lobes(f, count)
        times.append(time.perf_counter() - start)
    times = np.array(times[len(times) // 3:])
    print(np.nansum(1 / speed), np.nansum(1 / depth), times.min(), np.median(times))
