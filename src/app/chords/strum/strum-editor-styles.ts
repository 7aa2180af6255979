import { css } from 'lit';
import { panelFields, panelRows, sidePanel, typedField } from '../../kit/styles/panels.js';

export const strumEditorStyles = [
  panelRows,
  panelFields,
  sidePanel,
  typedField,
  css`
    p {
      margin: 0 0 var(--space-2);
    }
    .grid {
      display: flex;
      flex-wrap: wrap;
      gap: var(--space-2);
      margin-bottom: var(--space-1);
    }
    .beat {
      display: grid;
      justify-items: center;
      gap: 0 2px;
    }
    .count {
      font-size: var(--text-tiny);
      color: var(--ink-soft);
      min-height: 1.2em;
    }
    .cell {
      width: 2rem;
      min-width: 0;
      height: 2.5rem;
      padding: 0;
      background: var(--paper-raised);
    }
    .cell .stroke-mark {
      height: 1.5rem;
    }
    .cell.rest {
      color: var(--ink-soft);
      background: none;
    }
    input[type='text'] {
      font-size: var(--text);
    }
    .fault {
      margin: 0;
      font-weight: 600;
    }
    .usual {
      display: grid;
      gap: var(--space-1);
    }
    .usual button {
      justify-content: space-between;
      gap: var(--space-3);
      text-align: left;
    }
    .usual .strum-mark {
      height: 1rem;
      max-width: 55%;
      flex: none;
    }
    label.row {
      display: flex;
    }
    @media (pointer: coarse) {
      .cell {
        min-width: 0;
        width: 2.25rem;
        height: 2.75rem;
      }
    }
  `,
];
