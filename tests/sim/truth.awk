# truth.awk: the truth.csv of a simulated year as the table of faults that leat-replay takes, with the rules by which each is to be
# seen, and the failure modes that name it right.  Left out are what no rule of readings judges (work that was not done, files that
# are odd) and decoys, which must show nowhere; with tasks=yes work that was not done is in, for leat-due tells of that.  A fault that
# grows faster is the same fault.
BEGIN {
	FS = OFS = ","
	print "time", "asset", "rule", "end", "what", "mode"
	see["pump wear"] = "pump-wear* pump-jump copper iron tin";             near["pump wear"] = "$ MILL"
	see["gas lost"] = "gas-* uneven-gas precharge* hammer*";               near["gas lost"] = "$ MILL"
	see["piston seal worn"] = "leakage* pump-up* piston-seal seal-* frequent-pump-ups"; near["piston seal worn"] = "$ MILL"
	see["bore wear"] = "worn-bore bore-wear";                              near["bore wear"] = "$"
	see["relief valve weeps"] = "relief* leakage*";                        near["relief valve weeps"] = "$ MILL"
	see["wrong oil topped up"] = "other-oil viscosity* oil-verdict";       near["wrong oil topped up"] = "MILL MILL/sample-*"
	see["cooler fouled"] = "cooler-fouling* no-summer-headroom hot-oil";   near["cooler fouled"] = "$ MILL MILL/round"
	see["cleaning logged but not done"] = "cooler-cleaned";                near["cleaning logged but not done"] = "$"
	see["dust at a scraper"] = "short-element-life element-loading* dirty-oil silicon aluminium iron chromium oil-verdict"
	near["dust at a scraper"] = "$ MILL MILL/sample-*"
	see["element collapsed"] = "element-open element-loading-step dirty-oil filter-without-effect oil-verdict"
	near["element collapsed"] = "$ MILL MILL/sample-*"
	see["cooler tube leaks"] = "wet-oil near-saturation free-water sodium oil-gain oil-verdict water-*"
	near["cooler tube leaks"] = "MILL MILL/*"
	see["free water at the bottom"] = "free-water oil-gain";               near["free water at the bottom"] = "MILL MILL/sample-*"
	see["thermostat hunts"] = "hunting-thermostat";                        near["thermostat hunts"] = "$"
	see["tank thermometer frozen"] = "frozen-temp* impossible-rate";           near["tank thermometer frozen"] = "MILL"
	see["pressure transmitter drifts"] = "gauge-drift*";                   near["pressure transmitter drifts"] = "MILL MILL/round"
	see["drain meter in gal/min"] = "drain-meter pump-wear-step";          near["drain meter in gal/min"] = "$"
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
	print $6, asset, see[$4], $7, $4, mode[$4]
}
