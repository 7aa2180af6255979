import { css } from 'lit';

/** A workspace: its main part, and beside it what goes with that. */
export const workspace = css`
  :host {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 21rem;
    grid-template-rows: minmax(0, 1fr);
    min-height: 0;
    border-top: var(--rule-width) solid var(--rule);
  }
`;

/** On a phone held upright what goes with it stands below and takes what it needs, up to this share. */
export const workspaceBelow = css`
  @media (max-width: 720px) and (orientation: portrait) {
    :host {
      grid-template-columns: minmax(0, 1fr);
      grid-template-rows: minmax(0, 1fr) fit-content(45%);
    }
  }
`;
