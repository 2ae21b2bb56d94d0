# A shift of a mill by the minute; FINE: switches come when they move; COUNTER: besides a counter of openings.
function stamp(s) { s += 4 * 3600; return sprintf("2025-11-%02dT%02d:%02d:%02dZ", 3 + int(s / 86400), int(s / 3600) % 24, int(s / 60) % 60, s % 60) }
BEGIN {
	print "time,asset,point,value,unit,quality"
	for (s = 0; s <= 26 * 3600; s++) {
		i = s % 1807; t = stamp(s)
		if (FINE && i == 0) print t ",NM,charging,on,," Q
		if (FINE && i == 16) print t ",NM,charging,off,," Q
		if (s % 60) continue
		if (!FINE) print t ",NM,charging," (i < 16 ? "on" : "off") ",," Q
		print t ",NM,pressure,123.5,bar,good"
		print t ",NM,oil-temperature,48,degC,good"
		print t ",NM,state," (s % 7200 < 600 && STOPS ? "no-load" : "grinding") ",,good"
		if (COUNTER && s % 3600 == 0) print t ",NM,start-counter," 500 + int(s / 1807) ",1,good"
	}
}
