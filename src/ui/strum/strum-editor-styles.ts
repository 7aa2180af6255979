import { css } from 'lit';

export const strumEditorStyles = css`
  :host {
    padding: var(--space-3) var(--space-4);
    font-size: var(--text-small);
  }
  h2 {
    font-family: var(--music);
    font-size: var(--text-large);
    margin: var(--space-3) 0 var(--space-2);
  }
  p {
    margin: 0 0 var(--space-2);
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: var(--space-2);
    margin-bottom: var(--space-2);
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
    flex: 1;
    min-width: 6rem;
    font-family: var(--music);
    font-size: var(--text);
  }
  input[aria-invalid='true'] {
    border-color: var(--caution);
  }
  .fault {
    flex-basis: 100%;
    margin: 0;
    color: var(--caution);
    font-weight: 600;
  }
  .fault:empty {
    display: none;
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
  label {
    display: inline-flex;
    align-items: center;
    gap: var(--space-2);
  }
  label.wide {
    display: flex;
  }
  label.row {
    display: flex;
  }
  input[type='range'] {
    flex: 1;
    min-width: 6rem;
  }
  @media (pointer: coarse) {
    .cell {
      min-width: 0;
      width: 2.25rem;
      height: 2.75rem;
    }
  }
`;
