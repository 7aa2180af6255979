import { css } from 'lit';

export const panelStyles = css`
  :host {
    display: contents;
  }
  [popover] {
    position: fixed;
    inset: 3.25rem var(--space-3) auto auto;
    width: min(44rem, calc(100vw - 2 * var(--space-3)));
    max-height: calc(100dvh - 4.5rem);
    overflow: auto;
    margin: 0;
    padding: var(--space-4);
    color: var(--ink);
    background: var(--paper-raised);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
  }
  .groups {
    columns: 17rem 2;
    column-gap: var(--space-5);
  }
  section {
    break-inside: avoid;
    margin-bottom: var(--space-4);
  }
  h2 {
    font-size: var(--text-small);
    font-weight: 600;
    margin: 0 0 var(--space-1);
    padding-bottom: var(--space-1);
    border-bottom: var(--rule-width) solid var(--rule-strong);
  }
  button.file {
    display: block;
    width: 100%;
    height: auto;
    text-align: left;
    border: 0;
    padding: var(--space-1);
    line-height: 1.25;
  }
  button.file small {
    display: block;
    font-size: var(--text-tiny);
    color: var(--ink-soft);
  }
  button.file:disabled small {
    color: var(--ink-faint);
  }
  p {
    font-size: var(--text-small);
    margin: var(--space-1) 0;
  }
  label {
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: var(--space-2);
    min-height: var(--target-small);
    font-size: var(--text-small);
  }
  textarea {
    display: block;
    width: 100%;
    min-height: 5rem;
    resize: vertical;
    font: inherit;
    font-size: var(--text-small);
    font-variant-numeric: tabular-nums;
    color: inherit;
    background: var(--paper);
    border: var(--rule-width) solid var(--rule-strong);
    border-radius: var(--radius);
    padding: var(--space-1) var(--space-2);
  }
  .acts {
    display: flex;
    flex-wrap: wrap;
    gap: var(--space-2);
    margin-top: var(--space-2);
  }
`;
