import { css } from 'lit';

/** Heights of a line of bars: names above, chords, the ruler of beats, and the gutter for pins below. */
export const mapStyles = css`
  :host {
    --head-width: 9.5rem;
    --top: 1.1rem;
    --chord: 1.75rem;
    --ruler: 0.6rem;
    --gutter: 0.9rem;
    --bar-height: calc(var(--top) + var(--chord) + var(--ruler));
    --line-height: calc(var(--bar-height) + var(--gutter));
    container-type: inline-size;
  }
  .bar-tools {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    justify-content: space-between;
    gap: 0 var(--space-4);
    min-height: var(--target-small);
    margin-bottom: var(--space-2);
    font-size: var(--text-small);
    color: var(--ink-soft);
  }
  .lengths {
    margin-left: auto;
    display: flex;
    align-items: center;
    gap: var(--space-1);
  }
  .lengths button {
    padding: 0;
    color: var(--ink);
  }
  .row,
  .measure {
    display: grid;
    grid-template-columns: var(--head-width) minmax(0, 1fr);
  }
  .measure {
    height: 0;
  }
  .measure > * {
    grid-column: 2;
  }
  .grid {
    --pad: 0.3rem;
    touch-action: pan-y;
    user-select: none;
    -webkit-user-select: none;
    cursor: default;
    min-width: min-content;
  }
  .row {
    content-visibility: auto;
    contain-intrinsic-height: auto calc(var(--lines) * var(--line-height) + 2 * var(--pad));
    padding: var(--pad) 0 var(--pad) var(--space-3);
    border-left: 5px solid var(--section);
    margin-bottom: var(--space-2);
  }
  .measure {
    padding-left: calc(var(--space-3) + 5px);
  }
  .row.edge {
    --section: var(--rule);
    --pad: 0;
    display: block;
    contain-intrinsic-height: auto 1.75rem;
  }

  /* Heads */
  .head {
    grid-column: 1;
    padding-right: var(--space-3);
    min-width: 0;
  }
  .head button {
    display: grid;
    grid-template-columns: auto minmax(0, 1fr);
    gap: 0 var(--space-2);
    align-items: center;
    justify-content: start;
    width: 100%;
    min-height: 0;
    padding: 0;
    border: 0;
    text-align: left;
  }
  .letter {
    display: grid;
    place-items: center;
    width: 1.5rem;
    height: 1.5rem;
    border-radius: var(--radius);
    border: 2px solid var(--section);
    background: color-mix(in srgb, var(--section) 24%, var(--paper));
    color: var(--ink);
    font-family: var(--music);
    font-weight: 600;
    line-height: 1;
  }
  .name {
    font-family: var(--music);
    font-weight: 600;
    font-size: 1.0625rem;
    line-height: 1.25;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .suggested .letter {
    border-style: dashed;
    background: none;
  }
  .suggested .name {
    font-weight: 400;
    font-style: italic;
  }
  .facts {
    grid-column: 1 / -1;
    font-size: var(--text-tiny);
    line-height: 1.35;
    color: var(--ink-soft);
    padding-top: 0.2rem;
    overflow-wrap: anywhere;
  }
  .facts .sum {
    color: var(--ink);
    font-variant-numeric: tabular-nums;
  }
  .row.here .name {
    text-decoration: underline;
    text-decoration-thickness: 1px;
    text-underline-offset: 0.2em;
  }

  /* Lines and bars */
  .lines {
    grid-column: 2;
    min-width: 0;
  }
  .line {
    display: flex;
    height: var(--line-height);
  }
  .indent {
    flex: none;
    height: var(--bar-height);
    padding: var(--top) 0.6em 0 0;
    line-height: var(--chord);
    text-align: right;
    font-size: var(--text-tiny);
    color: var(--ink-soft);
  }
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
    /* A name that reaches over a bar line stays readable. */
    text-shadow:
      0 0 2px var(--paper),
      0 0 2px var(--paper);
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
  .bar[data-target] {
    outline: 2px dotted var(--play);
    outline-offset: 1px;
    z-index: 2;
  }
  /* Where there are no keys, no length key has a target. */
  @media (hover: none) {
    .bar[data-target] {
      outline: none;
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

  .free {
    display: grid;
    place-items: center;
    border: 1px solid var(--rule-strong);
    border-left: 2px solid var(--ink);
    border-radius: 0 var(--radius) var(--radius) 0;
    background: repeating-linear-gradient(-45deg, transparent 0 6px, var(--rule) 6px 7px);
    font-size: var(--text-tiny);
  }
  .free span,
  .edge-text {
    background: var(--paper);
    color: var(--ink-soft);
    padding: 0 0.35em;
    border-radius: var(--radius);
    text-align: center;
    line-height: 1.3;
  }
  .edge-text {
    display: inline-flex;
    align-items: center;
    min-height: 1.75rem;
    gap: 0.4em;
    padding: 0;
    font-size: var(--text-small);
  }
  .legend {
    display: flex;
    flex-wrap: wrap;
    gap: var(--space-1) var(--space-4);
    margin: var(--space-4) 0 0;
    padding: 0;
    list-style: none;
    font-size: var(--text-tiny);
    color: var(--ink-soft);
  }
  .legend li {
    display: flex;
    align-items: center;
    gap: 0.5em;
  }
  .legend .mark {
    position: relative;
    width: 0.9rem;
    height: 1rem;
  }
  .legend .mark .pin {
    --x: 0;
    left: 50%;
    top: 1px;
  }
  .legend .mark.dashed {
    border-left: 2px dashed var(--ink);
    width: 2px;
    margin: 0 0.4rem;
  }
  .legend .notch {
    margin: 0;
    height: 1rem;
  }

  /* A phone, or a narrow column: heads above their lines. */
  @container (max-width: 640px) {
    .row,
    .measure {
      grid-template-columns: minmax(0, 1fr);
    }
    .measure > *,
    .lines,
    .head {
      grid-column: 1;
    }
    .row {
      padding-left: var(--space-2);
      contain-intrinsic-height: auto calc(var(--lines) * var(--line-height) + 1.9rem + 2 * var(--pad));
    }
    .measure {
      padding-left: calc(var(--space-2) + 5px);
    }
    .head {
      padding: 0 0 0.35rem;
    }
    .head button {
      grid-template-columns: auto auto minmax(0, 1fr);
    }
    .facts {
      grid-column: 3;
      padding: 0.15rem 0 0;
      overflow: hidden;
      text-overflow: ellipsis;
      white-space: nowrap;
    }
    .facts br {
      display: none;
    }
  }
  @container (min-width: 640.02px) {
    .facts .gap {
      display: none;
    }
  }
`;
