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
  @media (pointer: fine) {
    .bar-tools.beside {
      position: relative;
      z-index: 1;
      width: fit-content;
      margin: 0 0 calc(-1 * var(--target-small)) auto;
    }
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
  .head .strum {
    grid-column: 1 / -1;
    color: var(--ink-soft);
    padding-top: 0.2rem;
  }
  .head .strum-mark {
    height: 0.8rem;
    max-width: 100%;
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
    .head .strum {
      grid-column: 1 / -1;
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
