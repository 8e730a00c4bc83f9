/** The look of the drawings, by the colours that a page names. */
export const SKETCH_CSS = `.sketch{display:block;width:100%;max-width:9rem;height:auto;fill:none;stroke:var(--ink);stroke-width:2;stroke-linecap:round;stroke-linejoin:round}
.sketch .edge{fill:var(--sheet);stroke:var(--mid);stroke-width:1.5}
.sketch .type{stroke:var(--mid);stroke-width:3}.sketch .pale{stroke:var(--rule);stroke-width:3}
.sketch .bad{stroke:var(--fault);stroke-width:3}.sketch .bad-area{fill:var(--fault);stroke:none}
.sketch .solid{fill:var(--mid);stroke:none}.sketch .gap{stroke:var(--sheet);stroke-width:5}.sketch .hole{fill:var(--sheet);stroke:none}
.sketch .haze{fill:var(--rule);stroke:none}.sketch .letter{stroke:var(--ink);stroke-width:7}
.sketch .echo{stroke:var(--rule);stroke-width:7}.sketch .shift{stroke:var(--fault);stroke-width:2.5}
.sketch .faint{stroke:var(--rule);stroke-dasharray:2 4}.sketch .cut{stroke:var(--fault);stroke-width:2.5}
.sketch .ink-1{fill:var(--ink);stroke:none}.sketch .ink-2{fill:var(--fault);stroke:none}.sketch .ink-3{fill:var(--mid);stroke:none}
.sketch .missing{stroke:var(--fault);stroke-dasharray:4 4}
.sketch .machine{stroke:var(--mid);stroke-width:1.5}.sketch .path{stroke:var(--ink);stroke-width:2;stroke-dasharray:5 3}
`;

/** The look of the page about bad pages. Every pair of text and ground has a contrast of 4.5:1 or more, light and dark. */
export const DEFECT_CSS = `
:root{color-scheme:light dark;--ground:#eef1f0;--sheet:#fff;--ink:#182124;--soft:#4c595b;--rule:#d0d8d7;--fault:#9d1a53;--care:#805300;--care-ground:#fbf2df;--mid:#8b989a}
@media (prefers-color-scheme:dark){:root{--ground:#12181a;--sheet:#1a2225;--ink:#e6eceb;--soft:#a9b6b7;--rule:#323e42;--fault:#ff8cb8;--care:#e2b152;--care-ground:#33290f;--mid:#7d8a8d}}
*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:1rem/1.5 ui-sans-serif,system-ui,sans-serif;overflow-wrap:anywhere}
header,main,footer{max-width:60rem;margin:0 auto;padding:0 1rem}
h1,h2,h3,p,ol,ul{margin:0;padding:0}
h1{font-size:1.5rem;line-height:1.25;padding-top:1.5rem}
h2{font-size:1.1rem;margin:2rem 0 .6rem}
h3{font-size:1rem}
ol,ul{list-style:none}
.soft,footer{color:var(--soft)}
.num{font-variant-numeric:tabular-nums;white-space:nowrap}
.verdict{color:var(--fault);font-size:1.1rem;font-weight:600;margin-top:.5rem;max-width:44rem}
.box{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;padding:1rem}
.box+.box{margin-top:.75rem}
.box>li+li,.box>div+div{border-top:1px solid var(--rule);padding-top:.6rem;margin-top:.6rem}
.care{background:var(--care-ground);border-radius:3px;padding:.3rem .6rem;margin-top:.3rem;font-size:.925rem}
.care b{color:var(--care)}
.row{display:grid;grid-template-columns:4.5rem minmax(0,1fr);gap:.1rem .75rem}
.row .num{font-weight:600;text-align:right}
.why{font-size:.925rem;color:var(--soft);margin-top:.2rem}
.sketches{display:grid;grid-template-columns:repeat(auto-fill,minmax(9rem,1fr));gap:1rem}
.sketches h3{margin-top:.4rem}
code{font:.875em/1.45 ui-monospace,monospace}
${SKETCH_CSS}footer{padding-top:1.5rem;padding-bottom:2rem;font-size:.875rem}
@media print{@page{margin:14mm}:root{color-scheme:light;--ground:#fff;--sheet:#fff;--ink:#000;--soft:#444;--rule:#bbb;--fault:#9d1a53;--care:#805300;--care-ground:#fff;--mid:#777}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}.box>li,.sketches>li{break-inside:avoid}h2,h3{break-after:avoid}.care{border:1px solid var(--rule)}}
`;
