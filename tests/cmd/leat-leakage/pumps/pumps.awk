# Two pumps, WHO of which starts for 16 s each 1807 s; switches come when they move.  CHANGE: both run all the time instead, the
# second from 30 h on, after a minute without any.  GAP: nothing is read from 20 h to 204 h.  COUNTER: a counter, no pumps.
function stamp(s) { s += 4 * 3600; return sprintf("2025-11-%02dT%02d:%02d:%02dZ", 3 + int(s / 86400), int(s / 3600) % 24, int(s / 60) % 60, s % 60) }
BEGIN {
	print "time,asset,point,value,unit,quality"
	if (HEAT == "") HEAT = "good"
	for (s = 0; s <= HOURS * 3600; s++) {
		i = s % 1807; t = stamp(s)
		if (GAP && s > 20 * 3600 && s < 204 * 3600) continue
		if (WHO && s == 0) {
			print t ",NM/pump-1,pump-running,off,,good"
			print t ",NM/pump-2,pump-running,off,,good"
		}
		if (WHO && i == 60) print t ",NM/" WHO ",pump-running,on,,good"
		if (WHO && i == 76) print t ",NM/" WHO ",pump-running,off,,good"
		if (s % 60) continue
		if (CHANGE) {
			print t ",NM/pump-1,pump-running," (s < 30 * 3600 ? "on" : "off") ",,good"
			print t ",NM/pump-2,pump-running," (s < 30 * 3600 + 60 ? "off" : "on") ",,good"
		}
		print t ",NM,pressure,123.5,bar,good"
		print t ",NM,oil-temperature,48,degC," HEAT
		print t ",NM,state,grinding,,good"
		if (COUNTER && s % 3600 == 0) print t ",NM,start-counter," 500 + int(s / 1807) ",1,good"
	}
}
