/*
 * The tables behind base/units.h: the units in the order of leat-units(7), and every spelling that finds one.
 */
#ifndef LEAT_BASE_UNITS_TABLE_H
#define LEAT_BASE_UNITS_TABLE_H

#include "base/units.h"

enum leat_unit_index {
	U_BAR, U_MBAR, U_PA, U_HPA, U_KPA, U_MEGA_PA, U_PSI, U_KGF_PER_CM2, U_MMHG, U_INHG, U_MMH2O, U_MH2O,
	U_INH2O,
	U_BAR_ABS, U_MBAR_ABS, U_PA_ABS, U_HPA_ABS, U_KPA_ABS, U_MEGA_PA_ABS, U_PSI_ABS, U_KGF_PER_CM2_ABS,
	U_MMHG_ABS, U_INHG_ABS,
	U_BAR_PER_S, U_BAR_PER_MIN, U_BAR_PER_H, U_KPA_PER_MIN, U_MEGA_PA_PER_MIN, U_PSI_PER_MIN,
	U_BAR_PER_K, U_KPA_PER_K, U_PSI_PER_DELTA_DEGF,
	U_DEGC, U_DEGF, U_DEGK,
	U_K, U_DELTA_DEGF,
	U_K_PER_MIN, U_K_PER_H, U_DELTA_DEGF_PER_H,
	U_K_H,
	U_L_PER_MIN, U_ML_PER_MIN, U_CM3_PER_MIN, U_L_PER_S, U_L_PER_H, U_L_PER_D, U_ML_PER_S, U_ML_PER_H,
	U_M3_PER_S, U_M3_PER_MIN, U_M3_PER_H, U_M3_PER_D, U_GAL_US_PER_MIN, U_GAL_UK_PER_MIN, U_IN3_PER_MIN,
	U_FT3_PER_MIN, U_DROP_PER_MIN,
	U_L, U_ML, U_CM3, U_M3, U_IN3, U_FT3, U_GAL_US, U_GAL_UK, U_DROP,
	U_CM3_PER_R, U_ML_PER_R, U_L_PER_R, U_IN3_PER_R,
	U_L_PER_BAR, U_ML_PER_BAR, U_L_PER_MEGA_PA,
	U_UM, U_MM, U_CM, U_M, U_MIL, U_IN, U_FT,
	U_MM2, U_CM2, U_M2, U_IN2, U_FT2,
	U_MM_PER_S, U_MM_PER_MIN, U_MM_PER_H, U_M_PER_S, U_M_PER_MIN, U_IN_PER_S, U_FT_PER_MIN,
	U_M_PER_S2, U_GN,
	U_MG, U_G, U_KG, U_T, U_LB, U_TON_US,
	U_KG_PER_S, U_KG_PER_MIN, U_KG_PER_H, U_T_PER_H, U_T_PER_D, U_LB_PER_H, U_LB_PER_MIN, U_TON_US_PER_H,
	U_KG_PER_M3, U_KG_PER_L, U_G_PER_ML, U_LB_PER_FT3,
	U_MM2_PER_S, U_M2_PER_S,
	U_MILLI_PA_S, U_PA_S,
	U_MGKOH_PER_G,
	U_UG_PER_KG, U_MG_PER_KG, U_G_PER_KG, U_PERCENT_MASS,
	U_ONE, U_PERCENT,
	U_PER_ML, U_PER_100ML, U_PER_L,
	U_N, U_DAN, U_KN, U_MEGA_N, U_KGF, U_LBF,
	U_N_PER_MM, U_KN_PER_M,
	U_N_M, U_KN_M,
	U_W, U_KW, U_MEGA_W, U_HP, U_PS,
	U_J, U_KJ, U_MEGA_J, U_GJ, U_WH, U_KWH, U_MEGA_WH,
	U_J_PER_KG, U_KJ_PER_KG, U_KWH_PER_T,
	U_W_PER_K, U_KW_PER_K,
	U_K_PER_KW,
	U_W_PER_M2_K,
	U_MS, U_S, U_MIN, U_H, U_D,
	U_HZ, U_PER_S, U_PER_MIN, U_PER_H, U_PER_D, U_R_PER_MIN,
	U_A, U_MILLI_A,
	U_V, U_MILLI_V, U_KV,
	U_MOL, U_KMOL,
	U_COUNT
};

extern const struct leat_unit leat_unit_table[U_COUNT];

/* A spelling with blanks taken out and signs made plain, as leat_unit_find does it; marks of gauge and absolute
 * pressure are its work too. */
struct leat_unit_spelling {
	const char *text;
	enum leat_unit_index unit;
};

/* In byte order of the text, each text once; the units' own names are among them. */
extern const struct leat_unit_spelling leat_unit_spellings[];
extern const size_t leat_unit_spelling_count;

#endif
