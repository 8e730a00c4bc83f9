/** The look of the page that compares two snapshots. Every pair of text and ground has a contrast of 4.5:1 or more, light and dark. */
export const COMPARE_CSS = `
:root{color-scheme:light dark;--ground:#eef1f0;--sheet:#fff;--ink:#182124;--soft:#4c595b;--rule:#d0d8d7;--bad:#9d1a53;--good:#0d6660;--open:#34568b;--plain:#4c595b}
@media (prefers-color-scheme:dark){:root{--ground:#12181a;--sheet:#1a2225;--ink:#e6eceb;--soft:#a9b6b7;--rule:#323e42;--bad:#ff8cb8;--good:#5cc4b8;--open:#93b4ea;--plain:#a9b6b7}}
*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:1rem/1.5 ui-sans-serif,system-ui,sans-serif;overflow-wrap:anywhere}
header,main,footer{max-width:60rem;margin:0 auto;padding:0 1rem}
h1,h2,p,ul,dl,dd{margin:0;padding:0}
h1{font-size:1.5rem;line-height:1.25;padding-top:1.5rem}
h2{font-size:1.1rem;margin:2rem 0 .6rem;padding-left:.6rem;border-left:.3rem solid var(--tone)}
.bad{--tone:var(--bad)}.good{--tone:var(--good)}.open{--tone:var(--open)}.plain{--tone:var(--plain)}
.soft,footer{color:var(--soft)}
.tally{display:flex;flex-wrap:wrap;gap:.3rem 1.5rem;margin-top:.9rem;padding-top:.75rem;border-top:3px solid var(--ink)}
.tally li{color:var(--tone)}
.tally b{font-size:1.5rem;line-height:1.2;margin-right:.35rem;font-variant-numeric:tabular-nums}
ul{list-style:none}
.rows{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;padding:.2rem 1rem}
.rows>li{display:grid;grid-template-columns:minmax(0,1fr);gap:.05rem 1.25rem;padding:.6rem 0}
.rows>li+li{border-top:1px solid var(--rule)}
.who{font-weight:600}
.where{font:.8125rem/1.45 ui-monospace,monospace;color:var(--soft)}
.none{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;padding:1rem;margin-top:1.5rem}
footer{padding-top:1.5rem;padding-bottom:2rem;font-size:.875rem}
@media (min-width:44rem){.rows>li{grid-template-columns:14rem minmax(0,1fr)}}
@media print{@page{margin:14mm}:root{color-scheme:light;--ground:#fff;--sheet:#fff;--ink:#000;--soft:#444;--rule:#bbb;--bad:#9d1a53;--good:#0d6660;--open:#34568b;--plain:#444}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}.rows>li{break-inside:avoid}h2{break-after:avoid}}
`;
