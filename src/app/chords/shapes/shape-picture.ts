import { html, svg, type TemplateResult } from 'lit';
import { diagramMarks, type DiagramMark } from '../../../export/chart/shape-diagram.js';
import type { Shape } from '../../../music/shapes.js';

/** CSS pixels to a unit of the diagram. */
const SCALE = 1.25;

/** A chord diagram in the colour of the text around it; what stands beside it has to name it, see diagramName. */
export function shapePicture(shape: Shape, leftHanded: boolean): TemplateResult {
  const { width, height, marks } = diagramMarks(shape, leftHanded);
  return html`<svg
    class="shape"
    aria-hidden="true"
    viewBox="0 0 ${width} ${height}"
    width=${width * SCALE}
    height=${height * SCALE}
  >
    ${marks.map(markPicture)}
  </svg>`;
}

function markPicture(mark: DiagramMark): TemplateResult<2> {
  switch (mark.kind) {
    case 'line':
      return svg`<path d=${mark.d} stroke="currentColor" stroke-width=${mark.width} fill="none" stroke-linecap=${mark.round ? 'round' : 'butt'}></path>`;
    case 'dot':
      return svg`<circle cx=${mark.x} cy=${mark.y} r=${mark.r} fill="currentColor"></circle>`;
    case 'ring':
      return svg`<circle cx=${mark.x} cy=${mark.y} r=${mark.r} fill="none" stroke="currentColor" stroke-width="0.9"></circle>`;
    case 'number':
      return svg`<text x=${mark.x} y=${mark.y} font-size="9" text-anchor="end" fill="currentColor">${mark.text}</text>`;
  }
}
