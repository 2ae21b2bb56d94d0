"""report_mails.py: mails of many works, addresses and moments by leat-report, read back with python3's email library and held to
the RFCs line by line.  Prints ok and FAIL lines.

RFC 5322: lines of 78 columns (2.1.1), dates (3.3), Message-ID (3.6.4).  RFC 2047: encoded words of at most 75 columns, each of
whole characters (2, 5).  RFC 2045: quoted-printable lines of 76 columns (6.7).
"""
import csv
import datetime
import email
import email.header
import email.policy
import email.utils
import os
import random
import re
import subprocess
import sys

folder = sys.argv[1]
os.chdir(folder)
FINDINGS = ("time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n"
            "2025-02-04T01:00:00Z,NM,pressure,low,alarm,90,bar,100,2025-02-04T01:00:00Z,,,,\n")
faults, runs = {}, 0


def fault(what, detail):
    faults.setdefault(what, []).append(str(detail)[:400])


def mail(works, sender, to, now="2025-02-04T04:30:00Z", zone="CET-1CEST,M3.5.0,M10.5.0/3"):
    with open("n.csv", "w", encoding="utf-8", newline="") as f:
        writer = csv.writer(f, lineterminator="\n")
        writer.writerow(["asset", "property", "value"])
        writer.writerow(["", "zone", zone])
        if works is not None:
            writer.writerow(["", "works-name", works])
    done = subprocess.run(["leat-report", "-q", "--nameplate", "n.csv", "--now", now, "--always", "--mail", "--from", sender, "--to", to],
                          input=FINDINGS.encode(), capture_output=True, check=False)
    return done.returncode, done.stdout


def words_of(raw):
    """Each encoded word of the head by itself."""
    return re.findall(r"=\?[^?\s]+\?[QB]\?[^?\s]*\?=", raw)


def held(raw, works, names, to, now, offset):
    global runs
    runs += 1
    text = raw.decode("ascii")
    head = text.split("\n\n", 1)[0]
    if "\r" in text:
        fault("line ends are LF", works)
    for line in text.split("\n"):
        if len(line) > 78:
            fault("lines of 78 columns", line)
    for line in text.split("\n\n", 1)[1].split("\n"):
        if len(line) > 76 and not line.startswith(("Content-", "--=_")):
            fault("quoted-printable lines of 76 columns", line)
    for line in head.split("\n"):
        if not line.strip():
            fault("no line of a header is blank", repr(head))
        if not re.match(r"[A-Z][A-Za-z-]+: \S|[A-Z][A-Za-z-]+:$| \S", line):
            fault("each line is a header or its fold", repr(line))
    for word in words_of(head):
        if len(word) > 75:
            fault("encoded words of 75 columns", word)
        try:
            email.header.make_header(email.header.decode_header(word)).__str__()
        except (UnicodeError, LookupError) as e:
            fault("encoded words of whole characters", "%s %s" % (word, e))
    got = email.message_from_bytes(raw, policy=email.policy.default)
    if got.defects or [d for p in got.walk() for d in p.defects] or [d for h in got.values() for d in getattr(h, "defects", ())]:
        fault("no defects", works)
    if sorted(got.keys()) != sorted(["From", "To", "Subject", "Date", "Message-ID", "Auto-Submitted", "MIME-Version", "Content-Type"]):
        fault("these headers and no others", got.keys())
    title = "Mon 3 Feb 2025: 1 alarm" if now == "2025-02-04T04:30:00Z" else None
    subject = str(got["Subject"])
    want = " ".join((works or "").split())
    if title and " ".join(subject.split()) != (want + ": " + title if want else title):
        fault("the subject is the name and the verdict", "%r for %r" % (subject, works))
    # By the older of the two parsers: the newer keeps the blanks between encoded words of a name, which RFC 2047, 6.2, drops.
    field = re.search(r"^To: ((?:.*\n )*.*)$", head, re.M).group(1).replace("\n", "")
    said = [str(email.header.make_header(email.header.decode_header(n))) for n, _ in email.utils.getaddresses([field])]
    if said != names:
        fault("the names of addresses", "%r for %r" % (said, names))
    if [a.addr_spec for a in got["To"].addresses] != to:
        fault("the addresses", got["To"])
    at = datetime.datetime.fromisoformat(now.replace("Z", "+00:00")).astimezone(datetime.timezone(datetime.timedelta(hours=offset)))
    if re.search("^Date: (.*)$", head, re.M).group(1).replace(", 0", ", ") != email.utils.format_datetime(at).replace(", 0", ", "):
        fault("the date, its weekday and its offset", re.search("^Date: (.*)$", head, re.M).group(1))
    if not re.fullmatch(r"<[A-Za-z0-9.]+@([A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*|\[[0-9a-fA-F:.]+\])>", str(got["Message-ID"]).strip()):
        fault("a Message-ID", got["Message-ID"])
    bounds = re.findall(r'boundary="([^"]+)"', text)
    for b in bounds:
        if len(b) > 70 or text.count("\n--" + b) != (3 if "alternative" in b else 4):
            fault("each boundary where it belongs", b)
    for part in got.walk():
        name = part.get_filename()
        if name is not None and not re.fullmatch(r"(report|findings)-\d{4}-\d\d-\d\d\.(html|csv)", name):
            fault("names of attachments", name)


