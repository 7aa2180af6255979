import { msg } from '@lit/localize';
import '../kit/styles/page.css';
import '../library/start-page.js';
import '../kit/task-bar.js';
import '../kit/notice-bar.js';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import { FileDropController } from '../kit/file-drop.js';
import { KeyboardController } from './shortcuts/keyboard.js';
import { EffectController, SignalElement } from '../kit/signal-element.js';
import { base } from '../kit/styles/shared.js';

/**
 * The whole page: the empty page or the open song, with what was last said, work under way, keys and file drop.
 * Parts that the first sight does not need are loaded when they are.
 */
@customElement('bw-app')
export class AppShell extends SignalElement {
  static override styles = [
    base,
    css`
      :host {
        height: 100dvh;
        display: flex;
        flex-direction: column;
        background: var(--paper);
        overflow: hidden;
      }
      main {
        flex: 1;
        min-height: 0;
        display: flex;
        flex-direction: column;
      }
      bw-start-page {
        flex: 1;
        overflow: auto;
      }
      bw-song-screen {
        flex: 1;
        min-height: 0;
      }
      .drop {
        position: fixed;
        inset: var(--space-3);
        z-index: 20;
        display: grid;
        place-items: center;
        border: 2px dashed var(--ink);
        border-radius: var(--radius);
        background: color-mix(in srgb, var(--paper) 88%, transparent);
        font-family: var(--music);
        font-size: var(--text-title);
        pointer-events: none;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private songReady = false;

  private readonly drop = new FileDropController(this, (file) => this.session.openFile(file));
  private wanted = false;

  constructor() {
    super();
    new KeyboardController(this);
    new EffectController(this, () => {
      document.documentElement.dataset['theme'] = this.session.settings.value.theme;
    });
    new EffectController(this, () => {
      const map = this.session.map.value;
      document.title = map ? `${map.title} – Barwright` : 'Barwright';
      if (map || this.session.task.value) this.loadSongScreen();
    });
    new EffectController(this, () => {
      if (this.session.view.help.value) void import('./shortcuts/shortcut-sheet.js');
    });
    new EffectController(this, () => {
      if (this.session.view.helpPage.value) void import('./help/help-page.js');
    });
  }

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    // On screen the title is a field in the header; the heading names the page to whoever hears it.
    return html`
      ${map ? html`<bw-task-bar .session=${session}></bw-task-bar>` : nothing}
      <main>
        ${map && this.songReady ? html`<h1 class="hidden-text">${map.title}</h1>` : nothing}
        ${
          map && this.songReady
            ? html`<bw-song-screen .session=${session}></bw-song-screen>`
            : html`<bw-start-page .session=${session}></bw-start-page>`
        }
      </main>
      <bw-notice-bar .session=${session}></bw-notice-bar>
      ${session.view.helpPage.value ? html`<bw-help-page .session=${session}></bw-help-page>` : nothing}
      ${session.view.help.value ? html`<bw-shortcut-sheet role="dialog" aria-label=${msg('Keys')} .session=${session}></bw-shortcut-sheet>` : nothing}
      ${this.drop.over ? html`<div class="drop">${msg('Drop it here')}</div>` : nothing}
    `;
  }

  private loadSongScreen(): void {
    if (this.wanted) return;
    this.wanted = true;
    void import('./song-screen.js').then(() => {
      this.songReady = true;
    });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-app': AppShell;
  }
}
