"""Stability of milling by first-order semi-discretisation in NumPy, for comparison.

The textbook method (Insperger & Stepan 2004, Int. J. Numer. Meth. Engng 61, 117-141; 2011): straight
teeth of even pitch, modes in x and y, m equal steps in a tooth period. The directional factors are
their mean over a step, the delayed position is a straight line over it; the exponentials of all steps
of a period are taken at once, the transition over a period is the product of the steps' matrices, and
its largest eigenvalue is the growth per tooth passing.

    semi_discretisation_baseline.py --flutes 4 --entry 154.16 --exit 180 --ktc 900e6 --krc 300e6 \
        --x 1240:0.016:2.1e6 --y 1100:0.02:3e6 --speeds 4000,9000 --max 10e-3 --steps 40,80,120

Prints one line for each number of steps: "steps S ms_per_point T limits L1 L2 ..." with the first
loss of stability going up in --scan steps, narrowed by bisection, in m (nan for none), and the time
of one point of the map (one speed, one depth).
"""

import argparse
import time

import numpy as np


def modes(text):
    return [tuple(float(v) for v in mode.split(":")) for mode in text.split(",") if mode]


def exponentials(a):
    """Exponentials of a stack of matrices: Taylor's series of the halved ones, squared back."""
    norm = np.abs(a).sum(axis=-1).max()
    halvings = max(0, int(np.ceil(np.log2(norm / 0.5))))
    a = a / 2.0**halvings
    total = np.broadcast_to(np.eye(a.shape[-1]), a.shape).copy()
    power = total
    for k in range(1, 13):
        power = power @ a / k
        total += power
    for _ in range(halvings):
        total = total @ total
    return total


class Cut:
    def __init__(self, flutes, entry, exit_, ktc, krc, x, y):
        self.flutes, self.entry, self.exit, self.ktc, self.krc = flutes, entry, exit_, ktc, krc
        rows = [(m, 0) for m in x] + [(m, 1) for m in y]
        self.omega = np.array([2 * np.pi * m[0] for m, _ in rows])
        self.zeta = np.array([m[1] for m, _ in rows])
        self.gain = np.array([self.omega[i] ** 2 / m[2] for i, (m, _) in enumerate(rows)])
        self.axis = np.array([axis for _, axis in rows])

    def means(self, steps):
        """Mean directional matrices over the steps of a tooth period, per metre of depth."""
        pitch = 2 * np.pi / self.flutes
        edges = pitch * np.arange(steps + 1) / steps
        mean = np.zeros((steps, 2, 2))
        for j in range(self.flutes):
            a = np.clip(edges[:-1] + j * pitch, self.entry, self.exit)
            b = np.clip(edges[1:] + j * pitch, self.entry, self.exit)
            sines = (np.sin(2 * b) - np.sin(2 * a)) / 4
            ss, cc = (b - a) / 2 - sines, (b - a) / 2 + sines
            sc = -(np.cos(2 * b) - np.cos(2 * a)) / 4
            mean[:, 0, 0] -= self.ktc * sc + self.krc * ss
            mean[:, 0, 1] -= self.ktc * cc + self.krc * sc
            mean[:, 1, 0] += self.ktc * ss - self.krc * sc
            mean[:, 1, 1] += self.ktc * sc - self.krc * cc
        return mean * steps / pitch

    def steps_of(self, rpm, depth, steps):
        """Rows [transition, by delayed force at the start, by that at the end] of every step."""
        n = len(self.omega)
        h = 60 / rpm / self.flutes / steps
        w = depth * self.means(steps)
        out = np.zeros((2, n))
        out[self.axis, np.arange(n)] = 1
        a = np.zeros((steps, 2 * n + 4, 2 * n + 4))
        i = np.arange(n)
        a[:, i, n + i] = self.omega * h
        a[:, n + i, i] = -self.omega * h
        a[:, n + i, n + i] = -2 * self.zeta * self.omega * h
        into = (self.gain / self.omega * h)[:, None] * out.T
        a[:, n : 2 * n, :n] += into @ w @ out
        a[:, n : 2 * n, 2 * n : 2 * n + 2] = -into @ w
        a[:, [2 * n, 2 * n + 1], [2 * n + 2, 2 * n + 3]] = 1
        busy = np.abs(w).sum(axis=(1, 2)) > 0
        e = np.empty_like(a)
        e[busy] = exponentials(a[busy])
        if not busy.all():
            e[~busy] = exponentials(a[~busy][:1])  # free flight is the same in every step
        phi = e[:, : 2 * n, : 2 * n]
        start = e[:, : 2 * n, 2 * n : 2 * n + 2] - e[:, : 2 * n, 2 * n + 2 :]
        return phi, start, e[:, : 2 * n, 2 * n + 2 :], out

    def growth(self, rpm, depth, steps):
        n = len(self.omega)
        phi, start, end, out = self.steps_of(rpm, depth, steps)
        # What the state and the positions 1 ... m steps ago become; the rows are moved on, as in
        # the shift of the textbook's matrix, and only the new ones are computed.
        size = 2 * n + 2 * steps
        old = np.eye(size)  # rows: state, then the positions m, m − 1, ..., 1 steps ago
        state = old[: 2 * n]
        position = list(old[2 * n :].reshape(steps, 2, size))
        position.append(out @ state[:n])
        first = steps
        for i in range(steps):
            state = phi[i] @ state + start[i] @ position[i] + end[i] @ position[i + 1]
            position.append(out @ state[:n])
        monodromy = np.vstack((state, np.concatenate(position[first : 2 * steps])))
        return np.abs(np.linalg.eigvals(monodromy)).max()

    def limit(self, rpm, largest, steps, scan):
        low, high = 0.0, None
        for i in range(1, scan + 1):
            depth = largest * (i / scan) ** 1.7
            if self.growth(rpm, depth, steps) < 1:
                low = depth
            else:
                high = depth
                break
        if high is None:
            return float("nan")
        while high - low > 1e-4 * high:
            middle = 0.5 * (low + high)
            if self.growth(rpm, middle, steps) < 1:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)


