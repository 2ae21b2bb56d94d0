/*
 * Single results of the model, for checks against other calculations.
 */
#ifndef VECTORS_H
#define VECTORS_H

/* Prints the state of nitrogen and of the bank at a gauge pressure and temperature. */
void vectors_gas(double p_bar, double celsius);
/* Prints the steady charging cycle at a leakage and a share of the gas. */
void vectors_cycle(double leak_lpm, double share);
/* Prints seconds and gauge pressure each step_s while that flow is let off from 125 bar(g) until the shells are empty of oil. */
void vectors_bleed(double lpm, double share, int step_s);

#endif
