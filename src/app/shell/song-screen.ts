import './map-workspace.js';
import '../passes/passes-workspace.js';
import '../practice/play-workspace.js';
import '../kit/prompt-field.js';
import '../map/recording-view/recording-view.js';
import './song-header/song-header.js';
import '../practice/transport-bar.js';
import './workspace-tabs.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import { EffectController, SignalElement } from '../kit/signal-element.js';
import { base } from '../kit/styles/shared.js';

/** The open song: recording above, the workspace below, transport at the foot. */
@customElement('bw-song-screen')
export class SongScreen extends SignalElement {
  static override styles = [
    base,
    css`
      :host {
        display: grid;
        grid-template-rows: auto auto auto auto minmax(0, 1fr) auto;
        min-height: 0;
        grid-template-columns: minmax(0, 1fr);
      }
      :host([data-guided]) {
        grid-template-rows: auto auto auto auto auto minmax(0, 1fr) auto;
      }
      /* A phone on its side has room for the bars and the transport only. */
      @media (max-height: 500px) {
        :host([data-workspace='play']) bw-song-header,
        :host([data-workspace='play']) bw-recording-view {
          display: none;
        }
      }
      bw-map-workspace {
        border-top: var(--rule-width) solid var(--rule);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  constructor() {
    super();
    new EffectController(this, () => {
      if (this.session.guide.value) void import('./guide-strip.js');
    });
    new EffectController(this, () => {
      if (this.session.view.workspace.value === 'chart') void import('../chart/chart-workspace.js');
    });
  }

  override render(): unknown {
    const { session } = this;
    this.dataset['workspace'] = session.view.workspace.value;
    const guided = session.guide.value !== undefined;
    this.toggleAttribute('data-guided', guided);
    return html`
      <bw-song-header data-region="song" .session=${session}></bw-song-header>
      <bw-recording-view data-region="recording" .session=${session}></bw-recording-view>
      <bw-prompt-field .session=${session}></bw-prompt-field>
      <bw-workspace-tabs data-region="workspaces" .session=${session}></bw-workspace-tabs>
      ${guided ? html`<bw-guide-strip data-region="guide" .session=${session}></bw-guide-strip>` : nothing}
      ${this.renderWorkspace()}
      <bw-transport data-region="transport" .session=${session}></bw-transport>
    `;
  }

  private renderWorkspace(): unknown {
    const { session } = this;
    switch (session.view.workspace.value) {
      case 'passes':
        return html`<bw-passes-workspace .session=${session}></bw-passes-workspace>`;
      case 'play':
        return html`<bw-play-workspace .session=${session}></bw-play-workspace>`;
      case 'chart':
        return html`<bw-chart-workspace .session=${session}></bw-chart-workspace>`;
      default:
        return html`<bw-map-workspace .session=${session}></bw-map-workspace>`;
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-song-screen': SongScreen;
  }
}
