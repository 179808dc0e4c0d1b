package paper

// style is how the page looks: on a screen, on one as narrow as a telephone,
// where a row of a table becomes lines below each other, and printed.
const style = `body { font: 11pt/1.45 Georgia, "Times New Roman", serif; color: #000; background: #fff; max-width: 64em; margin: 2em auto; padding: 0 1em; overflow-wrap: anywhere; }
h1 { font-size: 1.9em; margin: 0 0 .2em; } h2 { font-size: 1.4em; margin: 1.6em 0 .3em; border-bottom: 2px solid #000; } h3 { font-size: 1.1em; margin: 1.2em 0 .2em; }
p { max-width: 44em; margin: .6em 0; } .lines { margin: 0; }
.caution { border: 1px solid #000; padding: .5em .8em; } .verdict { border: 3px solid #000; padding: .5em .8em; font-weight: bold; font-size: 1.1em; }
nav ol { columns: 16em; padding-left: 1.6em; } a { color: #003a8c; }
.wide { overflow-x: auto; } :is(.wide, figure):focus-visible { outline: 2px solid #003a8c; }
table { border-collapse: collapse; min-width: 20em; margin: .6em 0 1em; font-size: .9em; }
caption { text-align: left; font-style: italic; padding: .2em 0; }
th, td { text-align: left; vertical-align: top; padding: .15em 1em .15em 0; border-bottom: 1px solid #999; font-weight: normal; overflow-wrap: break-word; }
.w { white-space: nowrap; } td.t { min-width: 13em; } thead th { font-weight: bold; border-bottom: 1px solid #000; vertical-align: bottom; } .group th { font-weight: bold; padding-top: .7em; border-bottom: 1px solid #000; }
.n { text-align: right; font-variant-numeric: lining-nums tabular-nums; } .d { font: .9em "DejaVu Sans Mono", "Courier New", monospace; }
figure { margin: .6em 0; } figcaption { font-style: italic; font-size: .9em; max-width: 48em; }
svg { width: 100%; height: auto; } svg.mark { width: 24px; height: 10px; } .long svg.mark { height: 8px; vertical-align: -1px; } svg.mark rect { stroke: none; } svg.mark rect:first-child { stroke: #000; }
.tags { display: grid; grid-template-columns: 1fr 1fr; padding: 0 1px 1px 0; }
.tag { border: 1px dashed #000; margin: 0 -1px -1px 0; padding: .4em .7em; break-inside: avoid; font-size: .85em; } .tag strong { display: block; font-size: 1.3em; }
.sign { border-top: 1px solid #000; margin-top: 3.6em; padding-top: .2em; width: 20em; max-width: 100%; break-inside: avoid; }
@media screen and (max-width: 40em) {
table, caption, tbody, tr, th, td { display: block; padding: 0; border: 0; min-width: 0; white-space: normal; } td.t { min-width: 0; } thead { position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; white-space: nowrap; }
tr { border-bottom: 1px solid #999; padding: .3em 0; } th[scope=row] { font-weight: bold; } caption { border-bottom: 1px solid #000; } .group { padding-bottom: 0; }
td { display: inline-block; margin-right: .9em; text-align: left; } .wordy td { display: block; margin: 0; } td:empty { display: none; } td[data-head]::before { content: attr(data-head) ": "; font: italic 1em Georgia, serif; }
figure { overflow-x: auto; } figure > svg { min-width: 34em; } .tags { grid-template-columns: 1fr; } }
@page { margin: 15mm 15mm 18mm; @bottom-right { content: counter(page) " of " counter(pages); font: 8pt Georgia, serif; } }
@media print { body { margin: 0; padding: 0; max-width: none; font-size: 9.5pt; } .wide { overflow: visible; } .short, section:has(.sign), .caution, .verdict { break-inside: avoid; }
.long table { font-size: 8pt; line-height: 1.15; } .long :is(th, td) { padding-top: 0; padding-bottom: 0; } .long .group th { padding-top: .5em; } .broad table { font-size: 8pt; }
.break { break-before: page; } .break > :first-child { margin-top: 0; } h2, h3, section > p, caption, .group, tbody tr:first-child, tbody tr:nth-last-child(2) { break-after: avoid; } tr, figure { break-inside: avoid; } thead { display: table-header-group; } a { color: #000; text-decoration: none; } }`
