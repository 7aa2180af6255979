import { css } from 'lit';

/** Equal cells are pale; what differs is inked: a strong frame, bold chords, a notch, a gap that is seen as one. */
export const passGridStyles = css`
  :host {
    --head: 6.5rem;
    --cell: 3.1rem;
  }
  .measure {
    height: 0;
    margin-left: var(--head);
  }
  .block + .block {
    margin-top: var(--space-4);
  }
  .row {
    display: flex;
    align-items: stretch;
    margin-bottom: 3px;
  }
  .head {
    flex: none;
    width: var(--head);
    padding-right: var(--space-2);
    display: flex;
    flex-direction: column;
    justify-content: center;
    font-size: var(--text-small);
    line-height: 1.2;
    min-width: 0;
  }
  .head b {
    font-weight: 600;
  }
  .head span {
    color: var(--ink-soft);
    font-size: var(--text-tiny);
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .head .key {
    color: var(--ink);
    font-weight: 600;
  }
  .slot {
    flex: none;
    width: calc(var(--beat) * var(--w));
  }
  .cell {
    position: relative;
    width: calc(var(--beat) * var(--w) - 2px);
    height: var(--cell);
    border: 1px solid var(--rule);
    border-left: 2px solid var(--rule-strong);
    color: var(--ink-soft);
    overflow: hidden;
    cursor: pointer;
    touch-action: manipulation;
    user-select: none;
    -webkit-user-select: none;
  }
  .number {
    position: absolute;
    left: 3px;
    top: 0;
    font-size: var(--text-tiny);
    font-variant-numeric: tabular-nums;
  }
  .notch {
    position: absolute;
    right: 0;
    top: 0;
    padding: 0 0.35em;
    font-size: var(--text-tiny);
    font-weight: 600;
    line-height: 1.35;
    border-left: 1px solid var(--rule-strong);
    border-bottom: 1px solid var(--rule-strong);
  }
  .chord {
    position: absolute;
    left: calc(var(--beat) * var(--x) + 4px);
    bottom: 0.3rem;
    line-height: 1.2;
    font-family: var(--music);
    white-space: nowrap;
  }
  .chord.held {
    font-style: italic;
  }
  .chord.cut {
    text-decoration: underline dotted;
    text-underline-offset: 3px;
  }
  .differs {
    color: var(--ink);
    background: var(--paper-raised);
    border: 2px solid var(--ink);
  }
  .differs .number {
    font-weight: 600;
  }
  .chord-differs .chord {
    font-weight: 600;
    text-decoration: underline;
    text-decoration-thickness: 2px;
    text-underline-offset: 3px;
  }
  .length-differs .notch {
    background: var(--ink);
    color: var(--on-ink);
    border-color: var(--ink);
  }
  .added {
    border-style: double;
    border-width: 4px;
  }
  .gap {
    border: 1px dashed var(--rule-strong);
    background: repeating-linear-gradient(-45deg, transparent 0 5px, var(--rule) 5px 6px);
  }
  .gap.differs {
    border: 2px dashed var(--ink);
  }
  .gap .number {
    background: var(--paper);
    padding: 0 3px;
  }
  .ignored::after {
    content: '';
    position: absolute;
    right: 4px;
    bottom: 4px;
    width: 6px;
    height: 6px;
    border: 1.5px solid var(--ink-soft);
    border-radius: 50%;
  }
  .current {
    background: var(--select);
    color: var(--ink);
  }
  .gap.current {
    background: repeating-linear-gradient(-45deg, var(--select) 0 5px, var(--rule-strong) 5px 6px);
  }
  .cell:focus-visible {
    outline-offset: 1px;
    z-index: 1;
  }
  .cell[data-sounding] {
    box-shadow: inset 0 -4px 0 var(--play);
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: var(--space-1) var(--space-2);
    margin-top: var(--space-3);
    padding-top: var(--space-2);
    border-top: var(--rule-width) solid var(--rule);
    font-size: var(--text-small);
  }
  .tools .what {
    margin-right: var(--space-2);
  }
  @media (hover: hover) {
    .cell:hover {
      border-color: var(--ink-soft);
    }
  }
  @media (max-width: 720px) {
    :host {
      --head: 1.6rem;
    }
    .head {
      align-items: center;
    }
    .head b .word,
    .head span:not(.key) {
      display: none;
    }
    .head .key {
      white-space: normal;
      font-size: 0.65rem;
      line-height: 1;
    }
  }
`;
