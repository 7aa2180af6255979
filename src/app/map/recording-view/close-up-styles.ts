import { css } from 'lit';
import { DRAWN_WIDTH } from './waveform.js';

/** Layers of the close-up: ground, waveform, lines, then what moves while playing. */
export const closeUpStyles = css`
  :host {
    position: relative;
  }
  .stage {
    position: relative;
    overflow: hidden;
    touch-action: pan-y;
    cursor: default;
    outline-offset: -2px;
    user-select: none;
    -webkit-user-select: none;
  }
  .stage[data-grip='line'] {
    cursor: ew-resize;
  }
  .stage[data-grip='select'] {
    cursor: cell;
  }
  canvas,
  .wave {
    position: absolute;
    left: 0;
    top: 0;
    pointer-events: none;
  }
  .wave {
    width: ${DRAWN_WIDTH * 100}%;
    isolation: isolate;
  }
  .head,
  .sounding,
  .target {
    position: absolute;
    top: 0;
    bottom: 0;
    left: 0;
    pointer-events: none;
    will-change: transform;
  }
  /* No wider than it is drawn: the layer is put on the page again each frame. */
  .head {
    width: 12px;
    margin-left: -6px;
  }
  .head::before {
    content: '';
    position: absolute;
    left: 5px;
    top: var(--head-top);
    bottom: 0;
    width: 2px;
    background: var(--play);
  }
  .head::after {
    content: '';
    position: absolute;
    left: 0;
    top: var(--head-top);
    border: 6px solid transparent;
    border-top: 8px solid var(--play);
    border-bottom: 0;
  }
  .sounding {
    transform-origin: left;
    width: 1px;
    top: auto;
    height: 4px;
    bottom: var(--pins);
    background: var(--play);
  }
  .target {
    top: var(--head-top);
    border: 2px dotted var(--play);
  }
`;
