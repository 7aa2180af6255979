import { msg } from '@lit/localize';
import './loading-view.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { barsOrnament, ornamentStyle } from './bars-ornament.js';
import { SAMPLES } from './samples.js';
import './backup-panel.js';
import './song-library.js';
import { listStyles } from './list-styles.js';

/** The page without a song: drop a recording, choose one, try a bundled one, or open a song kept here. */
@customElement('bw-start-page')
export class StartPage extends SignalElement {
  static override styles = [
    base,
    controls,
    ornamentStyle,
    listStyles,
    css`
      :host {
        padding: var(--space-6) var(--space-4) var(--space-7);
      }
      .page {
        max-width: 46rem;
        margin: 0 auto;
      }
      h1 {
        font-family: var(--music);
        font-weight: 600;
        font-size: var(--text-large);
        margin: 0 0 var(--space-5);
      }
      .say {
        font-family: var(--music);
        font-size: clamp(1.75rem, 5.2vw, var(--text-poster));
        line-height: 1.15;
        margin: 0 0 var(--space-5);
        text-wrap: balance;
      }
      .acts {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: var(--space-3);
      }
      .main {
        padding: 0 var(--space-5);
      }
      .private {
        margin: var(--space-3) 0 0;
        color: var(--ink-soft);
      }
      .withheld {
        margin: var(--space-3) 0 0;
        padding: var(--space-2) var(--space-3);
        border-left: 4px solid var(--caution);
        background: var(--caution-wash);
      }
      .sample {
        display: flex;
        width: 100%;
        min-height: var(--target);
        justify-content: flex-start;
        align-items: baseline;
        gap: var(--space-1) var(--space-4);
        flex-wrap: wrap;
        border: 0;
        border-radius: 0;
        padding: var(--space-2) var(--space-1);
        text-align: left;
      }
      .sample b {
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    if (session.task.value && !session.song.value) {
      return html`<bw-loading-view .session=${session}></bw-loading-view>`;
    }
    return html`<div class="page">
      <h1>Barwright</h1>
      ${barsOrnament()}
      <p class="say">
        ${msg('Drop a recording here and get its bars: where each begins, and which are not the usual length.')}
      </p>
      <div class="acts">
        <button class="main" data-act="choose" @click=${() => session.chooseFile()}>
          ${msg('Choose a recording…')}
        </button>
        <span class="soft">${msg('MP3, WAV, FLAC, Ogg, Opus, M4A, or a video; up to 20 minutes')}</span>
      </div>
      <p class="private">${msg('It stays on this machine: nothing is sent anywhere.')}</p>
      <p class="private">
        <button data-act="help" @click=${() => (session.view.helpPage.value = true)}>${msg('How it works')}</button>
      </p>
      ${
        session.keeping.value === 'not kept'
          ? html`<p class="private">
              ${msg('This browser keeps nothing here (a private window?). Save the project as a file before you leave.')}
            </p>`
          : nothing
      }
      ${session.withheld === undefined ? nothing : html`<p class="withheld" role="note">${session.withheld}</p>`}
      <bw-song-library .session=${session}></bw-song-library>
      <bw-backup-panel .session=${session}></bw-backup-panel>
      <h2>${msg('Or try a bundled song')}</h2>
      <ul>
        ${SAMPLES.map(
          (song) =>
            html`<li>
              <button class="sample" data-sample=${song.file} @click=${() => session.openSample(song.file)}>
                <b>${song.title}</b><span class="soft">${song.about}</span>
              </button>
            </li>`,
        )}
      </ul>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-start-page': StartPage;
  }
}
