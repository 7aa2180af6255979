import type { SvgElement } from '../../export/chart/chart-svg.js';

const SVG = 'http://www.w3.org/2000/svg';

/** A drawing as an element of the page: texts become text nodes, never markup. */
export function svgNode({ tag, attributes, content }: SvgElement): SVGElement {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) if (name !== 'xmlns') node.setAttribute(name, value);
  if (typeof content === 'string') node.textContent = content;
  else node.append(...content.map(svgNode));
  return node;
}
