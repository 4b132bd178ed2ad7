# statsmodels' combine_effects, timed from the inside. First line of standard input: values, a semicolon, variances.
# Argument: dl or iterated (Paule-Mandel). Then for each number of runs: milliseconds per run and the variance found.
import sys
import time
import numpy as np
from statsmodels.stats.meta_analysis import combine_effects

values, variances = (np.array(part.split(","), dtype=float) for part in sys.stdin.readline().split(";"))
method = sys.argv[1]
for _ in range(3):
    combine_effects(values, variances, method_re=method)
print("ready", flush=True)
for line in sys.stdin:
    runs = int(line)
    began = time.perf_counter()
    for _ in range(runs):
        found = combine_effects(values, variances, method_re=method)
    print(1000 * (time.perf_counter() - began) / runs, found.tau2, flush=True)