if __name__ == "__main__":
    p = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    p.add_argument("--flutes", type=int, required=True)
    p.add_argument("--entry", type=float, required=True, help="deg")
    p.add_argument("--exit", type=float, required=True, help="deg")
    p.add_argument("--ktc", type=float, required=True, help="Pa")
    p.add_argument("--krc", type=float, required=True, help="Pa")
    p.add_argument("--x", default="", help="modes Hz:damping:N/m,...")
    p.add_argument("--y", default="")
    p.add_argument("--speeds", required=True, help="rpm,...")
    p.add_argument("--max", type=float, required=True, help="m")
    p.add_argument("--steps", default="40,80,120")
    p.add_argument("--scan", type=int, default=20)
    p.add_argument("--rounds", type=int, default=15, help="points timed for each number of steps")
    args = p.parse_args()
    cut = Cut(
        args.flutes,
        np.radians(args.entry),
        np.radians(args.exit),
        args.ktc,
        args.krc,
        modes(args.x),
        modes(args.y),
    )
    speeds = [float(v) for v in args.speeds.split(",")]
    for steps in (int(v) for v in args.steps.split(",")):
        limits = [cut.limit(rpm, args.max, steps, args.scan) for rpm in speeds]
        times = []
        for i in range(args.rounds):
            begin = time.perf_counter()
            cut.growth(speeds[i % len(speeds)], args.max * (i + 1) / args.rounds, steps)
            times.append(time.perf_counter() - begin)
        print(
            "steps",
            steps,
            "ms_per_point",
            f"{1e3 * np.median(times):.4f}",
            "limits",
            " ".join(f"{v:.8g}" for v in limits),
            flush=True,
        )
