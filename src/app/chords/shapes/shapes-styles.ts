import { css } from 'lit';
import { panelRows, sidePanel, typedField } from '../../kit/styles/panels.js';

export const shapesStyles = [
  panelRows,
  sidePanel,
  typedField,
  css`
    p {
      margin: 0 0 var(--space-2);
    }
    .strip,
    .choices {
      display: flex;
      flex-wrap: wrap;
      gap: var(--space-2);
    }
    .strip button,
    .choices button {
      display: flex;
      flex-direction: column;
      align-items: center;
      gap: 0;
      padding: var(--space-1);
      min-width: 3.6rem;
    }
    .strip .name {
      font-family: var(--music);
      font-size: var(--text);
      font-weight: 600;
    }
    .strip button[aria-expanded='true'] {
      box-shadow: inset 0 -3px 0 var(--ink);
    }
    .none {
      width: 3rem;
      color: var(--ink-soft);
      font-size: var(--text-tiny);
    }
    .choices {
      flex-basis: 100%;
      padding: var(--space-2);
      background: var(--paper-sunk);
    }
    .keys {
      list-style: none;
      margin: 0;
      padding: 0;
    }
    .keys li {
      padding: var(--space-2) 0;
      border-top: var(--rule-width) solid var(--rule);
    }
    .keys .title {
      font-family: var(--music);
      font-weight: 600;
    }
    .keys .row {
      margin: var(--space-1) 0 0;
    }
  `,
];
