import './song-header/song-header.js';
import './recording-view/recording-view.js';
import './transport/transport.js';
import './prompt/prompt-field.js';
import './map-view/map-view.js';
import './doubts/doubts.js';
import './bar-inspector/bar-inspector.js';
import './section-tools/section-tools.js';
import { css, html } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Session } from '../state/session.js';
import { MediaController } from './controllers/owners.js';
import { SignalElement } from './controllers/signal-element.js';
import { base, controls } from './styles/shared.js';

const PANES = ['map', 'doubts', 'bar'] as const;
type Pane = (typeof PANES)[number];

/** The open song: recording above, workspace below, transport at the foot. */
@customElement('bw-song-screen')
export class SongScreen extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        grid-template-rows: auto auto auto minmax(0, 1fr) auto;
        grid-template-columns: minmax(0, 1fr);
      }
      .workspace {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 21rem;
        min-height: 0;
        border-top: var(--rule-width) solid var(--rule);
      }
      .map {
        min-width: 0;
        overflow: auto;
        padding: var(--space-3) var(--space-4) var(--space-6);
      }
      .pane {
        display: grid;
        min-height: 0;
      }
      .side {
        overflow: auto;
        padding: var(--space-3) var(--space-4) var(--space-5);
        border-left: var(--rule-width) solid var(--rule);
      }
      .panes {
        display: flex;
        gap: var(--space-1);
        padding: var(--space-1) var(--space-3) 0;
      }
      .panes button {
        border: 0;
        border-bottom: 2px solid transparent;
        border-radius: 0;
        min-height: var(--target);
      }
      .panes button[aria-selected='true'] {
        border-bottom-color: var(--ink);
        font-weight: 600;
      }
      @media (max-width: 720px) {
        .workspace {
          grid-template-columns: minmax(0, 1fr);
          grid-template-rows: auto minmax(0, 1fr);
        }
        .side {
          border-left: 0;
        }
        .map {
          padding: var(--space-2) var(--space-3) var(--space-5);
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private pane: Pane = 'map';

  private readonly narrow = new MediaController(this, '(max-width: 720px)');

  override render(): unknown {
    const { session } = this;
    return html`
      <bw-song-header data-region="song" .session=${session}></bw-song-header>
      <bw-recording-view data-region="recording" .session=${session}></bw-recording-view>
      <bw-prompt-field .session=${session}></bw-prompt-field>
      <div class="workspace">${this.narrow.matches ? this.renderNarrow() : this.renderWide()}</div>
      <bw-transport data-region="transport" .session=${session}></bw-transport>
    `;
  }

  private renderMap(): unknown {
    const { session } = this;
    return html`<div class="map">
      <bw-section-tools data-region="sections" .session=${session}></bw-section-tools>
      <bw-map-view data-region="map" .session=${session}></bw-map-view>
    </div>`;
  }

  private renderWide(): unknown {
    const { session } = this;
    return html`${this.renderMap()}
      <div class="side" data-region="side">
        <bw-bar-inspector .session=${session}></bw-bar-inspector>
        <bw-doubts .session=${session}></bw-doubts>
      </div>`;
  }

  private renderNarrow(): unknown {
    const { session } = this;
    const left = session.doubtsLeft.value;
    const panes: readonly (readonly [Pane, string])[] = [
      ['map', 'Map'],
      ['doubts', left > 0 ? `Doubts (${left})` : 'Doubts'],
      ['bar', 'Bar'],
    ];
    return html`<div
        class="panes"
        role="tablist"
        aria-label="What is shown below the recording"
        @keydown=${this.panesKey}
      >
        ${panes.map(
          ([pane, label]) =>
            html`<button
              role="tab"
              id=${pane}
              aria-selected=${this.pane === pane}
              aria-controls="pane"
              tabindex=${this.pane === pane ? 0 : -1}
              @click=${() => (this.pane = pane)}
            >
              ${label}
            </button>`,
        )}
      </div>
      ${
        this.pane === 'map'
          ? this.renderMap()
          : html`<div class="side" data-region="side">
              ${
                this.pane === 'doubts'
                  ? html`<bw-doubts .session=${session}></bw-doubts>`
                  : html`<bw-bar-inspector .session=${session}></bw-bar-inspector>`
              }
            </div>`
      }
      ${nothing}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-song-screen': SongScreen;
  }
}
