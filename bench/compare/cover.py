"""The same covers by simulation in numpy: reads the houses, one line of numbers each, prints the processor seconds of the
simulation alone, then for each house the chance that it has run out by the end of each day."""
import sys
import time

import numpy as np

paths, days = int(sys.argv[2]), int(sys.argv[3])
random = np.random.default_rng(20261126)
houses = [np.array(line.split(), dtype=float) for line in open(sys.argv[1])]


def run_out(sd, prime, prime_new, full, in_use, left, used, sealed, *doses):
    """All paths at once, dose by dose; a path that has run out stays out."""
    left = np.full(paths, left)
    opened = np.full(paths, -used)
    sealed = np.full(paths, sealed)
    out = np.zeros(paths, dtype=bool)
    gone = np.ones(days)
    for day in range(days):
        for mean in doses:
            dose = np.maximum(0.0, np.rint(random.normal(mean, sd, paths) if sd > 0 else np.full(paths, mean)))
            fits = (left >= dose + prime) & (day - opened < in_use)
            change = (dose > 0) & ~fits
            left -= np.where((dose > 0) & fits, dose + prime, 0.0)
            if change.any():
                out |= change & (sealed < 1)
                left = np.where(change, full - prime_new - dose, left)
                opened = np.where(change, day, opened)
                sealed = sealed - change
        gone[day] = out.mean()
        if gone[day] == 1.0:
            break
    return gone


began = time.process_time()
answers = [run_out(*house) for house in houses]
print(time.process_time() - began)
for gone in answers:
    print(*gone[:days])
