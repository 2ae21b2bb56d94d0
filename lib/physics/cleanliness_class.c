/* Classes after SAE AS4059 and NAS 1638.  The sources stand in the header. */
#include <math.h>

#include "physics/cleanliness.h"

/* Counts are parts of whole numbers, and bands are differences of such: what lies on a limit must not fall beside it. */
#define SLACK (1 + 1e-12)

static const char *const names[] = {
	"000", "00", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", ">12"
};

/* Particles of a size and larger in 100 mL.  8 B and 8 C are the standard's own rounding of 77 849 and 13 849. */
static const double cumulative[LEAT_AS4059_CLASSES][LEAT_PARTICLES] = {
	{ 195, 76, 14, 3, 1, 0 },
	{ 390, 152, 27, 5, 1, 0 },
	{ 780, 304, 54, 10, 2, 0 },
	{ 1560, 609, 109, 20, 4, 1 },
	{ 3120, 1220, 217, 39, 7, 1 },
	{ 6250, 2430, 432, 76, 13, 2 },
	{ 12500, 4860, 864, 152, 26, 4 },
	{ 25000, 9730, 1730, 306, 53, 8 },
	{ 50000, 19500, 3460, 612, 106, 16 },
	{ 100000, 38900, 6920, 1220, 212, 32 },
	{ 200000, 77900, 13900, 2450, 424, 64 },
	{ 400000, 156000, 27700, 4900, 848, 128 },
	{ 800000, 311000, 55400, 9800, 1700, 256 },
	{ 1600000, 623000, 111000, 19600, 3390, 512 },
	{ 3200000, 1250000, 222000, 39200, 6780, 1020 }
};

/* Particles of a band in 100 mL.  Class 7, 50 to 100 um: two public sheets print 190; 180 is twice class 6 and the only
 * value that fits AS4059.  Class 12, over 100 um: 1020 in two sheets, 1024 in a third; 1020 is AS4059's too. */
static const double bands[LEAT_NAS1638_CLASSES][LEAT_NAS1638_BANDS] = {
	{ 125, 22, 4, 1, 0 },
	{ 250, 44, 8, 2, 0 },
	{ 500, 89, 16, 3, 1 },
	{ 1000, 178, 32, 6, 1 },
	{ 2000, 356, 63, 11, 2 },
	{ 4000, 712, 126, 22, 4 },
	{ 8000, 1425, 253, 45, 8 },
	{ 16000, 2850, 506, 90, 16 },
	{ 32000, 5700, 1012, 180, 32 },
	{ 64000, 11400, 2025, 360, 64 },
	{ 128000, 22800, 4050, 720, 128 },
	{ 256000, 45600, 8100, 1440, 256 },
	{ 512000, 91200, 16200, 2880, 512 },
	{ 1024000, 182400, 32400, 5760, 1020 }
};

static bool
is_count(double per_ml)
{
	return per_ml >= 0 && !isinf(per_ml);
}

int
leat_as4059_class(enum leat_particle size, double per_ml)
{
	int number = 0;

	if (!is_count(per_ml))
		return -1;
	while (number < LEAT_AS4059_CLASSES && per_ml > cumulative[number][size] / 100 * SLACK)
		number++;
	return number;
}

const char *
leat_as4059_name(int number)
{
	return number >= 0 && number <= LEAT_AS4059_CLASSES ? names[number] : "";
}

double
leat_as4059_limit(enum leat_particle size, int number)
{
	return number < LEAT_AS4059_CLASSES ? cumulative[number][size] : INFINITY;
}

size_t
leat_as4059_write(char *dst, const double per_ml[LEAT_PARTICLES], unsigned has)
{
	size_t len = 0;

	for (int size = 0; size < LEAT_PARTICLES; size++) {
		const char *name;

		if ((has & 1u << size) == 0)
			continue;
		if (len > 0)
			dst[len++] = '/';
		name = leat_as4059_name(leat_as4059_class((enum leat_particle)size, per_ml[size]));
		memcpy(dst + len, name, strlen(name));
		len += strlen(name);
		dst[len++] = (char)('A' + size);
	}
	dst[len] = '\0';
	return len;
}

int
leat_nas1638_band(int band, double per_ml)
{
	int number = 0;

	if (!is_count(per_ml))
		return -1;
	while (number < LEAT_NAS1638_CLASSES && per_ml > bands[number][band] / 100 * SLACK)
		number++;
	return number;
}

const char *
leat_nas1638_name(int number)
{
	return number >= 0 && number <= LEAT_NAS1638_CLASSES ? names[number + 1] : "";
}

double
leat_nas1638_limit(int band, int number)
{
	return number < LEAT_NAS1638_CLASSES ? bands[number][band] : INFINITY;
}

int
leat_nas1638_class(const double per_ml[LEAT_PARTICLES], unsigned has, int band[LEAT_NAS1638_BANDS])
{
	int worst = -1;

	for (int i = 0; i < LEAT_NAS1638_BANDS; i++) {
		int lower = i + LEAT_PARTICLE_6, upper = lower + 1;
		double count;

		band[i] = -1;
		if ((has & 1u << lower) == 0 || (upper < LEAT_PARTICLES && (has & 1u << upper) == 0))
			continue;
		count = per_ml[lower] - (upper < LEAT_PARTICLES ? per_ml[upper] : 0);
		/* Equal counts in two units may differ in the last digit. */
		if (count < 0 && -count < per_ml[lower] * (SLACK - 1))
			count = 0;
		band[i] = leat_nas1638_band(i, count);
		if (band[i] > worst)
			worst = band[i];
	}
	return worst;
}
