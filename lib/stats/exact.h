/*
 * Exact intervals of counts: the chi-square distribution and its use for events in a time, and the interval of a share.
 *
 * NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1 (times between failures, test ended by time) and 7.2.4.2
 * (shares of small samples); the latter after Clopper and Pearson (1934), Biometrika 26, 404.
 */
#ifndef LEAT_STATS_EXACT_H
#define LEAT_STATS_EXACT_H

/* Probability that a chi-square number with df > 0 degrees of freedom is below x. */
double leat_chi_square_below(double x, double df);

/* The x below which it is with probability p: 0 at 0, INFINITY at 1, NaN outside. */
double leat_chi_square_quantile(double p, double df);

/* Probability that a beta number with a, b > 0 is below x, 0..1. */
double leat_beta_below(double x, double a, double b);

/* The mean time between events of which count came in span, observed from beginning to end of it: with probability
 * confidence it lies within *low..*high.  Without any event *high is INFINITY and *low its one-sided bound.  The times
 * between are taken to be exponential. */
void leat_between_events(double span, long count, double confidence, double *low, double *high);

/* The share of which count of n showed: with probability confidence or more it lies within *low..*high.  n > 0. */
void leat_share_interval(long count, long n, double confidence, double *low, double *high);

#endif
