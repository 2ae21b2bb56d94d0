/*
 * Probabilities and quantiles of the normal distribution and of Student's t.
 */
#ifndef LEAT_STATS_TAIL_H
#define LEAT_STATS_TAIL_H

/* Probability that a normal number (mean 0, deviation 1) is below z. */
double leat_normal_below(double z);

/* The z below which a normal number is with probability p; -INFINITY at 0, INFINITY at 1, NaN outside. */
double leat_normal_quantile(double p);

/* Probability that Student's t with df > 0 degrees of freedom is below t. */
double leat_student_below(double t, double df);

/* The t below which Student's t with df > 0 degrees of freedom is with probability p; as above outside. */
double leat_student_quantile(double p, double df);

#endif
