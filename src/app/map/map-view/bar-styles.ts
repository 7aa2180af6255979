import { css } from 'lit';

/** One bar: its line, ruler, names, pins, and what is chosen, sounds or has changed. */
export const barStyles = css`
  .bar,
  .free {
    position: relative;
    flex: none;
    height: var(--bar-height);
    width: calc(var(--beat) * var(--w));
    scroll-margin: 5rem 0 3rem;
  }
  .bar {
    border-bottom: 1px solid var(--ink-faint);
  }
  .bar::before {
    content: '';
    position: absolute;
    z-index: 1;
    left: 0;
    top: 0;
    bottom: 0;
    border-left: 2px solid var(--ink);
    margin-left: -1px;
  }
  .bar.unsure::before {
    border-left: 2px dashed var(--ink);
  }
  .bar.closes::after {
    content: '';
    position: absolute;
    right: -1px;
    top: 0;
    bottom: 0;
    border-right: 1px solid var(--ink-faint);
  }
  .bar.closes.last::after {
    right: -1px;
    width: 5px;
    border-right: 2px solid var(--ink);
    border-left: 1px solid var(--ink);
  }
  .top {
    position: absolute;
    left: 1px;
    top: 0;
    height: var(--top);
    display: flex;
    align-items: center;
    gap: 0.3em;
    white-space: nowrap;
    font-size: var(--text-tiny);
    line-height: 1;
    color: var(--ink-soft);
    padding-left: 4px;
    pointer-events: none;
    font-variant-numeric: tabular-nums;
    z-index: 1;
  }
  .notch {
    align-self: stretch;
    display: grid;
    place-items: center;
    margin-left: -5px;
    padding: 0 0.5em 0 0.4em;
    background: var(--ink);
    color: var(--on-ink);
    font-weight: 600;
    clip-path: polygon(0 0, 100% 0, calc(100% - 0.3em) 100%, 0 100%);
  }
  .sign {
    font-family: var(--music);
    font-weight: 600;
    font-size: var(--text-small);
    color: var(--ink);
  }
  .chord {
    position: absolute;
    z-index: 2;
    left: calc(var(--beat) * var(--x));
    top: var(--top);
    height: var(--chord);
    display: flex;
    align-items: center;
    padding-left: 4px;
    font-family: var(--music);
    font-weight: 600;
    white-space: nowrap;
    pointer-events: none;
  }
  .chord.suggested {
    font-weight: 400;
  }
  .chord.held {
    color: var(--ink-soft);
    font-weight: 400;
    font-style: italic;
  }
  .chord.unread {
    font-style: italic;
    text-decoration: underline wavy var(--caution);
    text-underline-offset: 0.15em;
  }
  /* More of it than there is room for. */
  .chord.cut {
    text-decoration: underline dotted var(--ink-soft);
    text-underline-offset: 0.15em;
  }
  .chord.movable {
    pointer-events: auto;
    cursor: grab;
    touch-action: none;
    padding-right: 4px;
  }
  .chord.movable:active {
    cursor: grabbing;
  }
  .tick {
    position: absolute;
    left: calc(var(--beat) * var(--x));
    bottom: 0;
    height: var(--ruler);
    border-left: 1px solid var(--ink-faint);
    pointer-events: none;
  }
  .tick.group {
    height: calc(var(--ruler) + var(--chord) * 0.45);
    border-left: 1.5px solid var(--ink-soft);
  }

  /* Locks */
  .pin {
    position: absolute;
    left: calc(var(--beat) * var(--x));
    top: 100%;
    width: 11px;
    height: var(--gutter);
    margin-left: -5.5px;
    z-index: 1;
  }
  .pin::before {
    content: '';
    position: absolute;
    left: 5px;
    top: 1px;
    height: 5px;
    border-left: 1.5px solid var(--ink);
  }
  .pin::after {
    content: '';
    position: absolute;
    left: 1.75px;
    top: 5px;
    width: 8px;
    height: 8px;
    border-radius: 50%;
    background: var(--ink);
    border: 1.5px solid var(--ink);
  }
  .pin.open::after {
    background: var(--paper);
  }
  .rail {
    position: absolute;
    left: 0;
    right: 0;
    top: calc(100% + 8px);
    height: 3px;
    border-top: 1.5px solid var(--ink);
  }
  .rail.begins {
    left: 1px;
    border-left: 1.5px solid var(--ink);
    height: 5px;
  }
  .rail.ends {
    right: 3px;
    border-right: 1.5px solid var(--ink);
    height: 5px;
  }

  /* What is chosen, what sounds */
  .bar {
    box-shadow:
      inset 0 2px 0 var(--over, transparent),
      0 3px 0 var(--under, transparent);
  }
  .bar.selected {
    background: var(--select);
    --over: var(--ink);
  }
  .bar.meant {
    background: color-mix(in srgb, var(--select) 55%, transparent);
  }
  .beat-mark {
    position: absolute;
    left: calc(var(--beat) * var(--x) + 1px);
    width: calc(var(--beat) * var(--w) - 1px);
    top: var(--top);
    bottom: 0;
    border: 1.5px solid var(--ink);
    border-radius: 2px;
    pointer-events: none;
  }
  .beat-mark.goal {
    border: 2px dashed var(--play);
    background: color-mix(in srgb, var(--play) 18%, transparent);
  }
  .bar:focus-visible {
    outline-offset: 0;
    z-index: 2;
  }
  .bar.selected .tick,
  .bar.meant .tick {
    border-color: var(--ink-soft);
  }
  .sounding-beat {
    display: none;
  }
  .bar[data-sounding] .held {
    color: var(--ink);
  }
  .bar[data-sounding] {
    border-bottom-color: var(--play);
    --under: var(--play);
  }
  .bar[data-sounding] .sounding-beat {
    display: block;
    position: absolute;
    left: calc(var(--beat) * var(--sx, 0));
    width: calc(var(--beat) * var(--sw, 1));
    top: var(--top);
    bottom: 0;
    background: color-mix(in srgb, var(--play) 30%, transparent);
    pointer-events: none;
  }
  /* Where there are no keys, no length key has a target. */
  @media (hover: hover) {
    .bar[data-target] {
      outline: 2px dotted var(--play);
      outline-offset: 1px;
      z-index: 2;
    }
  }
  .changed-a,
  .changed-b {
    animation: changed-a 1s ease-out;
  }
  .changed-b {
    animation-name: changed-b;
  }
  @keyframes changed-a {
    from,
    60% {
      background: color-mix(in srgb, var(--play) 22%, transparent);
      box-shadow: inset 0 0 0 2px var(--play);
    }
  }
  @keyframes changed-b {
    from,
    60% {
      background: color-mix(in srgb, var(--play) 22%, transparent);
      box-shadow: inset 0 0 0 2px var(--play);
    }
  }
  @media (prefers-reduced-motion: reduce) {
    .changed-a,
    .changed-b {
      animation-timing-function: step-end;
    }
  }
`;
