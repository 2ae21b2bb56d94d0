#!/bin/sh
# calendar.sh: the calendar of leat-due as a general library reads it back (python3-icalendar), and its dates against those of
# another (python3-dateutil, which comes with it).  Without them it is skipped.
# shellcheck source=tests/lib.sh
. "$(dirname "$0")/../lib.sh"

python=
for p in python3 /usr/bin/python3; do
	"$p" -c 'import icalendar, dateutil.relativedelta' 2>/dev/null && python=$p && break
done
if [ -z "$python" ]; then
	skip 'calendar read back: no python3 with icalendar'
	exit 0
fi

works=$scratch/works
mkdir "$works"
"$python" - "$works" <<'PY'
# Three hundred tasks with random intervals, last done on random days, month ends and leap days among them.
import datetime, random, sys
random.seed(5545)
tasks, log = open(sys.argv[1] + '/tasks.csv', 'w'), []
tasks.write('task,asset,title,every,tolerance,needs\n')
names = ['Change the breather', 'Ölwechsel; Behälter, Leitungen', 'Read "all" gauges, C:\\oil, twice', 'x' * 150, 'ü' * 90]
for i in range(300):
    every = random.choice(['P%dM' % random.randint(1, 40), 'P%dY' % random.randint(1, 4), 'P%dW' % random.randint(1, 60),
                           'P%dD' % random.randint(1, 500), 'P%dM%dD' % (random.randint(1, 12), random.randint(1, 40))])
    day = datetime.date(2024, 1, 1) + datetime.timedelta(random.randint(0, 670))
    if i % 3 == 0:
        day = random.choice([datetime.date(2024, 1, 31), datetime.date(2024, 2, 29), datetime.date(2024, 12, 31),
                             datetime.date(2025, 8, 31), datetime.date(2025, 10, 30)])
    title = names[i % len(names)]
    tasks.write('t%d,NM/part-%d,"%s",%s,0%%,\n' % (i, i, title.replace('"', '""'), every))
    log.append('%s 00:30,NM/part-%d,note,t%d,,,,,,kt,x\n' % (day, i, i))
with open(sys.argv[1] + '/logbook.csv', 'w') as f:
    f.write('time,asset,event,task,point,found,left,unit,item,who,note\n')
    f.writelines(sorted(log))
with open(sys.argv[1] + '/nameplate.csv', 'w') as f:
    f.write('asset,property,value,unit,from\n,zone,"CET-1CEST,M3.5.0,M10.5.0/3",,\n')
PY
cat >"$works/stops.csv" <<'CSV'
start,end,asset,kind
2025-11-25 06:00,2025-11-25 14:00,NM,planned
CSV
echo 'time,asset,point,value,unit,quality' >"$scratch/in.csv"
now=2025-11-10T05:30:00Z
leat-due -w "$works" -a --now $now "$scratch/in.csv" >"$scratch/all.csv"
leat-due -w "$works" --ics --now $now "$scratch/in.csv" >"$scratch/tasks.ics"
leat-due -w "$works" --ics=todo --now $now "$scratch/in.csv" >"$scratch/todo.ics"
sed 's/,0%,$/,0%,stop/' "$works/tasks.csv" >"$scratch/tasks.csv"
leat-due -w "$works" --tasks "$scratch/tasks.csv" --ics --stops --now $now "$scratch/in.csv" >"$scratch/stops.ics"
leat-due -w "$works" --ics --now 2025-11-11T05:30:00Z "$scratch/in.csv" >"$scratch/morrow.ics"

"$python" - "$scratch" "$works" >"$scratch/result" 2>&1 <<'PY'
import csv, datetime, re, sys
import icalendar
from dateutil.relativedelta import relativedelta
scratch, works = sys.argv[1:]
def say(good, what): print(('ok ' if good else 'FAIL ') + what)
tasks = {r['task']: r for r in csv.DictReader(open(works + '/tasks.csv', encoding='utf-8'))}
done = {r['task']: datetime.date.fromisoformat(r['time'][:10]) for r in csv.DictReader(open(works + '/logbook.csv'))}
def due(task):
    p = dict((k, int(n)) for n, k in re.findall(r'(\d+)([YMWD])', tasks[task]['every']))
    return done[task] + relativedelta(years=p.get('Y', 0), months=p.get('M', 0), weeks=p.get('W', 0), days=p.get('D', 0))
def read(name, kind):
    text = open(scratch + '/' + name, 'rb').read()
    say(all(len(l) <= 75 for l in text.split(b'\r\n')) and b'\n' not in text.replace(b'\r\n', b''), name + ': lines')
    return icalendar.Calendar.from_ical(text).walk(kind)
rows = {r['task']: r for r in csv.DictReader(open(scratch + '/all.csv', encoding='utf-8')) if not r['until']}
todo = read('todo.ics', 'VTODO')
events, morrow = read('tasks.ics', 'VEVENT'), read('morrow.ics', 'VEVENT')
say(len(todo) == len(events) == len(rows) == len(tasks) == 300, 'an entry for each task: %d %d %d' % (len(todo), len(events), len(rows)))
task = lambda e: str(e['uid']).split(':')[-1]
say(len({str(e['uid']) for e in events}) == 300, 'each UID once')
say([str(e['uid']) for e in events] == [str(e['uid']) for e in morrow], 'the same UIDs on the next day')
wrong = [(task(e), e['due'].dt, due(task(e))) for e in todo if e['due'].dt != due(task(e))]
say(not wrong, 'due dates as those of dateutil: %s' % wrong[:3])
today = datetime.date(2025, 11, 10)
wrong = [task(e) for e in events if e['dtstart'].dt != max(today, due(task(e))) or
         e['dtend'].dt - e['dtstart'].dt != datetime.timedelta(1)]
say(not wrong, 'days of the events: %s' % wrong[:3])
stage = lambda t: rows[t]['stage']
wrong = [t for t in tasks if (stage(t) in ('due', 'overdue', 'missed')) != (due(t) <= today) or
         (stage(t) == 'due') != (due(t) == today) or (stage(t) == 'upcoming') != (today < due(t) <= today + datetime.timedelta(14))]
say(not wrong, 'stages as those dates say: %s' % wrong[:3])
wrong = [task(e) for e in todo if not str(e['summary']).startswith('NM/part-%s: %s' % (task(e)[1:], tasks[task(e)]['title']))]
say(not wrong, 'titles come back whole: %s' % wrong[:3])
stop = [e for e in read('stops.ics', 'VEVENT') if str(e['uid']).startswith('leat-due:stop:')]
say(len(stop) == 1 and stop[0]['dtstart'].dt == datetime.datetime(2025, 11, 25, 5, tzinfo=datetime.timezone.utc) and
    stop[0]['dtend'].dt - stop[0]['dtstart'].dt == datetime.timedelta(hours=8), 'a planned stop, its local times in UTC')
stamp = datetime.datetime(2025, 11, 10, 5, 30, tzinfo=datetime.timezone.utc)
say(all(e['dtstamp'].dt == stamp for e in todo + events), 'stamps are now, in UTC')
PY
cat "$scratch/result"
grep -q '^ok stamps' "$scratch/result" || fail 'calendar read back to its end'
grep -q '^FAIL' "$scratch/result" && bad=1
exit $bad
