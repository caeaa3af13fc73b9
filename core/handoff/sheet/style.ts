import { cssString } from './escape.ts';
import { MARGIN_PX, type Paper } from './paper.ts';

/** The page's own style: nothing is asked from elsewhere, and fonts are the system's. `foot` stands at the foot of each page. */
export const styleOf = (paper: Paper, foot: string): string => `
@page{size:${paper.css};margin:${MARGIN_PX.top}px ${MARGIN_PX.side}px ${MARGIN_PX.bottom}px;
@bottom-left{content:${cssString(foot)};font:11px/14px ${FONT};color:#000;vertical-align:top;padding-top:12px;white-space:nowrap;overflow:hidden}
@bottom-right{content:"Page " counter(page) " of " counter(pages);font:11px/14px ${FONT};color:#000;vertical-align:top;padding-top:12px;width:110px;text-align:right}}
*{box-sizing:border-box}
body{margin:0;background:#fff;color:#000;font:400 12.5px/17px ${FONT};font-variant-numeric:tabular-nums lining-nums;-webkit-print-color-adjust:exact;print-color-adjust:exact;overflow-wrap:anywhere}
section{width:${paper.width_px}px;margin:0 auto}
section+section{break-before:page}
@media screen{section{padding:24px 0}section+section{border-top:1px dashed #888}}
h1,h2,h3,p,ol,ul,dl,dd{margin:0;padding:0}ol,ul{list-style:none}
h1{font-size:27px;line-height:31px}h1.long{font-size:19px;line-height:23px}
h2{font-size:12.5px;line-height:17px;border-bottom:1.2px solid #000;padding-bottom:3px;margin-bottom:5px;break-after:avoid}
h1,h2,th,b,td.r{font-weight:600}
.top{display:flex;justify-content:space-between;align-items:flex-end;gap:24px;border-bottom:2.4px solid #000;padding-bottom:7px;margin-bottom:11px}
.top>p{text-align:right;flex:none;max-width:34%}
.big{display:grid;grid-template-columns:1.3fr 1fr 1fr 1.05fr;margin-bottom:11px;break-inside:avoid}
.big>div{padding:0 12px;border-left:1px solid #000;min-width:0}.big>div:first-child{padding-left:0;border:0}
.big b{display:block;font-size:23px;line-height:28px}.big b.two{font-size:17px;line-height:22px}.big small{font-size:13px;font-weight:400}
.body{display:grid;grid-template-columns:auto 1fr;gap:18px;margin-bottom:10px;break-inside:avoid}
svg{display:block;font-family:inherit}.map{border:1.2px solid #000}
ol.care li,ul.tick li{position:relative;line-height:16px;break-inside:avoid}
ol.care li{padding:0 0 6px 24px}ol.care b{display:block}
ol.care i{position:absolute;left:0;top:0;width:16px;height:16px;border:1.2px solid #000;border-radius:50%;font:600 10.5px/14px ${FONT};text-align:center}ol.care i.none{border:0}
ul.tick li{padding-left:18px;margin-bottom:3px}ul.tick li::before{content:"";position:absolute;left:0;top:3px;width:10px;height:10px;border:1.2px solid #000}
ul.tick.after,ol.care.after{margin-bottom:6px}
table{border-collapse:collapse;width:100%;margin-bottom:9px}tr{break-inside:avoid}
th{overflow-wrap:normal;text-align:left;font-weight:400;font-size:12px;line-height:15px;border-bottom:1.2px solid #000;padding:3px 7px 3px 0;vertical-align:bottom}
td{padding:3px 7px 3px 0;border-bottom:.6px solid #888;vertical-align:middle}
th.n,td.n{text-align:right;white-space:nowrap}th.n{white-space:normal}td.w,th.w{padding-left:14px}th:last-child,td:last-child{padding-right:0}
td.r{font-size:17px}.z{white-space:nowrap}tr.sum td{border-top:1.2px solid #000;border-bottom:3px double #000;font-weight:600}
table.many td{padding-top:1px;padding-bottom:1px;line-height:16px}table.many td.r{font-size:14px}
tbody.last,.keep,table.few{break-inside:avoid}
.z{display:inline-block;min-width:20px;height:20px;padding:0 3px;border:1.4px solid #000;border-radius:10px;text-align:center;font:600 12px/17px ${FONT}}
.z.q{border-radius:0}
table.many .z{height:16px;line-height:13px;font-size:11px}
.swatch{display:inline-block;vertical-align:middle}
.fine{font-size:11px;line-height:14px;margin-bottom:9px}
.sign{display:grid;grid-template-columns:88px 1fr;gap:18px;align-items:center;border-top:2.4px solid #000;padding-top:9px;break-inside:avoid}
.sign+table{margin-top:14px}.sign .fine{margin:5px 0 0}
.lines{display:grid;grid-template-columns:1fr 1fr 1fr;gap:10px 18px}.lines span{border-bottom:1px solid #000;height:26px;font-size:12px}
.not{border:2px solid #000;width:88px;height:88px;display:grid;place-content:center;text-align:center;font:600 13px/17px ${FONT}}
.flow{columns:2;column-gap:26px;margin-bottom:12px}.strip{margin-bottom:9px;break-inside:avoid}.strip .tick{columns:3;column-gap:20px}
.flow>div,.flow>li{break-inside:avoid;margin-bottom:10px}.flow>li{margin-bottom:0}
.block{margin-bottom:13px}.block p+p,.dash li+li{margin-top:3px}.dash li{padding-left:12px;text-indent:-12px}.dash li::before{content:"–";display:inline-block;width:12px;text-indent:0}
.remarks{border:1.2px solid #000;padding:5px 9px;margin-bottom:9px;break-inside:avoid;white-space:pre-line}
.short{text-decoration:underline;text-decoration-thickness:1.5px;text-underline-offset:3px;font-weight:600}
`;

/** The same families as the window's; none is fetched. */
export const FONT =
  '"Segoe UI Variable Text","Segoe UI","SF Pro Text",-apple-system,"Helvetica Neue","Noto Sans","Ubuntu Sans","Ubuntu","Cantarell","DejaVu Sans Condensed","DejaVu Sans",system-ui,sans-serif';
