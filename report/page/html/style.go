package html

// style has the colours of the page for day, night and print. A test computes the
// contrast of each pair from it (WCAG 2.2, 1.4.3: 4.5 to 1).
const style = `
:root{--ink:#1c1a17;--soft:#5a544a;--fire:#855400;--later:#9a3412;--sooner:#1f5a86;--line:#d3ccbe;--band:#e8e0cf;--paper:#fffdf8}
@media screen and (prefers-color-scheme:dark){:root{--ink:#efe8da;--soft:#b5ab99;--fire:#dca548;--later:#f0936a;--sooner:#86bbe2;--line:#4a4439;--band:#2f2a21;--paper:#12110e}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);color-scheme:light dark;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:46rem;padding:1.5rem 1.25rem 3rem;font:15px/1.5 system-ui,sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
h1{font:400 2.2rem/1.15 Georgia,serif;margin:.2rem 0 .8rem}
.aside{color:var(--soft);margin:0}
.lead{font:1.25rem/1.5 Georgia,serif;margin:0 0 .6rem}
section{border-top:2px solid var(--ink);margin-top:2.5rem;padding-top:.4rem}
.plain{border:0;margin-top:1.2rem}
h2{font-size:1rem;margin:.2rem 0 .7rem}
h3,h4{font-size:1rem;margin:1rem 0 .4rem}
p{margin:.4rem 0;max-width:40rem}
.prose{font:17px/1.6 Georgia,serif}
.note,figcaption,.foot{color:var(--soft);font-size:.9rem}
figcaption{margin-top:.4rem}
figure{margin:0 0 .8rem}
.photo img{display:block;max-width:100%;height:auto}
.plot{padding:0 92px 0 46px}
.named .plot{padding-left:112px}
svg.chart,svg.span{display:block;overflow:visible}
svg text{font:12.5px system-ui,sans-serif;fill:var(--ink)}
svg .num,svg .soft,svg .name{fill:var(--soft)}
svg .strong{font-weight:700}
svg .fireword{fill:var(--fire)}
svg path{fill:none;stroke:var(--ink);stroke-linejoin:round}
svg path.band{fill:var(--band);stroke:none}
svg path.main{stroke-width:2.6}
svg path.other{stroke-width:1.5;stroke-dasharray:6 3}
svg path.third{stroke-dasharray:2 3}
svg path.fourth{stroke-dasharray:8 2 2 2}
svg path.fire{stroke:var(--fire);stroke-width:1.4}
svg path.setting{stroke:var(--fire);stroke-width:1;stroke-dasharray:1 3}
svg line{stroke:var(--ink);stroke-width:1}
svg .grid{stroke:var(--line)}
svg .rule{stroke-dasharray:1 3}
svg .stroke{stroke-width:1.6}
svg .bar{stroke-width:5}
svg.span .bar{stroke-width:10}
svg.span .night{stroke-width:6}
svg .range{stroke-width:1.4}
svg .dot{fill:var(--ink)}
svg .ring{fill:var(--paper);stroke:var(--ink);stroke-width:1.5}
svg .later{stroke:var(--later);fill:var(--later)}
svg .sooner{stroke:var(--sooner);fill:var(--sooner)}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:.3rem .8rem .3rem 0;font-weight:400}
th:last-child,td:last-child{padding-right:0}
thead>tr>*{color:var(--soft);font-size:.87rem;vertical-align:bottom;border-bottom:1px solid var(--ink)}
tbody tr+tr>*{border-top:1px solid var(--line)}
tr.part th{font-weight:700;padding-top:1rem}
tr.sum>*{border-top:1.5px solid var(--ink)!important;font-weight:700}
.right{text-align:right;white-space:nowrap}
td.picture,th.picture{width:15rem;min-width:9rem}
.many th,.many td{padding-right:.6rem}
.many td.picture,.many th.picture{width:9rem}
.pictured.many th:first-child{min-width:10rem}
.pictured.many .right{white-space:normal}
.pictured.hours th:first-child{min-width:0}
.hours td.picture,.hours th.picture{width:14rem}
.differs th:first-child::before{content:"≠ ";font-weight:700}
dl{columns:2;column-gap:2.5rem;margin:0}
dl>div{display:flex;justify-content:space-between;gap:1rem;border-bottom:1px solid var(--line);padding:.25rem 0;break-inside:avoid}
dt{color:var(--soft)}
dd{margin:0;text-align:right}
dl.lines{columns:1}
.lines>div{display:grid;grid-template-columns:9rem 1fr}
.lines dd{text-align:left;max-width:40rem}
dd small{display:block;font-size:.9em;color:var(--soft)}
.foot{border-top:1px solid var(--line);margin-top:2.5rem;padding-top:.6rem;max-width:28rem}
a{color:inherit}
@media(max-width:34rem){
body{padding:1rem}
.plot{padding:0 74px 0 34px}
.named .plot{padding-left:92px}
svg .spare{display:none}
dl{columns:1}
.lines>div{grid-template-columns:7rem 1fr}
th,td{padding-right:.5rem}
.many{font-size:.85em}
.many th,.many td{padding-right:.4rem}
.pictured tr{display:flex;flex-wrap:wrap;gap:0 .8rem;border-top:1px solid var(--line);padding:.25rem 0}
.pictured tr>*{border:0!important;padding:.1rem 0}
.pictured tr>:first-child{flex:1 1 100%}
.pictured tr>.picture{order:9;flex:1 1 100%;width:auto}
.hours tr{display:grid;grid-template-columns:3.5rem repeat(3,1fr)}
.hours tr>:nth-child(2){grid-column:2/5}
.hours tr>.picture{grid-area:2/1/3/5;padding:0 .6rem!important}
.hours tr>.right{grid-row:3;text-align:left}
.hours tr>:nth-child(4){grid-column:2}
.hours tr>:nth-child(5){grid-column:3}
.hours tr>:nth-child(6){grid-column:4}
}
@media print{
:root{--ink:#000;--soft:#444;--fire:#333;--later:#000;--sooner:#666;--line:#bbb;--band:#ddd;--paper:#fff}
html{font-size:12px}
body{max-width:none;padding:0;font-size:9.5pt;line-height:1.35}
.prose{font-size:10.5pt;line-height:1.45}
section{break-inside:auto;margin-top:1.2rem}
.wide{overflow:visible}
th,td,dl>div{padding-top:.15rem;padding-bottom:.15rem}
p{max-width:none;orphans:3;widows:3}
h2,h3,thead,tr.part{break-after:avoid}
figure,tr,svg,section:has(>figure){break-inside:avoid}
dl{columns:2}
}
@page{margin:14mm}
`

// Style returns the style sheet of every page.
func Style() string { return style }

// paperStyle has the extra rules for a paper size (CSS Paged Media 3, page-size).
var paperStyle = map[string]string{
	"A4":     "@page{size:A4}",
	"A5":     "@page{size:A5;margin:9mm}@media print{dl{columns:1}}",
	"letter": "@page{size:letter}",
}
