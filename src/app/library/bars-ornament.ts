import { css, svg, html } from 'lit';

/** Lengths in beats of the bars that the empty page is headed with: one line of an invented song. */
const LINE = [4, 4, 4, 2, 4, 4, 6, 4] as const;
const BEAT = 22;
const TOP = 14;
const HEIGHT = 46;

export const ornamentStyle = css`
  .ornament {
    display: block;
    width: 100%;
    max-width: 44.5rem;
    margin-bottom: var(--space-5);
    overflow: visible;
  }
  .ornament path {
    stroke: var(--ink);
    fill: none;
  }
  .ornament .fine {
    stroke: var(--ink-faint);
  }
  .ornament .notch {
    fill: var(--ink);
    stroke: none;
  }
  .ornament text {
    font-family: var(--music);
    font-weight: 600;
    font-size: 13px;
    fill: var(--on-ink);
    text-anchor: middle;
  }
`;

/** A line of bars to scale with two of another length: what the program is about, as it will draw it. */
export function barsOrnament(): unknown {
  let x = 1;
  const parts = LINE.map((beats) => {
    const left = x;
    x += beats * BEAT;
    const ticks = Array.from({ length: beats - 1 }, (_, i) => `M${left + (i + 1) * BEAT} ${HEIGHT}v-8`).join('');
    return svg`<path d="M${left} ${TOP}V${HEIGHT}" stroke-width="2" /><path class="fine" d=${ticks} />
      ${beats === 4 ? '' : svg`<path class="notch" d="M${left} ${TOP}h18v13l-5 5h-13z" /><text x=${left + 8.5} y=${TOP + 13.5}>${beats}</text>`}`;
  });
  return html`<svg class="ornament" viewBox="0 0 ${x + 4} ${HEIGHT + 2}" aria-hidden="true">
    ${parts}
    <path d="M0 ${HEIGHT}H${x}" />
    <path d="M${x - 4} ${TOP}V${HEIGHT}" />
    <path d="M${x} ${TOP}V${HEIGHT}" stroke-width="3" />
  </svg>`;
}
