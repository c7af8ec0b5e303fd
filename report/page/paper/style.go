package paper

// style is in millimetres and points, and looks the same on screen and on paper.
const style = `
*{box-sizing:border-box}
html{background:#fff;color:#000}
body{margin:0;font:9pt/1.3 system-ui,sans-serif;font-variant-numeric:tabular-nums}
.sheet{break-after:page;overflow:hidden;position:relative}
.sheet:last-child{break-after:auto}
header{display:flex;justify-content:space-between;align-items:flex-end;border-bottom:.5mm solid #000;padding-bottom:1.5mm;gap:4mm}
h1,h2{font:400 20pt/1 Georgia,serif;margin:0}
p{margin:1.5mm 0}
.when{text-align:right;margin:0;white-space:nowrap}
.blanks{display:flex;flex-wrap:wrap;gap:1mm 3mm;align-items:flex-end;margin:1mm 0 2mm}
.blank{border-bottom:.25mm solid #000;min-width:13mm;height:8mm;font-size:6.5pt;line-height:1;color:#333}
small,.key,.cautions{font-size:6.8pt;line-height:1.35;color:#333}
.key{margin:1mm 0}
.rows{position:relative}
.rows table{border-collapse:collapse;width:100%;table-layout:fixed;border-bottom:.5mm solid #000;position:relative;z-index:1}
.rows thead th{height:9mm;vertical-align:bottom;text-align:left;font-weight:400;font-size:8pt;border-bottom:.5mm solid #000;padding:0 0 .8mm 1mm;overflow:hidden}
.rows thead .curve{padding:0}
.curve small{display:block;text-align:center;line-height:1.1}
.curve span,.scale span{display:flex;justify-content:space-between}
i{font-style:normal;font-size:6.8pt}
.rows tbody tr+tr>*{border-top:.2mm solid #aaa}
.rows tbody tr.midnight>*{border-top:.7mm solid #000}
.rows tbody td{border-left:.2mm solid #aaa;padding:0 1mm}
.rows tbody td.plain{border-right:.2mm solid #aaa}
.rows tbody th{text-align:right;font-size:13pt;white-space:nowrap;padding:0;overflow:hidden}
.rows tbody th small{font-weight:400}
.gap{display:inline-block;width:6mm;border-bottom:.25mm dashed #666}
.ring{font-size:10pt;color:#555;white-space:nowrap;word-spacing:1.4mm;overflow:hidden}
.ring .gap{width:4mm}
.notes{vertical-align:top;font-size:6.8pt;color:#333;line-height:1.2;padding-top:.5mm!important}
.rows svg{position:absolute;bottom:.5mm;z-index:0}
.band{fill:#ececec}
.mid{fill:none;stroke:#999;stroke-width:.3;stroke-dasharray:1 .8}
.cards{display:grid;grid-template:1fr 1fr/1fr 1fr}
.card{display:flex;flex-direction:column;padding:7mm 7mm 6mm;border:.2mm dashed #888;margin:-.1mm;overflow:hidden}
.card h1,.card h2{font-size:15pt;overflow-wrap:anywhere}
.you{display:flex;justify-content:space-between;align-items:center;white-space:nowrap}
.you small{text-align:right}
.box{display:inline-block;width:8mm;height:8mm;border:.25mm solid #000;vertical-align:middle;margin-left:.8mm}
.card table{flex:1;border-collapse:collapse;width:100%}
.card thead tr{height:6mm}
.card tbody tr{border-bottom:.2mm solid #aaa;height:7mm}
.card tbody th{text-align:left;font-size:8.5pt;padding-right:2mm}
.card td{text-align:center;padding:0;font-size:11.5pt}
.card td.lean{font-size:7.5pt;color:#444;white-space:pre;width:17mm}
.card thead td{font-size:6.8pt}
.word{display:flex;gap:2mm;align-items:flex-end;height:9mm}
.word span{flex:1;border-bottom:.25mm solid #000}
@media screen{main{padding:4mm}.sheet{box-shadow:0 0 1mm #999;margin:0 auto 4mm;background:#fff}html{background:#fffdf8}main{overflow-x:auto}}
`
