import { css } from 'lit';

/** A compact panel: a word on the left, what can be done on the right. */
export const inspectorStyles = css`
  :host {
    font-size: var(--text-small);
  }
  h2 {
    display: flex;
    align-items: baseline;
    gap: var(--space-2);
    margin: 0;
    font-family: var(--music);
    font-size: var(--text-large);
    font-weight: 600;
  }
  h2 .where {
    margin-left: auto;
    font-family: var(--plain);
    font-size: var(--text-small);
    font-weight: 400;
    color: var(--ink-soft);
  }
  .traits {
    display: flex;
    align-items: center;
    justify-content: space-between;
    min-height: var(--target-small);
    margin: 0;
    color: var(--ink-soft);
  }
  .traits button {
    color: var(--ink);
    padding: 0 0.5rem;
  }
  .group {
    margin: var(--space-2) 0 0;
  }
  .label {
    display: block;
    margin-bottom: 0.2rem;
    color: var(--ink-soft);
    font-size: var(--text-tiny);
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: var(--space-1);
  }
  .keys button {
    padding: 0 0.5rem;
  }
  .keys button[aria-pressed] {
    font-variant-numeric: tabular-nums;
    font-weight: 600;
  }
  .pair {
    display: inline-flex;
    align-items: center;
    gap: var(--space-1);
    margin-right: var(--space-3);
  }
  .half {
    font-variant-numeric: tabular-nums;
  }
  #meter {
    width: 6rem;
    font-family: var(--music);
  }
  .wrong {
    margin: 0.2rem 0 0;
    color: var(--caution);
  }
  .wrong:empty {
    display: none;
  }
  .none {
    color: var(--ink-soft);
  }
  .locks {
    list-style: none;
    margin: 0;
    padding: 0;
  }
  .locks li {
    display: flex;
    align-items: center;
    gap: var(--space-2);
    padding: 0.1rem 0;
  }
  .locks li::before {
    content: '';
    flex: none;
    width: 0.5rem;
    height: 0.5rem;
    border-radius: 50%;
    background: var(--ink);
  }
  .locks span {
    flex: 1;
    min-width: 0;
  }
  .locks button {
    flex: none;
    padding: 0 0.5rem;
  }
`;
