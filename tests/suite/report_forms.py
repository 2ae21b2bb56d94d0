"""report_forms.py HTML MAIL TEXT FINDINGS: reads the report back with python3's own libraries.  Prints ok and FAIL lines.

The text is what leat-report prints, the findings what it read; contrast is reckoned by the formula of WCAG 2.1.
"""
import csv
import email
import email.policy
import html.parser
import io
import re
import sys
import xml.etree.ElementTree

page = open(sys.argv[1], encoding="utf-8").read()
mail = email.message_from_bytes(open(sys.argv[2], "rb").read(), policy=email.policy.default)
text = open(sys.argv[3], encoding="utf-8").read()
NAME = "M\u00fchle <b>\u00d1and\u00fa</b> \"\u041c\u0435\u043b\u044c\u043d\u0438\u0446\u0430\" ="


def check(name, good):
    print("ok" if good else "FAIL", name)


class Reader(html.parser.HTMLParser):
    """Elements, attributes and the text outside of style and pictures."""

    VOID = {"meta", "br", "img", "link", "input", "hr"}

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.seen, self.attributes, self.said, self.faults = [], set(), [], [], []

    def handle_starttag(self, tag, attrs):
        self.seen.add(tag)
        self.attributes += [(tag, k, v) for k, v in attrs]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.seen.add(tag)
        self.attributes += [(tag, k, v) for k, v in attrs]

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data):
        if "style" not in self.open and "svg" not in self.open and "title" not in self.open:
            self.said.append(data)


def read(markup):
    reader = Reader()
    reader.feed(markup)
    reader.close()
    return reader


def words(said):
    return " ".join("".join(said).replace("\u00a0", " ").split())


KNOWN = {"html", "head", "meta", "title", "style", "body", "main", "header", "section", "article", "h1", "h2", "h3", "p", "strong",
         "span", "div", "ul", "li", "table", "thead", "tbody", "tr", "th", "td", "figure", "svg", "rect", "line", "path",
         "text", "g", "desc", "br", "small", "circle", "polyline", "polygon", "tspan"}
full = read(page)
check("HTML: every element is closed by its own end", not full.faults and not full.open)
check("HTML: no element but those of the report: %s" % sorted(full.seen - KNOWN), full.seen <= KNOWN)
check("HTML: no attribute runs or fetches anything",
      not [a for a in full.attributes if a[1].startswith("on") or a[1] in ("src", "href", "xlink:href", "style", "action")])
style = re.search(r"<style>\n(.*?)</style>", page, re.S).group(1)
check("HTML: the style fetches nothing", not re.search(r"url\(|@import|expression", style))
check("HTML: only the namespace of SVG is an address",
      set(re.findall(r"(?:https?:)?//[^\s\"'<]+", page)) <= {"http://www.w3.org/2000/svg"})
