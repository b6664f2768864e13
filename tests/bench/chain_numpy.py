"""The benchmark chain of naive.rs in vectorised numpy: nanoseconds of processor time a trial.

python3 chain_numpy.py TRIALS REPEATS prints the mean of the results, their standard deviation, and the median time.
"""

import sys
import time

import numpy as np

CHUNK = 8192
DENSITY, WATER, CP_CALIBRANT, CP_SAMPLE = 0.9970, 80.0, 4.170, 4.160
REFERENCE, MOLAR_MASS, SAMPLE = 245.76, 53.489, 14_780.0
DISSOLVING = 600.0 * 0.01


def measure(rng, n, shared, mass, heat, cp):
    balance, delivery, thermometer, vessel = shared

    def normal(sd):
        return sd * rng.standard_normal(n)

    def rectangular(half):
        return half * (2.0 * rng.random(n) - 1.0)

    indicated = mass * (1.0 + balance)
    for sign in (1.0, -1.0):
        indicated = indicated + sign * (normal(1e-4) + rectangular(2e-4) + rectangular(5e-5))
    undissolved = np.exp(-DISSOLVING * np.exp(normal(0.35)))
    volume = WATER + delivery + normal(0.03) + 0.2 * rng.standard_exponential(n)
    capacity = (vessel + volume * DENSITY * cp) * (1.0 + normal(0.003))
    rise = mass * heat * (1.0 - undissolved) / capacity
    read = rectangular(5e-4) - rectangular(5e-4)
    return indicated, rise * thermometer + normal(1.5e-3) + read


def chunk(rng, n):
    def normal(sd):
        return sd * rng.standard_normal(n)

    def rectangular(half):
        return half * (2.0 * rng.random(n) - 1.0)

    shared = (normal(5e-5), rectangular(0.08), 1.0 + normal(1e-3), 45.0 + normal(4.0))
    reference = REFERENCE + normal(0.26)
    calibrant, sample = 0.9995 + rectangular(0.0005), 0.995 + rectangular(0.005)
    cp_calibrant, cp_sample = CP_CALIBRANT + normal(0.006), CP_SAMPLE + normal(0.008)
    system = 0.0
    for _ in range(3):
        mass, rise = measure(rng, n, shared, 0.40, calibrant * reference, cp_calibrant)
        system = system + mass * REFERENCE / rise
    system = system / 3.0 + WATER * (CP_SAMPLE - CP_CALIBRANT)
    enthalpy = 0.0
    for _ in range(3):
        heat = -sample * SAMPLE / MOLAR_MASS
        mass, rise = measure(rng, n, shared, 0.60, heat, cp_sample)
        enthalpy = enthalpy - rise / (mass / MOLAR_MASS)
    return system * enthalpy / 3.0 * 1e-3


def main():
    trials, repeats = int(sys.argv[1]), int(sys.argv[2])
    times = []
    for repeat in range(repeats):
        rng = np.random.Generator(np.random.SFC64(repeat))
        start = time.process_time()
        parts = [chunk(rng, min(CHUNK, trials - at)) for at in range(0, trials, CHUNK)]
        times.append((time.process_time() - start) / trials * 1e9)
        results = np.concatenate(parts)
    print(results.mean(), results.std(ddof=1), *np.quantile(results, [0.025, 0.975]), np.median(times))


if __name__ == "__main__":
    main()
