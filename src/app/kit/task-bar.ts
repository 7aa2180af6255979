import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from './session.js';
import { SignalElement } from './signal-element.js';
import { base, controls } from './styles/shared.js';

/** Long work under way: its step in words, how far it is, and a way to stop it. */
@customElement('bw-task-bar')
export class TaskBar extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      .task {
        display: grid;
        grid-template-columns: 1fr auto auto;
        align-items: center;
        gap: var(--space-1) var(--space-3);
        padding: var(--space-2) var(--space-4);
        background: var(--paper-raised);
      }
      progress {
        grid-column: 1 / -1;
        width: 100%;
        height: 6px;
        appearance: none;
        border: 0;
        border-radius: 3px;
        overflow: hidden;
        background: var(--rule);
      }
      progress::-webkit-progress-bar {
        background: var(--rule);
      }
      progress::-webkit-progress-value {
        background: var(--ink);
      }
      progress::-moz-progress-bar {
        background: var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const task = this.session.task.value;
    if (!task) return nothing;
    const percent = Math.round(task.done * 100);
    return html`<div class="task">
      <span role="status">${task.text}</span>
      <span class="music">${msg(str`${percent} %`)}</span>
      ${task.cancel ? html`<button @click=${task.cancel}>${msg('Cancel')}</button>` : html`<span></span>`}
      <progress max="100" .value=${percent} aria-label=${task.text}></progress>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-task-bar': TaskBar;
  }
}
