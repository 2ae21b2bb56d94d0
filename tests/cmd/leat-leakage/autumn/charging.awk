# Readings of a mill that charges for 16 s each 30 min 7 s, on 2025-10-25 from 04:00Z for 27 h: a works' day of 25 h in it.
function stamp(s) { s += 4 * 3600; return sprintf("2025-10-%02dT%02d:%02d:%02dZ", 25 + int(s / 86400), int(s / 3600) % 24, int(s / 60) % 60, s % 60) }
BEGIN {
	print "time,asset,point,value,unit,quality"
	for (s = 0; s <= 27 * 3600; s++) {
		i = s % 1807; t = stamp(s)
		if (i == 0) print t ",NM,charging,on,,good"
		if (i == 16) print t ",NM,charging,off,,good"
		if (s % 120) continue
		bar = i < 16 ? 120 + 10 * i / 16 : 126.3 - 6.3 * (i - 16) / 1791 + 3.7 * exp(-(i - 16) / 120)
		n++
		# Psi and degF, one reading in 97 bad.
		printf "%s,NM,pressure,%.1f,psi,%s\n", t, bar * 14.5037738, n % 97 ? "good" : "bad"
		print t ",NM,oil-temperature," (s % 7200 ? "118.4" : "118.3") ",degF,good"
		print t ",NM,state,grinding,,good"
		print t ",NM/pump-a,pump-running,on,,good"
	}
}
