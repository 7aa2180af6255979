import { msg } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { reminderText } from './reminder-text.js';

/** All songs as one file and back; where the browser may clear songs, which of them are in no backup yet. */
@customElement('bw-backup-panel')
export class BackupPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      p {
        margin: var(--space-3) 0;
        overflow-wrap: anywhere;
      }
      .acts {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-2);
        margin-top: var(--space-3);
      }
      /* Alone, its words stand under those above it. */
      .plain:only-child {
        margin-left: calc(-1 * var(--space-2));
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const reminder = reminderText(session.keeping.value, session.notBackedUp.value);
    const busy = session.task.value !== undefined;
    return html`${reminder === undefined ? nothing : html`<p class="reminder">${reminder}</p>`}
      <div class="acts">
        ${
          session.songs.value.length > 0
            ? html`<button data-act="back-up" ?disabled=${busy} @click=${() => session.backUp()}>
                ${msg('Back up all songs')}
              </button>`
            : nothing
        }
        <button data-act="restore" class="plain" ?disabled=${busy} @click=${() => session.restoreBackup()}>
          ${msg('Restore from a backup…')}
        </button>
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-backup-panel': BackupPanel;
  }
}
