import { msg, str } from '@lit/localize';
import './arrangement-panel.js';
import './click-panel.js';
import './hands-panel.js';
import './hard-spots-panel.js';
import './loop-panel.js';
import './sound-panel.js';
import './tracks-panel.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { SongMap } from '../../model/song-map.js';
import { setSpeed } from './practice-commands.js';
import { FASTEST, SLOWEST } from '../kit/practice.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { numberOf } from '../kit/fields.js';
import { panel, sidePanel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';
import { speedText } from './practice-words.js';

/** How the song is practised: speed, loops, arrangement, counting in, clicks, levels, pitch, tracks to keep. */
@customElement('bw-practice-panel')
export class PracticePanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panel,
    sidePanel,
    css`
      .speed {
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
        min-width: 4ch;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    return html`${this.renderSpeed(map)}
      <bw-loop-panel .session=${session}></bw-loop-panel>
      <bw-hard-spots .session=${session}></bw-hard-spots>
      <bw-arrangement-panel .session=${session}></bw-arrangement-panel>
      <bw-click-panel .session=${session}></bw-click-panel>
      <bw-sound-panel .session=${session}></bw-sound-panel>
      <bw-tracks-panel .session=${session}></bw-tracks-panel>
      <bw-hands-panel .session=${session}></bw-hands-panel>`;
  }

  private renderSpeed(map: SongMap): unknown {
    const { speed, loop } = this.session.practice.value;
    const percent = Math.round(speed * 100);
    return html`<h2>${msg('Speed')}</h2>
      <div class="row">
        <button aria-label=${msg('Slower')} @click=${() => setSpeed(this.session, speed - 0.05)}>−</button>
        <span class="speed">${percent} %</span>
        <button aria-label=${msg('Faster')} @click=${() => setSpeed(this.session, speed + 0.05)}>+</button>
        <input
          type="range"
          aria-label=${msg('Speed')}
          aria-valuetext=${msg(str`${percent} percent`)}
          min=${SLOWEST * 100}
          max=${FASTEST * 100}
          step="1"
          .value=${String(percent)}
          @input=${(event: Event) => setSpeed(this.session, numberOf(event) / 100)}
        />
      </div>
      <p>${loop?.ladder ? msg('While the loop plays, each round has its own speed.') : speedText(map, speed)}</p>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-practice-panel': PracticePanel;
  }
}
