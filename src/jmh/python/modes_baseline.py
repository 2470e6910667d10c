"""From frequency response to modes in NumPy, for comparison: the same estimator written plainly.

Poles by vector fitting over orders 4, 6, ... 40 (six rounds at the first, two at the following
ones, one from four orders without progress on, as on the other side), each order by dense normal
equations and numpy.linalg; groups of poles by the same measure of distance; modes that are not
worth 45 in chi-square dropped one by one; Levenberg and Marquardt's refinement with a dense
Jacobian. Reads lines for the search of poles and lines for the modes as omega, real, imaginary,
sigma by rows (the same file twice for no thinning); prints best and median time of a warm call in
seconds and the natural frequencies found in Hz.
"""

import sys
import time

import numpy as np

GAIN, SAME = 45.0, 0.25


def basis(poles, s):
    columns = []
    for p in poles:
        if p.imag == 0:
            columns.append(1 / (s - p))
        else:
            a, b = 1 / (s - p), 1 / (s - np.conj(p))
            columns += [a + b, 1j * (a - b)]
    return np.stack(columns, axis=1)


def solve(matrix, right):
    scale = 1 / np.linalg.norm(matrix, axis=0)
    m = matrix * scale
    normal = m.T @ m
    try:
        x = np.linalg.solve(normal, m.T @ right)
    except np.linalg.LinAlgError:
        x = np.linalg.lstsq(normal, m.T @ right, rcond=None)[0]
    return x * scale


def stacked(matrix):
    return np.concatenate([matrix.real, matrix.imag])


def relocated(poles, s, g, w):
    phi = basis(poles, s)
    n = phi.shape[1]
    top = np.column_stack([phi, np.ones_like(s), 1 / s, 1 / s**2])
    matrix = stacked(np.column_stack([top, -g[:, None] * phi, -g]) * w[:, None])
    strength = np.sqrt(np.sum(np.abs(w * g) ** 2)) / s.size
    last = np.concatenate([np.zeros(n + 3), strength * phi.real.sum(axis=0), [strength * s.size]])
    x = solve(np.vstack([matrix, last]), np.append(np.zeros(2 * s.size), strength * s.size))
    c, sigma0 = x[n + 3:-1], x[-1]
    a = np.zeros((n, n))
    b = np.zeros(n)
    k = 0
    for p in poles:
        if p.imag == 0:
            a[k, k], b[k] = p.real, 1
            k += 1
        else:
            a[k:k + 2, k:k + 2] = [[p.real, p.imag], [-p.imag, p.real]]
            b[k] = 2
            k += 2
    z = np.linalg.eigvals(a - np.outer(b, c) / sigma0)
    z = -np.maximum(np.abs(z.real), 1e-9) + 1j * z.imag
    return list(z[z.imag >= 0])


def left_over(poles, s, g, w):
    phi = basis(poles, s)
    top = stacked(np.column_stack([phi, np.ones_like(s), 1 / s, 1 / s**2]) * w[:, None])
    e = stacked(g * w) - top @ solve(top, stacked(g * w))
    return e[:s.size] ** 2 + e[s.size:] ** 2


def distance(p, q, seen):
    return abs(complex(p.real - q.real, p.imag - q.imag)) / abs(
        complex(p.real + q.real - 2 * seen, p.imag - q.imag))


def starts(omega, g, sigma, spacing):
    unit = omega[-1]
    s = 1j * omega / unit
    mean = np.mean(1 / sigma)
    w = 1 / sigma / mean
    scaled = g / np.abs(g).max()
    low, high = omega[0] / unit, 1.0
    poles = [(-0.02 + 1j) * (low + (high - low) * part) for part in (0.25, 0.75)]
    best, idle, busy, groups = np.inf, 0, 0, []
    for index, order in enumerate(range(4, 41, 2)):
        for _ in range(6 if order == 4 else 2 if idle < 4 else 1):
            poles = relocated(poles, s, scaled, w)
        seen = 0.25 * spacing / unit
        free = [p for p in poles if p.imag > 0]
        pairs = sorted((distance(p, np.median(np.array(q["poles"][-3:]).real)
                                 + 1j * np.median(np.array(q["poles"][-3:]).imag), seen), i, k)
                       for i, p in enumerate(free) for k, q in enumerate(groups))
        used, full = set(), set()
        for d, i, k in pairs:
            if d < SAME and i not in used and k not in full:
                groups[k]["poles"].append(free[i])
                groups[k]["orders"].append(index)
                used.add(i)
                full.add(k)
        for i, p in enumerate(free):
            if i not in used:
                groups.append({"poles": [p], "orders": [index]})
        left = left_over(poles, s, scaled, w) / (w * sigma / np.abs(g).max()) ** 2
        if idle < 4:
            busy += 1
            chi = left.sum()
            needed = GAIN * max(1.0, chi / (2 * omega.size - 2 * order))
            idle = idle + 1 if chi > best - needed else 0
            best = min(best, chi)
        smooth = np.convolve(np.sqrt(left), np.ones(7), "same")
        at = omega[np.argmax(smooth)] / unit
        poles = list(poles) + [(-0.01 + 1j) * at]
    taken = []
    for group in groups:
        found = sum(o < busy for o in group["orders"])
        since = busy - group["orders"][0]
        if found >= min(3, busy) and (2 * found > since or 2 * found >= busy):
            p = np.array(group["poles"])
            taken.append((np.median(p.real) + 1j * np.median(p.imag)) * unit)
    return taken


