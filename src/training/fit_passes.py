"""Fits how differences of chords between passes are judged: fit_passes.py FACTS.json, from tests/bench/pass-facts.ts.

Prints the constants of ../analysis/passes/judge-chords.ts and, for songs left out, how many planted chords are found at how many
invented ones. Two bars at a time: the program itself hears all other passes together, which invents less.
"""
import json
import sys

import numpy as np
from scipy.optimize import minimize

FLOOR, LEAST_SPREAD, SONG_BARS, PASS_BARS, ANY_SPREAD, RIDGE, FOLDS = 0.05, 0.3, 6, 6, 1.2, 5, 10


def logs(song):
    return np.log(np.maximum(0, np.array([row["x"] for row in song["rows"]])) + FLOOR)


def features(songs):
    usual = np.median([np.median(logs(song), axis=0) for song in songs], axis=0)
    rows, differs, group = [], [], []
    for number, song in enumerate(songs):
        x = logs(song)
        section = np.array([row["s"] for row in song["rows"]])
        share = len(x) / (len(x) + SONG_BARS)
        median = share * np.median(x, axis=0) + (1 - share) * usual
        spread = share * (np.quantile(x, 0.75, axis=0) - np.quantile(x, 0.25, axis=0)) + (1 - share) * ANY_SPREAD
        medians = np.empty_like(x)
        for one in set(section):
            own = section == one
            weight = own.sum() / (own.sum() + PASS_BARS)
            medians[own] = weight * np.median(x[own], axis=0) + (1 - weight) * median
        rows.append(np.c_[x, (x - medians) / (spread + LEAST_SPREAD)])
        differs += [row["d"] for row in song["rows"]]
        group += [number] * len(x)
    return np.vstack(rows), np.array(differs), np.array(group), usual


def fit(x, y):
    """Weights and constant of a logistic regression; the ridge penalty is on standardised features."""
    mean, deviation = x.mean(0), x.std(0) + 1e-6
    z = np.c_[(x - mean) / deviation, np.ones(len(x))]

    def loss(theta):
        score = z @ theta
        error = 1 / (1 + np.exp(-score)) - y
        value = (np.logaddexp(0, score) - y * score).sum() + RIDGE * (theta[:-1] ** 2).sum()
        return value, z.T @ error + np.r_[2 * RIDGE * theta[:-1], 0]

    theta = minimize(loss, np.zeros(z.shape[1]), jac=True, method="L-BFGS-B").x
    weights = theta[:-1] / deviation
    return weights, theta[-1] - (weights * mean).sum()


def main():
    with open(sys.argv[1]) as file:
        songs = json.load(file)
    x, y, group, usual = features(songs)
    weights, constant = fit(x, y)
    half = x.shape[1] // 2
    print(f"{len(songs)} songs, {len(y)} bars, {y.sum()} with another chord")
    for name, values in (("facts", weights[:half]), ("relative", weights[half:]), ("usual medians", usual)):
        print(f"{name}: {np.round(values, 2).tolist()}")
    print(f"constant: {constant:.2f}")
    score = np.empty(len(y))
    for fold in range(FOLDS):
        left = group % FOLDS == fold
        own, at = fit(x[~left], y[~left])
        score[left] = x[left] @ own + at
    same = np.sort(score[y == 0])[::-1]
    for share in (0.005, 0.01, 0.015, 0.02, 0.03):
        level = same[int(share * len(same))]
        print(f"{100 * share:.1f} % invented: {100 * (score[y == 1] > level).mean():.0f} % found, from a probability of {1 / (1 + np.exp(-level)):.2f}")


if __name__ == "__main__":
    main()
