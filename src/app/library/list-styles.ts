import { css } from 'lit';

/** The lists of the start page: songs of our own and those kept. */
export const listStyles = css`
  h2 {
    font-size: var(--text);
    font-weight: 600;
    margin: var(--space-6) 0 0;
    padding-bottom: var(--space-2);
    border-bottom: var(--rule-width) solid var(--rule-strong);
  }
  ul {
    list-style: none;
    margin: 0;
    padding: 0;
  }
  li {
    border-bottom: var(--rule-width) solid var(--rule);
  }
`;
