import { withoutHalves } from './one-line.js';

const SIGNS: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
/** Characters that XML 1.0 does not know (section 2.2), but for halves of surrogate pairs. */
const FORBIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;

/** Text for XML, SVG and HTML, in an element or an attribute; what XML cannot carry is taken out. */
export function inMarkup(text: string): string {
  return withoutHalves(text.replace(FORBIDDEN, '')).replace(/[&<>"']/g, (sign) => SIGNS[sign] as string);
}
