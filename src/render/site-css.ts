/**
 * The look of the site's page: a plain log sheet. One column of printers, a narrow margin for the ladder.
 * Colours are named by what they say; every pair of text and ground has a contrast of 4.5:1 or more, light and dark.
 */
export const SITE_CSS = `
:root{color-scheme:light dark;
--ground:#eef1f0;--sheet:#fff;--sunk:#f4f6f5;--ink:#182124;--soft:#4c595b;--rule:#d0d8d7;--edge:#aebaba;
--clear:#0d6660;--warning:#805300;--fault:#9d1a53;--unknown:#34568b;--not-reached:#667172;
--fault-ground:#fbeaf1;--warning-ground:#fbf2df;--on-mark:#fff}
@media (prefers-color-scheme:dark){:root{
--ground:#12181a;--sheet:#1a2225;--sunk:#20292c;--ink:#e6eceb;--soft:#a9b6b7;--rule:#323e42;--edge:#506065;
--clear:#5cc4b8;--warning:#e2b152;--fault:#ff8cb8;--unknown:#93b4ea;--not-reached:#98a5a7;
--fault-ground:#3a1a29;--warning-ground:#33290f;--on-mark:#12181a}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--ground);color:var(--ink);font:1rem/1.5 ui-sans-serif,system-ui,sans-serif;overflow-wrap:anywhere}
header.site,main,footer{max-width:76rem;margin:0 auto;padding:0 1rem}
h1,h2,h3,h4,p,ol,ul,dl,dd{margin:0;padding:0}
h1{font-size:1.6rem;line-height:1.2;letter-spacing:-.01em}
h2{font-size:1.15rem;margin:2.25rem 0 .75rem}
h3{font-size:1.25rem;line-height:1.25}
h3.small{font-size:1rem;margin-bottom:.5rem}
h4{font-size:.8rem;letter-spacing:.02em;color:var(--soft);margin-bottom:.4rem}
ol,ul{list-style:none}
a{color:inherit;text-underline-offset:.15em;text-decoration-thickness:1px}
a:focus-visible,summary:focus-visible,input:focus-visible{outline:2px solid var(--unknown);outline-offset:3px;border-radius:2px}
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:.5rem;background:var(--sheet);padding:.5rem}
.symbols{position:absolute;width:0;height:0}
.soft{color:var(--soft)}
.num{font-variant-numeric:tabular-nums;white-space:nowrap}
code{font:.875em/1.45 ui-monospace,monospace}
header.site{padding-top:1.75rem}
header.site .soft{margin-top:.25rem}
.tally{display:flex;flex-wrap:wrap;gap:.4rem 1.5rem;margin-top:1rem;padding-top:.75rem;border-top:3px solid var(--ink)}
.tally b{font-size:1.5rem;line-height:1.2;margin-right:.35rem;font-variant-numeric:tabular-nums}
.sheet{background:var(--sheet);border:1px solid var(--rule);border-radius:4px}
.s-clear{color:var(--clear)}.s-warning{color:var(--warning)}.s-fault{color:var(--fault)}.s-unknown{color:var(--unknown)}.s-not-reached{color:var(--not-reached)}
.strip{display:block;width:9.75rem;height:1.375rem}
.cell{width:11px;height:18px;vertical-align:-.25rem;margin-right:.15rem}
.key{display:flex;flex-wrap:wrap;gap:.1rem 1rem;font-size:.875rem;color:var(--soft);margin-bottom:.6rem}
.key span{white-space:nowrap}
.strip g,.cell{fill:currentColor}
.strip .line,.strip .open,.cell .line,.cell .open{fill:none;stroke:currentColor;stroke-width:3}.strip .open,.cell .open{stroke-width:1.5}
.glance>li{display:grid;gap:.15rem 1rem;grid-template-columns:auto 1fr;align-items:center;padding:.8rem 1rem;border-top:1px solid var(--rule)}
.glance>li:first-child{border-top:0}
.glance .who,.glance .what{grid-column:1/-1}.glance .who{font-weight:600;font-size:1.05rem;justify-self:start}
.glance .stands{justify-self:end}
.glance .go{color:var(--soft)}
.glance .stands{font-size:.875rem}
.stands{font-weight:600;white-space:nowrap}
.two{display:grid;gap:1rem}
.two>div{padding:1rem}
.round{counter-reset:stop}
.round>li{counter-increment:stop;display:grid;grid-template-columns:2.1rem 1fr;padding:.45rem 0;border-top:1px solid var(--rule)}
.round>li:first-child,.bring>li:first-child{border-top:0;padding-top:0}
.round>li::before{content:counter(stop);font-weight:600;font-variant-numeric:tabular-nums;color:var(--soft)}
.bring>li{padding:.45rem 0;border-top:1px solid var(--rule)}
.ticks>li{padding:.35rem 0;border-top:1px solid var(--rule)}
.ticks>li:first-child{border-top:0;padding-top:0}
.ticks label{display:inline-flex;gap:.5rem;align-items:baseline}
.ticks [type=checkbox]{width:1.1rem;height:1.1rem;flex:none;margin:0;position:relative;top:.15rem}
.answers{display:flex;flex-wrap:wrap;gap:.25rem 1rem;margin-top:.25rem}
.hand{flex:1 1 10rem;min-width:0;font:inherit;color:inherit;background:transparent;border:0;border-bottom:1px solid var(--soft);border-radius:0;min-height:1.75rem}
.printer{margin-top:1rem;padding:1.1rem 1rem 1rem;scroll-margin-top:.5rem}
.printer>header{display:grid;gap:.25rem}
.printer>header .top{display:flex;flex-wrap:wrap;align-items:baseline;justify-content:space-between;gap:.15rem 1rem}
.verdict{font-size:1.1rem;line-height:1.4;margin-top:.35rem;max-width:46rem}
.where{font-size:.925rem}
.cols{display:grid;gap:1.25rem;margin-top:1rem;grid-template-columns:minmax(0,1fr)}
.parts>.part{break-inside:avoid;padding-bottom:1.15rem}
.way{font-size:.925rem}
.way li{display:grid;grid-template-columns:1.5rem 1fr;column-gap:.6rem;align-items:stretch;min-height:2rem}
.way .say{padding:.25rem 0}
.way .layer{display:inline-block;min-width:6.2rem;color:var(--ink)}
.way .s-not-reached .layer{color:var(--soft)}
.way .state{font-weight:600}
.way .note{display:block;color:var(--soft);font-size:.9em;line-height:1.4}
.way .is-fault .say{background:var(--fault-ground);padding:.25rem .6rem;border-radius:3px}
.way .line{position:relative}
.way .line::after{content:"";position:absolute;left:.6875rem;width:.125rem;top:2rem;bottom:0}
.way .is-clear .line::after,.way .is-warning .line::after{background:currentColor}
.mark{display:block;width:1.5rem;height:2rem;fill:none;stroke:currentColor;stroke-width:2;stroke-linecap:butt;stroke-linejoin:round}
.mark .body,symbol .body{fill:currentColor}.mark .ink,symbol .ink{stroke:var(--on-mark);stroke-width:2.2}symbol .hollow{fill:var(--sheet)}
.ends{color:var(--soft);font-size:.8rem;padding-left:.2rem}
.next{display:grid;gap:.75rem}
.next>li{display:grid;grid-template-columns:4.4rem 1fr;gap:.1rem .75rem}
.next .min{font-weight:600;border-right:2px solid var(--ink);padding-right:.6rem;text-align:right}
.care{grid-column:2;font-size:.925rem;background:var(--warning-ground);border-radius:3px;padding:.3rem .6rem;margin-top:.3rem}
.care b{color:var(--warning)}
.plain>li{padding:.2rem 0}
p.tag,.plain .tag{font-size:.875rem;color:var(--soft)}
table{border-collapse:collapse;width:100%;font-size:.925rem}
th,td{text-align:left;vertical-align:middle;font-weight:400;padding:.3rem .75rem .3rem 0;border-top:1px solid var(--rule)}
tbody tr:first-child th,tbody tr:first-child td{border-top:0}
td:last-child,th:last-child{padding-right:0}
.levels>li{display:flex;flex-wrap:wrap;justify-content:space-between;gap:.15rem .75rem;padding:.35rem 0;font-size:.925rem}
.levels .amount{color:var(--soft);font-variant-numeric:tabular-nums}
.levels .bar{flex:1 0 100%}
.bar{display:block;width:100%;height:.5rem}
.bar .track{fill:var(--rule)}.bar .fill{fill:var(--clear)}
.bar.l-low .fill{fill:var(--warning)}.bar.l-empty .fill,.bar.l-full .fill{fill:var(--fault)}.bar.l-unknown .fill{fill:var(--unknown)}
.days{display:block;width:100%;height:1rem;margin:.25rem 0 .5rem}.days .way{fill:var(--rule)}.days .well{fill:var(--clear)}.days .silent{fill:var(--fault)}.days .unclear{fill:var(--unknown)}
.pages{display:block;width:100%;height:2.25rem;margin:.25rem 0}.pages rect{fill:var(--soft)}
.bar .quarter{stroke:var(--sheet);stroke-width:1;vector-effect:non-scaling-stroke;fill:none}
.facts{display:grid;grid-template-columns:auto 1fr;gap:.15rem 1rem;font-size:.925rem}
.facts dt{color:var(--soft);max-width:9rem}
details{margin-top:.25rem;border-top:1px solid var(--rule);padding-top:.6rem}
summary{cursor:pointer;font-weight:600;font-size:.925rem}
.records{margin-top:.5rem;font-size:.875rem}
.records li{display:grid;grid-template-columns:2.75rem 1fr;padding:.15rem 0}
.records .behind{font-weight:600}
footer{padding-top:1.5rem;padding-bottom:2.5rem;font-size:.875rem;color:var(--soft)}
@media (min-width:44rem){
header.site,main,footer{padding-left:2rem;padding-right:2rem}
.glance>li{grid-template-columns:10.5rem minmax(8rem,12rem) 1fr;grid-template-rows:auto 1fr;align-items:start;column-gap:1.5rem;padding:.9rem 1.5rem}
.glance .strip{grid-area:1/1}.glance .stands{grid-area:2/1;justify-self:start}.glance .who{grid-area:1/2/span 2;font-size:1rem}.glance .what{grid-area:1/3/span 2}
.two.both{grid-template-columns:3fr 2fr}
.printer{padding:1.4rem 1.5rem 1.25rem}
.cols{grid-template-columns:minmax(15rem,19rem) minmax(0,1fr);gap:2rem}}
@media (min-width:72rem){
.parts{columns:2;column-gap:2rem}.parts>.wide{column-span:all}}
@media print{
@page{margin:14mm}
:root{color-scheme:light;--ground:#fff;--sheet:#fff;--sunk:#fff;--ink:#000;--soft:#444;--rule:#bbb;--edge:#888;
--clear:#0d6660;--warning:#805300;--fault:#9d1a53;--unknown:#34568b;--not-reached:#667172;--fault-ground:#fff;--warning-ground:#fff;--on-mark:#fff}
html{font-size:8.5pt}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
header.site,main,footer{max-width:none;padding-left:0;padding-right:0}
.skip{display:none}.hand{min-height:7mm}
.printer,.glance>li,.part,.way,.next>li,.records li,.two>div{break-inside:avoid}
h2,h3,h4,summary{break-after:avoid}
.glance>li{grid-template-columns:11rem 10rem 1fr;grid-template-rows:auto 1fr;align-items:start;column-gap:1.25rem}
.glance .strip{grid-area:1/1}.glance .stands{grid-area:2/1;justify-self:start}.glance .who{grid-area:1/2/span 2}.glance .what{grid-area:1/3/span 2}
.two.both{grid-template-columns:3fr 2fr}
.cols{grid-template-columns:15rem minmax(0,1fr);gap:1.5rem}
.parts{columns:2;column-gap:2rem}.parts>.wide{column-span:all}
.way .is-fault .say,.care{border:1px solid var(--edge)}
details::details-content{content-visibility:visible;block-size:auto}
.records li:not(.behind){display:none}.records .behind{font-weight:400}
footer{break-inside:avoid}}
`;
