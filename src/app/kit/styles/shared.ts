import { css } from 'lit';

/** Ground every element stands on: box sizes, the plain face, a focus ring that is always seen. */
export const base = css`
  :host {
    display: block;
    box-sizing: border-box;
    font-family: var(--plain);
    color: var(--ink);
  }
  :host([hidden]) {
    display: none;
  }
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  :focus-visible {
    outline: 2px solid var(--play);
    outline-offset: 2px;
    border-radius: var(--radius);
  }
  .music {
    font-family: var(--music);
    font-variant-numeric: lining-nums tabular-nums;
  }
  .soft {
    color: var(--ink-soft);
  }
  .hidden-text {
    position: absolute;
    width: 1px;
    height: 1px;
    margin: 0;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
`;

/** Buttons, fields and sliders: thin rules, no shadows; `main` for the one thing to press, `plain` for a word that acts. */
export const controls = css`
  button,
  input,
  select {
    font: inherit;
    color: inherit;
    letter-spacing: inherit;
  }
  button {
    display: inline-flex;
    align-items: center;
    justify-content: center;
    gap: var(--space-2);
    min-height: var(--target-small);
    min-width: var(--target-small);
    padding: 0 var(--space-3);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
    background: transparent;
    cursor: pointer;
    touch-action: manipulation;
  }
  @media (hover: hover) {
    button:hover:not(:disabled) {
      background: var(--paper-sunk);
    }
    button.main:hover:not(:disabled),
    button[aria-pressed='true']:hover:not(:disabled) {
      background: var(--ink-soft);
      border-color: var(--ink-soft);
    }
  }
  button:active:not(:disabled) {
    background: var(--rule);
  }
  button:disabled {
    color: var(--ink-faint);
    border-color: var(--rule);
    cursor: default;
  }
  button.main {
    min-height: var(--target);
    background: var(--ink);
    border-color: var(--ink);
    color: var(--on-ink);
    font-weight: 600;
  }
  button.plain {
    border-color: transparent;
    padding: 0 var(--space-2);
  }
  button[aria-pressed='true'] {
    background: var(--ink);
    border-color: var(--ink);
    color: var(--on-ink);
  }
  input[type='text'],
  select {
    min-height: var(--target-small);
    padding: 0 var(--space-2);
    background: var(--paper-raised);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
  }
  input[type='range'] {
    accent-color: var(--ink);
    min-height: var(--target-small);
  }
  kbd {
    font: inherit;
    font-size: var(--text-tiny);
    padding: 0 0.35em;
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
    color: var(--ink-soft);
    white-space: nowrap;
  }
  @media (pointer: coarse) {
    button {
      min-height: 2.25rem;
      min-width: 2.25rem;
    }
    input[type='checkbox'],
    input[type='radio'] {
      min-height: 1.5rem;
      min-width: 1.5rem;
    }
  }
`;
