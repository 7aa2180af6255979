import { css } from 'lit';
import { underButton } from '../kit/styles/panels.js';

export const filesPanelStyles = [
  underButton,
  css`
    [popover] {
      --width: 44rem;
    }
    .groups {
      columns: 17rem 2;
      column-gap: var(--space-5);
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
  `,
];
