import { css } from 'lit';

/** A heading, and rows that wrap. */
export const panelRows = css`
  h2 {
    font-family: var(--music);
    font-size: var(--text-large);
    margin: var(--space-3) 0 var(--space-2);
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: var(--space-2);
    margin-bottom: var(--space-2);
  }
`;

/** What stands by itself beside the stage. */
export const sidePanel = css`
  :host {
    padding: var(--space-3) var(--space-4);
    font-size: var(--text-small);
  }
  h2:first-child {
    margin-top: 0;
  }
`;

/** Labels with their field. */
export const panelFields = css`
  input[type='range'] {
    flex: 1;
    min-width: 6rem;
  }
  input[type='number'] {
    width: 4.5rem;
    min-height: var(--target-small);
    background: var(--paper-raised);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
    padding: 0 var(--space-2);
  }
  input[type='checkbox'] {
    flex: none;
  }
  select {
    max-width: 100%;
  }
  label {
    display: inline-flex;
    align-items: center;
    gap: var(--space-2);
  }
  label.wide {
    display: flex;
    min-height: var(--target-small);
    margin-bottom: 2px;
  }
`;

/** What the panels of practising share: rows, fields, small print. */
export const panel = [
  panelRows,
  panelFields,
  css`
    p {
      margin: 0 0 var(--space-2);
      color: var(--ink-soft);
    }
  `,
];

/** A field that is typed into in the trade's shorthand, and what is wrong with the text. */
export const typedField = css`
  input[type='text'] {
    flex: 1;
    min-width: 6rem;
    font-family: var(--music);
  }
  input[aria-invalid='true'] {
    border-color: var(--caution);
  }
  .fault {
    flex-basis: 100%;
    color: var(--caution);
  }
  .fault:empty {
    display: none;
  }
`;

/** What opens under its button at the top right, in columns; `--width` is as wide as it gets. */
export const underButton = css`
  :host {
    display: contents;
  }
  [popover] {
    position: fixed;
    inset: 3.25rem var(--space-3) auto auto;
    width: min(var(--width), calc(100vw - 2 * var(--space-3)));
    max-height: calc(100dvh - 4.5rem);
    overflow: auto;
    margin: 0;
    padding: var(--space-4);
    color: var(--ink);
    background: var(--paper-raised);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
  }
  section {
    break-inside: avoid;
    margin-bottom: var(--space-4);
  }
  h2,
  .name {
    font-size: var(--text-small);
    font-weight: 600;
    margin: 0 0 var(--space-1);
    padding-bottom: var(--space-1);
    border-bottom: var(--rule-width) solid var(--rule-strong);
  }
`;
