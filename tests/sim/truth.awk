# truth.awk: the truth.csv of a simulated year as the table of faults that leat-replay takes, with the rules by which each is to be
# seen, and the failure modes that name it right.  Left out are what no rule of readings judges (work that was not done, files that
# are odd) and decoys, which must show nowhere; with tasks=yes work that was not done is in, for leat-due tells of that.  A fault that
# grows faster is the same fault.  stays: so many days what it left behind goes on to show.

# later TIME DAYS: a time of UTC moved on by days.
function later(time, days,   y, m, d, length_of) {
	y = substr(time, 1, 4) + 0
	m = substr(time, 6, 2) + 0
	d = substr(time, 9, 2) + days
	for (;;) {
		length_of = m == 2 ? (y % 4 == 0 ? 29 : 28) : m == 4 || m == 6 || m == 9 || m == 11 ? 30 : 31
		if (d <= length_of)
			return sprintf("%04d-%02d-%02d%s", y, m, d, substr(time, 11))
		d -= length_of
		if (++m > 12) {
			m = 1
			y++
		}
	}
}

BEGIN {
	FS = OFS = ","
	print "time", "asset", "rule", "end", "what", "mode"
	# What slips through the worn pump heats the oil.
	see["pump wear"] = "pump-wear* pump-jump copper iron tin no-summer-headroom"; near["pump wear"] = "$ MILL MILL/cooler"
	see["gas lost"] = "gas-* uneven-gas precharge* hammer*";               near["gas lost"] = "$ MILL"
	see["piston seal worn"] = "leakage* pump-up* piston-seal seal-* frequent-pump-ups no-summer-headroom" # it heats the oil too
	near["piston seal worn"] = "$ MILL MILL/cooler"
	see["bore wear"] = "worn-bore bore-wear";                              near["bore wear"] = "$"
	see["relief valve weeps"] = "relief* leakage*";                        near["relief valve weeps"] = "$ MILL"
	see["wrong oil topped up"] = "other-oil viscosity* oil-verdict";       near["wrong oil topped up"] = "MILL MILL/sample-*"
	see["cooler fouled"] = "cooler-fouling* no-summer-headroom hot-oil";   near["cooler fouled"] = "$ MILL MILL/round"
	see["cleaning logged but not done"] = "cooler-cleaned";                near["cleaning logged but not done"] = "$"
	see["dust at a scraper"] = "short-element-life element-loading* dirty-oil silicon aluminium iron chromium oil-verdict"
	near["dust at a scraper"] = "$ MILL MILL/sample-*"
	# What came in since the last sample, and what it wore, is told by the next one, a month later.
	stays["dust at a scraper"] = 35
	see["element collapsed"] = "element-open element-loading-step dirty-oil filter-without-effect oil-verdict"
	near["element collapsed"] = "$ MILL MILL/sample-*"
	see["cooler tube leaks"] = "wet-oil near-saturation free-water sodium oil-gain oil-verdict water-*"
	near["cooler tube leaks"] = "MILL MILL/*"
	# What leaked in stays in the oil for weeks after the tube is plugged, and falls out at each cold stop.
	stays["cooler tube leaks"] = stays["free water at the bottom"] = 35
	see["free water at the bottom"] = "free-water oil-gain";               near["free water at the bottom"] = "MILL MILL/sample-*"
	see["thermostat hunts"] = "hunting-thermostat";                        near["thermostat hunts"] = "$"
	see["tank thermometer frozen"] = "frozen-temp* impossible-rate";           near["tank thermometer frozen"] = "MILL"
	# The two estimates of the gas take the pressure in different ways.
	see["pressure transmitter drifts"] = "gauge-drift* gas-estimates-differ"; near["pressure transmitter drifts"] = "MILL MILL/round"
	# That the meter was changed is not in the logbook: work that nobody logged.
	see["drain meter in gal/min"] = "drain-meter pump-wear-step unlogged-work"; near["drain meter in gal/min"] = "$"
	see["operators lower the set point"] = "low-setpoint";                 near["operators lower the set point"] = "MILL"
	# The failure modes of modes.csv that name it right.  A frozen thermometer, missing sheets and work that is logged only are
	# none of the machine, and the water below is that of the tube.
	mode["pump wear"] = "pump-wear";                  mode["gas lost"] = "gas-loss"
	mode["piston seal worn"] = "piston-seal";         mode["bore wear"] = "bore-wear"
	mode["relief valve weeps"] = "relief-weep";       mode["wrong oil topped up"] = "wrong-oil"
	mode["cooler fouled"] = "cooler-fouling"
	mode["dust at a scraper"] = "dirt-ingress";       mode["element collapsed"] = "filter-bypass"
	mode["cooler tube leaks"] = "cooler-leak"
	mode["thermostat hunts"] = "thermostat";          mode["pressure transmitter drifts"] = "pressure-meter"
	mode["drain meter in gal/min"] = "drain-meter";   mode["operators lower the set point"] = "setpoint-lowered"
	if (tasks == "yes") {
		see["gas check missed"] = "task-gas-check";                    near["gas check missed"] = "MILL"
		see["relief test missed"] = "task-test-relief";                near["relief test missed"] = "$"
		see["breather never changed"] = "task-change-breather";        near["breather never changed"] = "$"
	}
	see["round sheets missing"] = "stale";                                 near["round sheets missing"] = "MILL/round"
}
$4 in see {
	asset = near[$4]
	sub(/\$/, $3, asset)
	gsub(/MILL/, $1, asset)
	print $6, asset, see[$4], $4 in stays && $7 != "" ? later($7, stays[$4]) : $7, $4, mode[$4]
}
