# Five hours of grinding at 125 bar, an hour of holding, oil let off, two hours without pressure: the tank gains 95.6 L.
function stamp(s) { s += 4 * 3600; return sprintf("2025-11-%02dT%02d:%02d:%02dZ", 3 + int(s / 86400), int(s / 3600) % 24, int(s / 60) % 60, s % 60) }
function row(state, bar, level) {
	print stamp(s) ",NM,state," state ",,good"
	printf "%s,NM,pressure,%.2f,bar,good\n", stamp(s), bar
	print stamp(s) ",NM,oil-temperature,48,degC,good"
	printf "%s,NM,level,%.2f,mm,good\n", stamp(s), level
}
BEGIN {
	print "time,asset,point,value,unit,quality"
	for (s = 0; s < 5 * 3600; s += 120) row("grinding", 125, 600)
	for (; s < 6 * 3600; s += 60) row("hold", 125 - (s - 18000) / 360, 600)
	for (k = 0; k < 60; k++) { row("hold", 115 - 31.45 * k / 60, 600 + 79.67 * k / 60); s += 4 }
	for (k = 0; k < 3; k++) { row("no-load", 62 - 28 * k, 680); s += 4 }
	row("off", 0, 679.67)
	s += 48
	for (; s < 8 * 3600; s += 60) row("off", 0, 679.67)
	for (; s < 8 * 3600 + 300; s += 60) row("no-load", 60, 600)
}
