import { css } from 'lit';

/** What the panels beside the stage share: a heading, rows that wrap, labels with their field, small print. */
export const panel = css`
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
  }
  p {
    margin: 0 0 var(--space-2);
    color: var(--ink-soft);
  }
`;
