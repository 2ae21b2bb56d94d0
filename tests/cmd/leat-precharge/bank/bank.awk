# A gauge of the whole bank, and one of a shell of it where SHELL is given, read before a shift at 125 bar.
function stamp(s) { return sprintf("2025-11-03T%02d:%02d:00Z", int(s / 60), s % 60) }
BEGIN {
	print "time,asset,point,value,unit,quality"
	for (s = 0; s <= 360; s += 5) {
		if (s == 30) {
			print stamp(s) ",NM,gas-pressure,40,bar,good"
			print stamp(s) ",NM,gas-temperature,20,degC,good"
			if (SHELL) print stamp(s) ",NM/accu-10,gas-pressure," SHELL ",bar,good"
		}
		print stamp(s) ",NM,pressure," (s < 60 ? 0 : 125) ",bar,good"
		print stamp(s) ",NM,oil-temperature,20,degC,good"
		print stamp(s) ",NM,state," (s < 60 ? "off" : "grinding") ",,good"
	}
}
