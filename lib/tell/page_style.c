/*
 * The style sheets of a report in HTML.
 *
 * Contrast of text to ground is at least 4.5 to 1 in both schemes (WCAG 2.1, success criterion 1.4.3, level AA), that of
 * bars and frames that mean something at least 3 to 1 (1.4.11); a test reckons both from these figures.  A status has a
 * word, a sign, and an edge of its own pattern, for readers who do not tell the colours and for grey printers.
 */
#include "tell/page.h"

/* Colours stand in custom properties, so that there is one list for each scheme. */
static const char full[] =
	":root { color-scheme: light dark; --ground: #ffffff; --text: #1c1c1c; --soft: #555555; --line: #767676; --panel: #f4f4f2;"
	" --alarm: #a31621; --alert: #855200; --unknown: #40509c; --over: #22663a }\n"
	"@media (prefers-color-scheme: dark) { :root { --ground: #15171a; --text: #e8e8e6; --soft: #b4b4b0; --line: #8a8a86;"
	" --panel: #22252a; --alarm: #ff9a92; --alert: #f2c063; --unknown: #aab8ff; --over: #8fd4a4 } }\n"
	"* { box-sizing: border-box }\n"
	"html { background: var(--ground); color: var(--text); -webkit-text-size-adjust: 100%; text-size-adjust: 100% }\n"
	"body { font: 16px/1.45 sans-serif; margin: 0; overflow-wrap: anywhere }\n"
	"main { max-width: 60rem; margin: 0 auto; padding: 1rem }\n"
	"h1 { font-size: 1.35rem; line-height: 1.25; margin: 0 0 .5rem }\n"
	"h2 { font-size: 1rem; letter-spacing: .06em; margin: 1.8rem 0 .6rem; padding-bottom: .2rem;"
	" border-bottom: 2px solid var(--line) }\n"
	"h3 { font: inherit; margin: .3rem 0 } p { margin: .3rem 0 }\n"
	".works { font-weight: bold; color: var(--soft) }\n"
	".head, .note { color: var(--soft) }\n"
	"article { margin: .8rem 0; padding: .5rem .8rem; background: var(--panel); border-left: 8px solid var(--line) }\n"
	"article.alarm { border-left-style: solid; border-left-color: var(--alarm) }\n"
	"article.alert { border-left-style: double; border-left-color: var(--alert) }\n"
	"article.unknown { border-left-style: dotted; border-left-color: var(--unknown) }\n"
	"article.over { border-left: 2px solid var(--over); padding-left: calc(.8rem + 6px) }\n"
	".mark { display: inline-block; min-width: 1.1em; text-align: center; font-weight: bold }\n"
	".mark.alarm { color: var(--alarm) } .mark.alert { color: var(--alert) } .mark.unknown { color: var(--unknown) }"
	" .mark.over { color: var(--over) }\n"
	/* Of a language that is written from the right, likewise. */
	".advice { font-style: italic; unicode-bidi: plaintext }\n"
	".members { margin: .6rem 0 .2rem; padding-left: .8rem; border-left: 2px solid var(--line) }\n"
	".members ul { list-style: none; margin: 0; padding: 0 } .members li { margin: .5rem 0 }\n"
	/* Each picture is there twice; one is shown. */
	"figure { margin: .6rem 0 } figure svg { display: block; max-width: 100%; height: auto; padding: 3px; background: #ffffff }"
	" .slim { display: none } .slim svg { width: 30rem }\n"
	"figcaption { color: var(--soft); font-size: .875rem }\n"
	".wide { overflow-x: auto }\n"
	"table { border-collapse: collapse; width: 100%; font-size: .875rem }\n"
	"th, td { text-align: left; vertical-align: top; padding: .3rem .5rem; border-bottom: 1px solid var(--line);"
	" overflow-wrap: break-word }\n"
	"th { white-space: nowrap } .number, .date { white-space: nowrap } .number { text-align: right }\n"
	"td.said { min-width: 18rem; width: 60%; overflow-wrap: anywhere } small { color: var(--soft) }\n"
	"table.score { width: auto } table.score td, table.score th { padding-right: 1rem }"
	" .bar { display: block; margin-top: .25em }\n"
	/* Narrow: a row is a few short cells, and what is said below them over the whole width. */
	"@media screen and (max-width: 44rem) { main { padding: .6rem } article { padding: .4rem .5rem; border-left-width: 6px }"
	" .members { padding-left: .4rem } .broad { display: none } .slim { display: block }"
	" table.score td, table.score th { padding-right: .3rem } .bar { width: 4.5rem }"
	" .list thead { position: absolute; clip-path: inset(50%); height: 1px;"
	" overflow: hidden } .list tr { display: flex; flex-wrap: wrap; border-bottom: 1px solid var(--line); padding: .3rem 0 }"
	" .list td, .list th { border: 0; padding: .1rem .8rem .1rem 0 } .list td:empty { display: none }"
	" .list .since::before { content: 'since ' } .list .due::before { content: 'due ' }"
	" .list td.said { flex-basis: 100%; order: 9; min-width: 0; padding-right: 0 }"
	" .list .number { text-align: left } .list th { white-space: normal } }\n"
	".cautions { margin-top: 2rem; padding: .2rem .8rem .6rem; border: 2px solid var(--text) }"
	" .cautions h2 { margin-top: .6rem }\n"
	"@media print { @page { size: A4 portrait; margin: 14mm 13mm }"
	" :root { --ground: #ffffff; --text: #000000; --soft: #333333; --line: #666666; --panel: #ffffff;"
	" --alarm: #000000; --alert: #000000; --unknown: #000000; --over: #000000 }"
	" body { font-size: 9.5pt } main { max-width: none; padding: 0 } h1 { font-size: 14pt } h2 { font-size: 10.5pt }"
	" p, figure, tr, .cautions { break-inside: avoid } h2, .what, .advice + figure { break-after: avoid }"
	/* Of one width, so that the letters of pictures of several panels are no smaller. */
	" article { padding: 1mm 3mm } figure svg { width: 128mm; max-height: 240mm }"
	" table { font-size: 8.5pt } th, td { padding: .6mm 1.2mm } .wide { overflow: visible }"
	" td.said { min-width: 0 } }\n";

/* Colours and grounds are those of the reader's mail program, which knows its scheme. */
static const char mail[] =
	"body { font: 16px/1.45 sans-serif; overflow-wrap: anywhere }\n"
	"main { max-width: 60rem }\n"
	"h1 { font-size: 1.25rem } h2 { font-size: 1rem; letter-spacing: .06em; margin-bottom: .4rem }\n"
	"p { margin: .3rem 0 }\n"
	".finding { margin: .8rem 0; padding-left: .8rem; border-left: 4px solid #767676 }\n"
	".finding.alarm { border-left: 8px solid } .finding.alert { border-left: 8px double }\n"
	".advice { font-style: italic; unicode-bidi: plaintext } .date { white-space: nowrap }\n"
	".members { margin-left: 1.2rem } .members ul { padding-left: 1rem }\n"
	"table { border-collapse: collapse } th, td { text-align: left; padding: .1rem .6rem .1rem 0; vertical-align: top }\n"
	".cautions { border: 2px solid; padding: 0 .8rem }\n";

const char *
leat_page_style(enum leat_page_form form)
{
	return form == LEAT_PAGE_MAIL ? mail : full;
}