def shapes(theta, s):
    modes = (theta.size - 2) // 3
    wn, zeta = np.exp(theta[0:3 * modes:3]), np.exp(theta[1:3 * modes:3])
    h = wn**2 / (s[:, None] ** 2 + 2 * zeta * wn * s[:, None] + wn**2)
    return wn, zeta, h


def jacobian(theta, s):
    modes = (theta.size - 2) // 3
    wn, zeta, h = shapes(theta, s)
    a = theta[2:3 * modes:3]
    j = np.empty((s.size, theta.size), complex)
    turn = 2 * zeta * s[:, None] / wn
    j[:, 0:3 * modes:3] = a * (2 * h - h**2 * (turn + 2))
    j[:, 1:3 * modes:3] = -a * h**2 * turn
    j[:, 2:3 * modes:3] = h
    j[:, -2] = 1
    j[:, -1] = 1 / s**2
    return j, h @ a + theta[-2] + theta[-1] / s**2


def linear(theta, s, g, w):
    modes = (theta.size - 2) // 3
    _, _, h = shapes(theta, s)
    m = stacked(np.column_stack([h, np.ones_like(s), 1 / s**2]) * w[:, None])
    x = solve(m, stacked(g * w))
    theta = theta.copy()
    theta[2:3 * modes:3] = x[:modes]
    theta[-2:] = x[-2:]
    return theta, np.sum((m @ x - stacked(g * w)) ** 2)


def refined(theta, s, g, w, steps, tolerance):
    damping = 1e-4
    j, model = jacobian(theta, s)
    e = stacked((g - model) * w)
    chi = e @ e
    for _ in range(steps):
        m = stacked(j * w[:, None])
        scale = 1 / np.linalg.norm(m, axis=0)
        m = m * scale
        normal = m.T @ m
        normal[np.diag_indices_from(normal)] += damping
        move = np.linalg.solve(normal, m.T @ e) * scale
        next_j, next_model = jacobian(theta + move, s)
        next_e = stacked((g - next_model) * w)
        then = next_e @ next_e
        if then <= chi:
            done = chi - then <= tolerance * chi
            theta, j, e, chi = theta + move, next_j, next_e, then
            damping /= 10
            if done:
                break
        else:
            damping *= 8
    return theta, chi


def without(theta, mode):
    return np.delete(theta, [3 * mode, 3 * mode + 1, 3 * mode + 2])


def modes_of(few, spacing, full):
    poles = starts(few[0], few[1] + 1j * few[2], few[3], spacing)
    s, g, w = 1j * full[0], full[1] + 1j * full[2], 1 / full[3]
    poles = [p for p in poles if full[0][0] / 2 < abs(p) < 2 * full[0][-1] and -p.real < 0.3 * abs(p)]
    theta = np.zeros(3 * len(poles) + 2)
    for k, p in enumerate(poles):
        theta[3 * k:3 * k + 2] = np.log(abs(p)), np.log(-p.real / abs(p))
    theta, _ = linear(theta, s, g, w)
    while theta.size > 2 and theta[2:-2:3].min() <= 0:
        peaks = theta[2:-2:3] / np.exp(theta[1:-2:3])
        theta, _ = linear(without(theta, int(np.argmin(peaks))), s, g, w)
    theta, chi = refined(theta, s, g, w, 20, 1e-5)
    while theta.size > 2:
        rises = [linear(without(theta, k), s, g, w)[1] - chi for k in range((theta.size - 2) // 3)]
        worst = int(np.argmin(rises))
        if rises[worst] > GAIN * max(1, chi / (2 * s.size)) and theta[2:-2:3].min() > 0:
            break
        theta, chi = refined(without(theta, worst), s, g, w, 10, 1e-5)
    theta, chi = refined(theta, s, g, w, 40, 1e-10)
    return np.sort(np.exp(theta[0:-2:3]) / 2 / np.pi)


if __name__ == "__main__":
    few, full = np.loadtxt(sys.argv[1]), np.loadtxt(sys.argv[2])
    seconds = float(sys.argv[3])
    spacing = (full[0][-1] - full[0][0]) / (full[0].size - 1)
    hz = modes_of(few, spacing, full)
    times = []
    end = time.perf_counter() + seconds
    while time.perf_counter() < end or len(times) < 3:
        start = time.perf_counter()
        hz = modes_of(few, spacing, full)
        times.append(time.perf_counter() - start)
    print(min(times), np.median(times), *hz)
