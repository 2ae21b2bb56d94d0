/*
 * Flow through narrow slots, and the case drain flow of a piston pump made comparable.
 *
 * Between two close walls oil flows in layers: the flow goes with the pressure and with the inverse of the viscosity, and
 * with the cube of the clearance.  So wear shows in the drain flow as soon as pressure and viscosity are taken out.  The
 * compensator of a variable pump lets off some oil through orifices besides, its control bleed, which goes with the root
 * of the pressure and hardly with the viscosity:
 *
 *	drain = bleed root(p / pref) + slot (p / pref) (nuref / nu)
 *	corrected = bleed + slot
 *
 * bleed and slot being those at the reference pressure pref and the reference viscosity nuref.  The change of density
 * with temperature, about 1.5 % in 20 K, is left out, as is usual.
 */
#ifndef LEAT_PHYSICS_SLOT_FLOW_H
#define LEAT_PHYSICS_SLOT_FLOW_H

/* What a drain flow is corrected to, and what is no slot flow in it. */
struct leat_drain_reference {
	double pressure_bar;		/* gauge, above 0 */
	double viscosity_mm2_s;		/* above 0 */
	double bleed_lpm;		/* of the control at the reference pressure, 0 or more */
};

/* The slot flow in L/min at the reference that a drain flow of flow_lpm at that pressure (above 0) and viscosity means.
 * Below 0 when there is less drain flow than the bleed alone. */
double leat_slot_flow_lpm(const struct leat_drain_reference *ref, double flow_lpm, double pressure_bar,
    double viscosity_mm2_s);

/* The whole drain flow at the reference: that and the bleed. */
double leat_drain_corrected_lpm(const struct leat_drain_reference *ref, double flow_lpm, double pressure_bar,
    double viscosity_mm2_s);

/* Flow in L/min through a ring slot around a piston or rod: pi D h^3 dp / (12 nu rho L) (1 + 1.5 e^2), e being the
 * distance of the two axes as a share of the clearance, 0..1.  Clearance at the radius. */
double leat_slot_ring_lpm(double diameter_mm, double clearance_um, double eccentricity, double length_mm,
    double pressure_bar, double viscosity_mm2_s, double density_kg_m3);

#endif
