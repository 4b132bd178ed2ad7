/* All subsets of k studies pooled by DerSimonian-Laird: the least work in C, from arrays to arrays, no library.
   Gray-code updates of the sums, then one pass over the studies for the random-effects weights.
   stdin: k, then k lines "value variance". For every further line "n" it runs n times and prints milliseconds per run
   and the sums of all means and of all I-squared. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static void scan(int k, const double *y, const double *v, double *means, double *i_squared) {
  double w = 0, wy = 0, wyy = 0, ww = 0;
  unsigned long in = 0;
  int count = 0;
  for (unsigned long step = 1; step < (1ul << k); step++) {
    int study = __builtin_ctzl(step);
    double weight = 1 / v[study];
    in ^= 1ul << study;
    if (in >> study & 1) {
      count++;
      w += weight, wy += weight * y[study], wyy += weight * y[study] * y[study], ww += weight * weight;
    } else {
      count--;
      w -= weight, wy -= weight * y[study], wyy -= weight * y[study] * y[study], ww -= weight * weight;
    }
    double q = wyy - wy * wy / w, excess = q - (count - 1);
    if (count < 2 || excess <= 0) {
      means[in] = wy / w;
      i_squared[in] = 0;
      continue;
    }
    double between = excess / (w - ww / w), weights = 0, weighted = 0;
    for (int i = 0; i < k; i++)
      if (in >> i & 1) {
        double each = 1 / (v[i] + between);
        weights += each;
        weighted += each * y[i];
      }
    means[in] = weighted / weights;
    i_squared[in] = excess / q;
  }
}

int main(void) {
  int k, runs;
  if (scanf("%d", &k) != 1 || k < 1 || k > 24) return 1;
  double *y = malloc(k * sizeof *y), *v = malloc(k * sizeof *v);
  for (int i = 0; i < k; i++)
    if (scanf("%lf %lf", &y[i], &v[i]) != 2) return 1;
  double *means = calloc(1ul << k, sizeof *means), *i_squared = calloc(1ul << k, sizeof *i_squared);
  while (scanf("%d", &runs) == 1) {
    struct timespec began, ended;
    clock_gettime(CLOCK_MONOTONIC, &began);
    for (int run = 0; run < runs; run++) scan(k, y, v, means, i_squared);
    clock_gettime(CLOCK_MONOTONIC, &ended);
    double mean_sum = 0, share_sum = 0;
    for (unsigned long m = 1; m < (1ul << k); m++) mean_sum += means[m], share_sum += i_squared[m];
    printf("%.6f %.12g %.12g\n",
           ((ended.tv_sec - began.tv_sec) * 1e3 + (ended.tv_nsec - began.tv_nsec) / 1e6) / runs, mean_sum, share_sum);
    fflush(stdout);
  }
  return 0;
}
