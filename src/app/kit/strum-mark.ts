import { css, html, type TemplateResult } from 'lit';
import type { Stroke, Strum } from '../../music/strum.js';
import { isAccent, STROKE_HIGH, STROKE_WIDE, strokeLines, strumShape } from './strum-geometry.js';

/** How strokes are drawn, in the colour of the text around them. */
export const strumMarkStyles = css`
  .stroke-mark,
  .strum-mark {
    fill: none;
    stroke: currentColor;
    stroke-width: 1.3;
    stroke-linecap: round;
    stroke-linejoin: round;
    overflow: visible;
    display: block;
  }
  .stroke-mark.heavy,
  .strum-mark .heavy {
    stroke-width: 2.6;
  }
`;

/** One stroke. */
export function strokeMark(stroke: Stroke): TemplateResult {
  return html`<svg
    class="stroke-mark ${isAccent(stroke) ? 'heavy' : ''}"
    viewBox="0 0 ${STROKE_WIDE} ${STROKE_HIGH}"
    aria-hidden="true"
  >
    <path d=${strokeLines(stroke)}></path>
  </svg>`;
}

/** A pattern in a row, as high as `--strum-high`. */
export function strumMark(strum: Strum): TemplateResult {
  const { width, light, heavy } = strumShape(strum);
  return html`<svg
    class="strum-mark"
    viewBox="0 0 ${width} ${STROKE_HIGH}"
    .style="aspect-ratio:${width}/${STROKE_HIGH}"
    aria-hidden="true"
  >
    <path d=${light}></path>
    <path class="heavy" d=${heavy}></path>
  </svg>`;
}