check("HTML: one title, of works and verdict",
      re.findall(r"<head>.*?<title>(.*?)</title>", page, re.S)[0] ==
      (NAME + ": " + text.split("\n")[0]).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;"))
pictures = re.findall(r"<svg.*?</svg>", page, re.S)
for picture in pictures:
    xml.etree.ElementTree.fromstring(picture)
check("HTML: %d pictures, each well-formed XML" % len(pictures), len(pictures) >= 2)

# Every sentence of the text stands in the HTML: its lines joined, the indents and dashes of the text taken off.
said = words(full.said)
lines = text.split("BEFORE ANY WORK")[0].replace(".\n", ".\n\n").split("\n")
parts, missing = [], []
for line in lines:
    indent = len(line) - len(line.lstrip())
    stripped = line.strip()
    if not stripped:
        continue
    if indent in (0, 2) or stripped.startswith("- ") or not parts:
        parts.append(stripped[2:] if stripped.startswith("- ") else stripped)
    else:
        parts[-1] += " " + stripped
squeezed = said.replace(" ", "")
for part in parts:
    # The verdict's head and the scoreboard are laid out in other ways; advice is a paragraph of its own.
    for sentence in re.split(r"(?<=\))\s(?=[A-Z<])", part):
        if sentence.replace(" ", "") not in squeezed:
            missing.append(sentence[:60])
check("HTML: the words of the text are in it (%d lines): %s" % (len(parts), missing[:3]), len(parts) > 10 and not missing)


# Contrast after WCAG 2.1, relative luminance and contrast ratio.
def luminance(colour):
    channels = [int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Figures that are in common use: black on white is 21, #767676 is the lightest grey of 4.5 on white, #777777 is below it.
check("contrast: the formula has the usual figures", abs(contrast("#000000", "#ffffff") - 21) < 1e-9 and
      contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff"))
schemes = [dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", block)) for block in re.findall(r":root \{(.*?)\}", style)]
check("contrast: light, dark and print have all colours", len(schemes) == 3 and all(len(s) == 9 for s in schemes))
for name, scheme in zip(("light", "dark", "print"), schemes):
    for ground in ("ground", "panel"):
        low = [(c, round(contrast(scheme[c], scheme[ground]), 2))
               for c in ("text", "soft", "alarm", "alert", "unknown", "over") if contrast(scheme[c], scheme[ground]) < 4.5]
        check("contrast: %s, text on %s is 4.5 and more %s" % (name, ground, low), not low)
        check("contrast: %s, lines on %s are 3 and more" % (name, ground), contrast(scheme["line"], scheme[ground]) >= 3)

check("mail: no defects", not mail.defects and not [d for p in mail.walk() for d in p.defects] and
      not [d for p in mail.walk() for h in p.values() for d in getattr(h, "defects", ())])
check("mail: subject", mail["Subject"] == NAME + ": " + text.split("\n")[0])
check("mail: from", [(a.display_name, a.addr_spec) for a in mail["From"].addresses] == [('Nacht "\u00dcn\u00ef"', "night@works.example")])
check("mail: to", [(a.display_name, a.addr_spec) for a in mail["To"].addresses] ==
      [("", "a@works.example"), ("\u00d6", "o@works.example")])
check("mail: date", mail["Date"].datetime.isoformat() == "2025-02-04T05:30:00+01:00")
check("mail: made by a program", mail["Auto-Submitted"] == "auto-generated" and mail["MIME-Version"] == "1.0")
check("mail: each header once", len(mail.keys()) == len(set(mail.keys())) == 8)
check("mail: parts", [(p.get_content_type(), p.get_filename()) for p in mail.walk()] == [
    ("multipart/mixed", None), ("multipart/alternative", None), ("text/plain", None), ("text/html", None),
    ("text/html", "report-2025-02-03.html"), ("text/csv", "findings-2025-02-03.csv")])
check("mail: the text is the text", mail.get_body(("plain",)).get_content() == text)
attached = list(mail.iter_attachments())
check("mail: the attached HTML is the HTML", attached[0].get_content() == page)
light = read(mail.get_body(("html",)).get_content())
check("mail: its HTML is whole, and draws and fetches nothing", not light.faults and not light.open and
      "svg" not in light.seen and "script" not in light.seen and light.seen <= KNOWN)

# A mail program has a ground of its own, white or next to black: what is coloured must stand apart from either.
painted = set(re.findall(r"#[0-9a-f]{6}", re.search(r"<style>\n(.*?)</style>", mail.get_body(("html",)).get_content(), re.S).group(1)))
check("mail: its lines are 3 and more on white and on dark grounds: %s" % sorted(painted),
      painted and all(contrast(c, ground) >= 3 for c in painted for ground in ("#ffffff", "#1e1e1e", "#121212", "#000000")))

rows = list(csv.reader(io.StringIO(attached[1].get_content(), newline="")))
check("CSV: a byte order mark, and the columns", rows[0][0] == "\ufefftime" and rows[0][12] == "message")
check("CSV: all rows have all columns", len(rows) > 10 and {len(r) for r in rows} == {17})


def harmless(cell):
    return not cell.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r", "\n")) or cell == "-" or \
        re.fullmatch(r"[-+]?[0-9.]+", cell) is not None


check("CSV: no cell begins a formula", all(harmless(c) for r in rows for c in r))
check("CSV: nor does one where cells part at semicolons or tabs",
      all(harmless(c.strip('"')) for line in attached[1].get_content().split("\n") for c in re.split("[;\t]", line)))
original = list(csv.reader(open(sys.argv[4], encoding="utf-8", errors="replace", newline="")))
stripped = [[c.replace("'=", "=").replace("' =", " =") for c in r] for r in rows[1:]]
check("CSV: but for the apostrophes the findings are as they were", [r[:13] for r in original[1:-2]] == [r[:13] for r in stripped])