def check_all():
    rng = random.Random(7)
    letters = "abcXYZ 019  .,;:\"'()<>@[]\\=?_-&%$#!/" + "\u00e4\u00df\u00e9\u0416\u4e2d\u05d0\u0627\U0001F525\u0301"
    sender, to = "leat@works.example", ["a@works.example"]

    def one(works, names=None, now="2025-02-04T04:30:00Z", offset=1, **more):
        listed = ", ".join(('"%s" <%s>' % (n.replace("\\", "\\\\").replace('"', '\\"'), a)) if n else a
                           for n, a in zip(names or [""], to * len(names or [""])))
        status, raw = mail(works, sender, listed, now, **more)
        if status != 0:
            fault("it is made", "%r %r" % (works, names))
        else:
            held(raw, works, names or [""], to * len(names or [""]), now, offset)

    for works in (None, "Works", "M\u00fchle " * 40, "x" * 300, "word " * 200, "=?UTF-8?Q?Bcc:_x?=", "=?", "a  b", "\U0001F525" * 60,
                  "e\u0301" * 90, "From here", ".", "Bcc: x@y.example", "a:b; c", "(comment)", "\u4e2d" * 25 + " x " + "\u4e2d" * 25):
        one(works)
    for _ in range(60):
        one("".join(rng.choice(letters) for _ in range(rng.randrange(1, 120))).strip())
        name = " ".join("".join(rng.choice(letters) for _ in range(rng.randrange(1, 90))).split())
        one("W", [name, "", "B"])
    # Both sides of a change of the clock, days of one digit, the turn of a year.
    for now, offset in (("2025-03-30T00:59:59Z", 1), ("2025-03-30T01:00:00Z", 2), ("2025-10-26T00:59:59Z", 2), ("2025-10-26T01:00:00Z", 1),
                        ("2025-12-31T23:30:00Z", 1), ("2024-02-29T12:00:00Z", 1), ("2025-06-01T00:00:00Z", 2)):
        one("W", now=now, offset=offset)
    for zone, offset in (("IST-5:30", 5.5), ("AST4", -4), ("NST3:30", -3.5), ("UTC", 0)):
        one("W", now="2025-02-04T12:00:00Z", offset=offset, zone=zone)
    # A name that would add a header: what ends a line ends no header, or the table is refused.
    for works in ("A\nBcc: x@y.example", "A\r\nBcc: x@y.example", "A\rBcc: x@y.example", "A\n\nbody", "A\u2028Bcc: x@y.example", "A\x0bB", "A\x85B"):
        status, raw = mail(works, sender, to[0])
        got = email.message_from_bytes(raw, policy=email.policy.default)
        if status == 0 and (got["Bcc"] is not None or not got.is_multipart()):
            fault("a name adds no header", repr(works))
        if status != 0 and raw:
            fault("a name that is refused makes no mail", repr(works))


check_all()
for what in ("line ends are LF", "lines of 78 columns", "quoted-printable lines of 76 columns", "no line of a header is blank",
             "each line is a header or its fold", "encoded words of 75 columns", "encoded words of whole characters", "no defects",
             "these headers and no others", "the subject is the name and the verdict", "the names of addresses", "the addresses",
             "the date, its weekday and its offset", "a Message-ID", "each boundary where it belongs", "names of attachments",
             "it is made", "a name adds no header", "a name that is refused makes no mail"):
    found = faults.pop(what, [])
    print("FAIL" if found else "ok", "mails (%d): %s%s" % (runs, what, ": " + found[0] if found else ""))
print("ok no other fault" if not faults else "FAIL %s" % faults)
