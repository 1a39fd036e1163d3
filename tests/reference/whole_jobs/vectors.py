"""Vectors, and roots and least values of many functions at once."""

import numpy as np


def unit(v):
    return np.asarray(v, float) / np.linalg.norm(v)


def across(way, axis):
    """What of `way` is square to the unit vector `axis`, of length 1; None where nothing is."""
    left = np.asarray(way, float) - np.dot(way, axis) * axis
    return None if np.linalg.norm(left) < 1e-6 else unit(left)


def usual_zero(axis):
    """Upwards; towards +x on what stands upright."""
    up = np.array([0.0, 0.0, 1.0]) - axis[2] * axis
    return unit(up) if np.linalg.norm(up) > 0.1 else across([1.0, 0.0, 0.0], axis)


def roots(f, low, high, within=1e-10):
    """Where each of the functions changes its sign between `low` and `high`; f takes and gives arrays.

    By Chandrupatla's rule (Advances in Engineering Software 28, 1997): a parabola through three places, where that can be
    trusted, else halves.
    """
    a, b = np.array(high, float), np.array(low, float)
    c, fa, fb = a.copy(), f(a), f(b)
    fc = fa.copy()
    share = np.full(a.shape, 0.5)
    for _ in range(100):
        t = a + share * (b - a)
        ft = f(t)
        is_same = (ft > 0.0) == (fa > 0.0)
        c, fc, b, fb = (np.where(is_same, a, b), np.where(is_same, fa, fb),
                        np.where(is_same, b, a), np.where(is_same, fb, fa))
        a, fa = t, ft
        best = np.where(np.abs(fa) < np.abs(fb), a, b)
        far = np.abs(b - a)
        if np.all((far < within) | (fa == 0.0) | (fb == 0.0)):
            break
        with np.errstate(all="ignore"):
            x, y = (a - b) / (c - b), (fa - fb) / (fc - fb)
            is_trusted = (y * y < x) & ((1.0 - y) ** 2 < 1.0 - x)
            parabola = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            least = np.minimum(0.5, 0.4 * within / far)
        share = np.where(is_trusted, parabola, 0.5)
        share = np.clip(np.where(np.isfinite(share), share, 0.5), least, 1.0 - least)
    return best


def largest(f, low, high, looks=9, rounds=12):
    """The largest value of each of many functions over [low, high] (shape (n,) each), and where.

    f takes (n, looks) places. The best of `looks` places is looked at ever more closely; each function has one hump.
    Last, a parabola through the best place and those beside it says where its top is.
    """
    low, high = np.array(low, float), np.array(high, float)
    share = np.linspace(0.0, 1.0, looks)
    begin, end = low.copy(), high.copy()
    rows = np.arange(len(low))
    for _ in range(rounds):
        places = begin[:, None] + (end - begin)[:, None] * share
        values = f(places)
        best = np.argmax(np.where(np.isnan(values), -np.inf, values), axis=1)
        step = (end - begin) / (looks - 1)
        at, most = places[rows, best], values[rows, best]
        begin, end = np.maximum(low, at - step), np.minimum(high, at + step)
    middle = np.clip(best, 1, looks - 2)
    before, here, after = (values[rows, middle + by] for by in (-1, 0, 1))
    with np.errstate(all="ignore"):
        top = places[rows, middle] + 0.5 * step * (before - after) / (before - 2.0 * here + after)
    top = np.clip(np.where(np.isfinite(top), top, at), low, high)
    value = f(top[:, None])[:, 0]
    is_better = value > most
    return np.where(is_better, value, most), np.where(is_better, top, at)
