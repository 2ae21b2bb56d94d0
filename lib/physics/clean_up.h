/*
 * Cleaning a tank by its off-line filter.
 *
 * The mass balance of a mixed tank: V dN/dt = R - Q eta N, with N particles per mL of one size, R particles that come in
 * each minute, Q the flow through the filter and eta = 1 - 1/beta, beta being the filtration ratio of ISO 16889.  In
 * service a filter does not reach the ratio of the laboratory (common practice: 75 to 90 % of eta).
 */
#ifndef LEAT_PHYSICS_CLEAN_UP_H
#define LEAT_PHYSICS_CLEAN_UP_H

struct leat_clean_up {
	double volume_l, flow_lpm;	/* above 0 */
	double beta;			/* above 1 */
	double service;			/* share of the laboratory's efficiency that is reached in service, above 0 .. 1 */
	double ingress_per_min;		/* particles of the size that come in */
};

/* Share of the particles taken in one pass in the laboratory; NaN for a ratio below 1. */
double leat_filter_efficiency(double beta);

/* Particles per mL below which this filter never gets. */
double leat_clean_up_floor(const struct leat_clean_up *c);

/* Particles per mL after so many minutes. */
double leat_clean_up_after(const struct leat_clean_up *c, double from_per_ml, double minutes);

/* Minutes from one count to another, lower one; INFINITY when the floor is not below it. */
double leat_clean_up_min(const struct leat_clean_up *c, double from_per_ml, double to_per_ml);

/* The flow in L/min at which the floor is just half of the target count, so that it is reached in sensible time. */
double leat_clean_up_flow_lpm(const struct leat_clean_up *c, double to_per_ml);

#endif
