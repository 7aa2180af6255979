import { msg } from '@lit/localize';
import { css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { WORKSPACES } from './view-commands.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';

const NAMES = { map: msg('Map'), passes: msg('Passes'), play: msg('Play'), chart: msg('Chart') } as const;

/** The workspaces of a song, one shown at a time. */
@customElement('bw-workspace-tabs')
export class WorkspaceTabs extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        border-top: var(--rule-width) solid var(--rule);
      }
      div {
        display: flex;
        padding: 0 var(--space-4);
      }
      button {
        border: 0;
        border-radius: 0;
        padding: 0 var(--space-4);
        color: var(--ink-soft);
      }
      button[aria-selected='true'] {
        color: var(--ink);
        font-weight: 600;
        box-shadow: inset 0 -2px 0 var(--ink);
      }
      @media (pointer: coarse) {
        button {
          min-height: var(--target);
          min-width: var(--target);
        }
      }
      @media (max-width: 720px) {
        div {
          padding: 0;
        }
        button {
          flex: 1;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { workspace } = this.session.view;
    return html`<div role="tablist" aria-label=${msg('Workspaces')} @keydown=${this.move}>
      ${WORKSPACES.map(
        (name) =>
          html`<button
            role="tab"
            id=${name}
            aria-selected=${workspace.value === name}
            tabindex=${workspace.value === name ? 0 : -1}
            @click=${() => (workspace.value = name)}
          >
            ${NAMES[name]}
          </button>`,
      )}
    </div>`;
  }

  /** Arrow keys go from tab to tab (ARIA Authoring Practices, tabs). */
  private readonly move = async (event: KeyboardEvent): Promise<void> => {
    const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (step === 0) return;
    event.preventDefault();
    event.stopPropagation();
    const { workspace } = this.session.view;
    const here = WORKSPACES.findIndex((each) => each === workspace.value);
    workspace.value = WORKSPACES[(here + step + WORKSPACES.length) % WORKSPACES.length]!;
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>(`#${workspace.value}`)?.focus();
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-workspace-tabs': WorkspaceTabs;
  }
}
