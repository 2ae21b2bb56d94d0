/*
 * Bores of cylinders and the leakage past their piston seals.
 *
 * A bore gauge is set to zero in a ring and then shows the bore against the ring.  Where both are of steel and one
 * temperature, what it shows holds at 20 degC, the reference temperature of ISO 1.  A bore that is warmer than the ring has
 * grown and the ring has not:
 *
 *	at 20 degC = read (1 - alpha (bore temperature - ring temperature))
 *
 * The exact form, read (1 + alpha (ring - 20)) / (1 + alpha (bore - 20)), differs by less than 0.1 um at 320 mm and 30 K.
 * alpha = 11.5e-6 1/K is that of ISO 3650 for steel gauge blocks, (11.5 +- 1.0)e-6 1/K from 10 to 30 degC, and of carbon
 * steel tubes in handbooks (11 to 12e-6 1/K); both values from memory.
 */
#ifndef LEAT_PHYSICS_BORE_H
#define LEAT_PHYSICS_BORE_H

#define LEAT_BORE_STEEL_PER_K 11.5e-6

/* How well the difference of the two temperatures is known, in K: two contact thermometers of 1 K each (common practice). */
#define LEAT_BORE_HEAT_K 1.4

/* The diameter at 20 degC in mm that a gauge read in a bore of that temperature, set in a ring of that temperature. */
double leat_bore_at_20_mm(double read_mm, double bore_c, double ring_c);

/* Uncertainty of such a diameter in mm: of the gauge, and of the difference of the temperatures, each by itself. */
double leat_bore_uncertainty_mm(double gauge_mm, double bore_mm);

/* Ovality of a plane in mm: the difference of its two diameters, whichever is the larger. */
double leat_bore_ovality_mm(double x_mm, double y_mm);

/*
 * What a cylinder with elastomer seals may leak past its piston when new, in mL/min: an industry acceptance table, from
 * memory, 0.70 at 200 mm, 1.0 at 220, 1.1 at 250, 1.8 at 320, 2.8 at 400, in a straight line between its bores.  NaN
 * outside 200..400 mm: it is not extrapolated.
 */
double leat_seal_as_new_mlpm(double bore_mm);

/*
 * How much worse the worst position of the stroke leaks than the best: 1 where all leak alike.  A leak below the as-new
 * one counts as that, because drops of a good seal have no pattern.  as_new_mlpm above 0.
 */
double leat_seal_spread(double worst_mlpm, double best_mlpm, double as_new_mlpm);

#endif
