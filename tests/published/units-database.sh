#!/bin/sh
# units-database.sh: every factor and offset of the unit table against the database of the program units.
#
# Source: the general-purpose program units (Debian package units), whose database was made apart from this project.
set -u
cd "$(dirname "$0")" || exit 1
dump=${BUILD:-../../build}/tests/published/dump_units
if ! command -v units >/dev/null 2>&1; then
	echo "skip units-database: units not installed"
	exit 0
fi
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM

# Our unit, and what the program calls it.  A revolution counts as 1, a gauge pressure as the pressure that it is above
# the atmosphere, and the 'mg' of an acid number as milligrams alone.
cat >"$scratch/units" <<'END'
bar	bar
mbar	millibar
Pa	Pa
hPa	hPa
kPa	kPa
MPa	MPa
psi	psi
kgf/cm2	kgf / cm^2
mmHg	mmHg
inHg	inHg
mmH2O	mm water
mH2O	m water
inH2O	inch water
bara	bar
mbara	millibar
Paa	Pa
hPaa	hPa
kPaa	kPa
MPaa	MPa
psia	psi
kgf/cm2a	kgf / cm^2
mmHga	mmHg
inHga	inHg
bar/s	bar / s
bar/min	bar / min
bar/h	bar / hour
kPa/min	kPa / min
MPa/min	MPa / min
psi/min	psi / min
bar/K	bar / K
kPa/K	kPa / K
psi/deltadegF	psi / degF
degC	tempC
degF	tempF
degK	K
K	K
deltadegF	degF
K/min	K / min
K/h	K / hour
K.h	K hour
deltadegF/h	degF / hour
L/min	liter / min
mL/min	ml / min
cm3/min	cm^3 / min
L/s	liter / s
L/h	liter / hour
L/d	liter / day
mL/s	ml / s
mL/h	ml / hour
m3/s	m^3 / s
m3/min	m^3 / min
m3/h	m^3 / hour
m3/d	m^3 / day
galUS/min	gallon / min
galUK/min	brgallon / min
in3/min	in^3 / min
ft3/min	ft^3 / min
drop/min	drop / min
L	liter
mL	ml
cm3	cm^3
m3	m^3
in3	in^3
ft3	ft^3
galUS	gallon
galUK	brgallon
drop	drop
cm3/r	cm^3 / 1
mL/r	ml / 1
L/r	liter / 1
in3/r	in^3 / 1
L/bar	liter / bar
mL/bar	ml / bar
L/MPa	liter / MPa
um	micrometer
mm	mm
cm	cm
m	m
mil	mil
in	inch
ft	foot
mm2	mm^2
cm2	cm^2
m2	m^2
in2	in^2
ft2	ft^2
mm/s	mm / s
mm/min	mm / min
mm/h	mm / hour
m/s	m / s
m/min	m / min
in/s	inch / s
ft/min	foot / min
m/s2	m / s^2
gn	gravity
mg	mg
g	g
kg	kg
t	tonne
lb	lb
tonUS	shortton
kg/s	kg / s
kg/min	kg / min
kg/h	kg / hour
t/h	tonne / hour
t/d	tonne / day
lb/h	lb / hour
lb/min	lb / min
tonUS/h	shortton / hour
kg/m3	kg / m^3
kg/L	kg / liter
g/mL	g / ml
lb/ft3	lb / ft^3
mm2/s	mm^2 / s
m2/s	m^2 / s
mPa.s	mPa s
Pa.s	Pa s
mgKOH/g	mg / g
ug/kg	microgram / kg
mg/kg	mg / kg
g/kg	g / kg
wt%	percent
1	1
%	percent
1/mL	1 / ml
1/100mL	1 / (100 ml)
1/L	1 / liter
N	N
daN	10 N
kN	kN
MN	MN
kgf	kgf
lbf	lbf
N/mm	N / mm
kN/m	kN / m
N.m	N m
kN.m	kN m
W	W
kW	kW
MW	MW
hp	horsepower
PS	metrichorsepower
J	J
kJ	kJ
MJ	MJ
GJ	GJ
Wh	W hour
kWh	kW hour
MWh	MW hour
J/kg	J / kg
kJ/kg	kJ / kg
kWh/t	kW hour / tonne
W/K	W / K
kW/K	kW / K
K/kW	K / kW
W/(m2.K)	W / m^2 K
ms	ms
s	s
min	min
h	hour
d	day
Hz	Hz
1/s	1 / s
1/min	1 / min
1/h	1 / hour
1/d	1 / day
r/min	1 / min
A	A
mA	mA
V	V
mV	mV
kV	kV
mol	mol
kmol	kmol
END

# The SI unit of each dimension.
cat >"$scratch/si" <<'END'
pressure	Pa
pressure-absolute	Pa
pressure-rate	Pa / s
pressure-per-temperature	Pa / K
temperature	K
temperature-difference	K
temperature-rate	K / s
temperature-time	K s
flow	m^3 / s
volume	m^3
displacement	m^3
compliance	m^3 / Pa
length	m
area	m^2
velocity	m / s
acceleration	m / s^2
mass	kg
mass-flow	kg / s
density	kg / m^3
viscosity	m^2 / s
viscosity-dynamic	Pa s
acid-number	1
mass-fraction	1
ratio	1
particle-count	1 / m^3
force	N
force-per-length	N / m
torque	N m
power	W
energy	J
specific-energy	J / kg
heat-transfer	W / K
thermal-resistance	K / W
heat-transfer-by-area	W / m^2 K
time	s
frequency	Hz
current	A
voltage	V
amount	mol
END

"$dump" >"$scratch/dump" || { echo "FAIL units-database: no unit table"; exit 1; }

# One question a unit: name, its factor and offset here, the two lines that units is asked.
awk -F '\t' -v OFS='\t' '
FILENAME ~ /si$/ { si[$1] = $2; next }
FILENAME ~ /units$/ { theirs[$1] = $2; next }
{
	if (!($1 in theirs) || !($2 in si)) { print $1, "", "", "", ""; next }
	zero = $5 / $6 * $3 / $4
	# A scale with an offset is a function there: its zero and its hundred tell both.
	if (theirs[$1] ~ /^temp[CF]$/) {
		print $1 " at 0", zero, theirs[$1] "(0)", si[$2]
		print $1 " at 100", (100 + $5 / $6) * $3 / $4, theirs[$1] "(100)", si[$2]
	} else
		print $1, $3 / $4, theirs[$1], si[$2]
}' CONVFMT=%.17g OFMT=%.17g "$scratch/si" "$scratch/units" "$scratch/dump" >"$scratch/asked"

awk -F '\t' '$3 != "" { print $3; print $4 }' "$scratch/asked" | units -q -t -o %.17g >"$scratch/answers" 2>&1

# The answers stand in the order of the questions, one line each.
awk -F '\t' '
FILENAME ~ /answers$/ { answer[FNR] = $0; next }
$3 == "" { print "FAIL units-database " $1 ": not in the list of this test"; next }
{
	n++
	if (answer[n] !~ /^-?[0-9.]+(e[-+]?[0-9]+)?$/) { print "FAIL units-database " $1 ": units says: " answer[n]; next }
	off = $2 / answer[n] - 1
	# Both sides round a handful of times in double arithmetic.
	if (off < 2e-15 && off > -2e-15) print "ok units-database " $1
	else print "FAIL units-database " $1 ": " $2 ", units says " answer[n]
}
END { if (n == 0) print "FAIL units-database: nothing was compared" }' "$scratch/answers" "$scratch/asked" |
	tee "$scratch/result"
! grep -q '^FAIL' "$scratch/result"
