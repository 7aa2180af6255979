import './play-stage.js';
import './practice-panel.js';
import { css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from '../../state/session.js';
import { ListenController } from '../controllers/owners.js';
import { SignalElement } from '../controllers/signal-element.js';
import { WakeLockController } from '../controllers/wake-lock.js';
import { base, controls } from '../styles/shared.js';

/** The workspace "Play": what to play now and next, and beside it how it is practised. */
@customElement('bw-play-workspace')
export class PlayWorkspace extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 21rem;
        min-height: 0;
        border-top: var(--rule-width) solid var(--rule);
      }
      :host(:fullscreen) {
        background: var(--paper);
        grid-template-columns: minmax(0, 1fr);
      }
      :host(:fullscreen) bw-practice-panel {
        display: none;
      }
      .main {
        position: relative;
        display: grid;
        min-height: 0;
        min-width: 0;
      }
      .full {
        position: absolute;
        right: var(--space-3);
        bottom: var(--space-2);
        background: var(--paper);
      }
      bw-practice-panel {
        border-left: var(--rule-width) solid var(--rule);
        overflow: auto;
        min-height: 0;
      }
      @media (max-width: 720px) and (orientation: portrait) {
        :host {
          grid-template-columns: minmax(0, 1fr);
          grid-template-rows: minmax(0, 1fr) fit-content(45%);
        }
        bw-practice-panel {
          border-left: 0;
          border-top: var(--rule-width) solid var(--rule-strong);
        }
      }
      @media (max-height: 500px) and (orientation: landscape) {
        :host {
          grid-template-columns: minmax(0, 1fr) 13rem;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  private readonly awake = new WakeLockController(this);

  constructor() {
    super();
    new ListenController(
      this,
      () => document,
      'fullscreenchange',
      () => this.requestUpdate(),
    );
  }

  override render(): unknown {
    const { session } = this;
    this.awake.keep(session.playing.value);
    const full = document.fullscreenElement !== null;
    return html`<div class="main">
        <bw-play-stage .session=${session}></bw-play-stage>
        ${
          document.fullscreenEnabled
            ? html`<button class="full" @click=${() => void this.toggleFull()}>
                ${full ? 'Leave full screen' : 'Full screen'}
              </button>`
            : ''
        }
      </div>
      <bw-practice-panel data-region="practice" .session=${session}></bw-practice-panel>`;
  }

  private async toggleFull(): Promise<void> {
    try {
      await (document.fullscreenElement ? document.exitFullscreen() : this.requestFullscreen());
    } catch {
      this.session.say({ kind: 'info', text: 'This browser does not allow full screen here.' });
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-play-workspace': PlayWorkspace;
  }
}
