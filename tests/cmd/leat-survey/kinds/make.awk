# 1000 minutes of: a wave, a set point changed once, a motor, a counter with a reset, a word of three, a text among numbers.
BEGIN {
	print "t,wave,setpoint,motor,counter,word,sick,blank"
	for (i = 0; i < 1000; i++)
		printf "%d,%.2f,%d,%d,%d,%s,%s,\n", 1738555200 + 60 * i, 100 + 10 * sin(i / 7), i < 600 ? 120 : 125,
		    i % 300 < 200, (i < 700 ? i : i - 700) * 3, i % 3 ? "auto" : i % 2 ? "hand" : "local",
		    i % 50 ? sprintf("%.1f", i % 13 / 2) : "No Data"
}
