# Shared by test scripts; sourced, not run.
# shellcheck shell=sh disable=SC2154

# hostile: nameplate.csv, tonight.csv and readings.csv in $scratch.
# A works with a name of several scripts, and a night of findings by somebody who means ill: markup, quotes, formulas, lines of
# 100 kB, the marks of a mail.
hostile() {
	cat >"$scratch/nameplate.csv" <<-'END'
	asset,property,value
	,zone,"CET-1CEST,M3.5.0,M10.5.0/3"
	,works-name,"Mühle <b>Ñandú</b> ""Мельница"" ="
	END
	{
		echo 'time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,explains,per_day_low,per_day_high,per_day_unit'
		for status in alarm alert unknown; do
			at="2025-02-04T01:00:00Z"
			printf '%s,NM,pressure,"<script>alert(%s)</script>",%s,1,"<b>",2,%s,,2025-02-01T00:00:00Z,,"<script>alert(1)</script>; </title></style><img src=x onerror=alert(1)>",,,,\n' \
				$at $status $status $at
			printf '%s,"NM/""x"" onload=""y","a & b","it'\''s %s",%s,"=1+1","&amp;","<2>",%s,,,,"&lt;b&gt; '\''--"" javascript:alert(1); =cmd|calc!A1",,,,\n' \
				$at $status $status $at
			printf '%s,SM,level,.%s,%s,,,,%s,,,,".; From here on. --=_mixed_00 Subject: x",,,,\n' $at $status $status $at
		done
		printf '2025-02-04T01:00:00Z,MM,%s,long,alarm,,,,2025-02-04T01:00:00Z,,,,"%s",,,,\n' long \
			"$(awk 'BEGIN { for (i = 0; i < 12500; i++) printf "%s", "<a&\"\"b> " }')"
		printf '2025-02-04T01:00:00Z,MM,,likely-x,alert,,,,2025-02-04T01:00:00Z,,,,"<u>sure</u>; do <it>","MM long long;NM pressure <script>alert(alarm)</script>",,,\n'
		printf '2025-02-04T01:00:00Z,MM,,cost-of-waiting,ok,,,,2025-02-04T01:00:00Z,,,,"<i>costs</i>","MM long long",1,2,"<s>/d"\n'
		# Rows that are no findings: a control, malformed UTF-8.
		printf '2025-02-04T01:00:00Z,MM,level,ctl,alarm,1,bar,2,,,,,"\033[2J <script>",,,,\n'
		printf '2025-02-04T01:00:00Z,MM,level,utf,alarm,1,bar,2,,,,,"\377 <script>",,,,\n'
	} >"$scratch/tonight.csv"
	{
		echo 'time,asset,point,value,unit,quality'
		for h in 00 01 02 03; do
			printf '2025-02-04T%s:00:00Z,NM,pressure,%s,bar,good\n' $h "1$h"
			printf '2025-02-04T%s:00:00Z,"NM/""x"" onload=""y",a & b,%s,bar,good\n' $h "1$h"
		done
	} >"$scratch/readings.csv"
}
