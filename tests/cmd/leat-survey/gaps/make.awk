# Each minute and an hour missing; compressed at uneven intervals around 40 s, with two gaps of 20 and 30 minutes and a
# frozen spell; and half a second.
BEGIN {
	print "tag,t,v"
	for (i = 0; i < 120; i++)
		print "minute," 1738555200 + 60 * i + (i < 60 ? 0 : 3600) "," i % 10 ".5"
	t = 1738555200
	for (i = 0; i < 300; i++) {
		print "uneven," t "," (i > 200 && i < 240 ? "7.25" : i % 17 ".25")
		t += i == 100 ? 1200 : i == 150 ? 1800 : 30 + i * 7 % 21
	}
	for (i = 0; i < 20; i++)
		printf "half,%.1f,%d\n", 1738555200 + i / 2, i
}
