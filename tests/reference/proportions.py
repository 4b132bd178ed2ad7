"""Study intervals of proportions by scipy, a second reference. Makes proportions-scipy.json.

Run from the repository root: python3 tests/reference/proportions.py
Wilson and Clopper-Pearson: scipy.stats.binomtest. Jeffreys: scipy.stats.beta, ends set to 0 and 1.
"""
import datetime
import json

import scipy
from scipy import stats

rows = []
for x, n in [(0, 1), (1, 1), (0, 20), (0, 23), (1, 29), (15, 148), (81, 263), (20, 20), (1, 2), (7, 353), (4, 1083), (44, 1083), (12, 15085), (15, 45), (4, 42), (505, 88391)]:
    for level in [0.8, 0.95, 0.99]:
        test = stats.binomtest(x, n)
        tail = (1 - level) / 2

        def ends(limits):
            return [0.0 if x == 0 else float(limits[0]), 1.0 if x == n else float(limits[1])]

        rows.append(
            {
                "events": x,
                "total": n,
                "level": level,
                "wilson": ends(test.proportion_ci(level, "wilson")),
                "clopper-pearson": ends(test.proportion_ci(level, "exact")),
                "jeffreys": ends((stats.beta.ppf(tail, x + 0.5, n - x + 0.5), stats.beta.isf(tail, x + 0.5, n - x + 0.5))),
            }
        )
head = {
    "what": "intervals of one proportion",
    "madeBy": "tests/reference/proportions.py",
    "versions": {"scipy": scipy.__version__},
    "date": str(datetime.date.today()),
    "tolerance": "1e-8 relative for Wilson and Jeffreys; 1e-6 for Clopper-Pearson, which scipy finds by a root search with absolute tolerance",
}
with open("tests/reference/proportions-scipy.json", "w") as out:
    out.write(json.dumps(head)[:-1] + ', "rows": [\n' + ",\n".join(map(json.dumps, rows)) + "\n]}\n")
