import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Sides } from '../../dsp/side-mix.js';
import type { SongMap } from '../../model/song-map.js';
import type { Practice } from '../kit/practice.js';
import type { Session, Settings } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { numberField, numberOf, set, valueOf } from '../kit/fields.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';
import { isLoud, levelText } from '../kit/level-text.js';
import { retuneText } from './practice-words.js';

const SIDES: readonly (readonly [Sides, string])[] = [
  ['both', msg('both sides')],
  ['left', msg('left side only')],
  ['right', msg('right side only')],
  ['no middle', msg('without the middle')],
];

const LEVELS = [
  [msg('Recording'), 'recordingLevel', 'recordingOn'],
  [msg('Click'), 'clickLevel', 'clickOn'],
  [msg('Count'), 'countLevel', 'countOn'],
  [msg('Strum'), 'strumLevel', 'strumOn'],
] as const satisfies readonly (readonly [string, keyof Settings, keyof Settings])[];

/** Pitch and sides of the recording, and a level with a mute for all that sounds. */
@customElement('bw-sound-panel')
export class SoundPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panel,
    css`
      .level {
        display: grid;
        grid-template-columns: 6.5rem minmax(0, 1fr);
        align-items: center;
        gap: var(--space-2);
        margin-bottom: var(--space-1);
      }
      .loud {
        color: var(--ink);
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const map = this.session.map.value;
    return map ? html`${this.renderLevels(this.session.settings.value)} ${this.renderTone(map)}` : nothing;
  }

  private renderLevels(settings: Settings): unknown {
    return html`<h2>${msg('Levels')}</h2>
      ${LEVELS.map(
        ([name, level, on]) =>
          html`<div class="level">
            <button
              aria-pressed=${settings[on]}
              aria-label=${msg(str`${name} heard`)}
              @click=${() => set(this.session, { [on]: !settings[on] })}
            >
              ${settings[on] ? msg(str`${name} on`) : msg(str`${name} off`)}
            </button>
            <input
              type="range"
              min="0"
              max="100"
              aria-label=${msg(str`${name} level, Play`)}
              aria-valuetext=${levelText(settings[level])}
              .value=${String(Math.round(settings[level] * 100))}
              @input=${(event: Event) => set(this.session, { [level]: numberOf(event) / 100 })}
            />
          </div>`,
      )}
      ${
        isLoud(settings)
          ? html`<p class="loud" role="status">${msg('Loud. Long listening at this level can harm your hearing.')}</p>`
          : nothing
      }`;
  }

  private renderTone(map: SongMap): unknown {
    const practice = this.session.practice.value;
    const change = (part: Partial<Practice>): void => {
      this.session.practice.value = { ...practice, ...part };
    };
    const mono = map.recording.channels === 1;
    return html`<h2>${msg('Pitch and sides')}</h2>
      <div class="row">
        ${numberField(msg('semitones'), practice.transpose, [-12, 12], (transpose) => change({ transpose }))}
        ${numberField(msg('cents'), practice.cents, [-50, 50], (cents) => change({ cents }))}
      </div>
      ${
        Math.abs(map.tuning) >= 3
          ? html`<p>${retuneText(map.tuning)}</p>
              <div class="row">
                <button
                  aria-pressed=${practice.cents === -Math.round(map.tuning)}
                  @click=${() => change({ cents: practice.cents === 0 ? -Math.round(map.tuning) : 0 })}
                >
                  ${msg('Bring it to A440')}
                </button>
              </div>`
          : nothing
      }
      <div class="row">
        <select
          aria-label=${msg('Sides of the recording')}
          ?disabled=${mono}
          @change=${(event: Event) => change({ sides: valueOf(event) as Sides })}
        >
          ${SIDES.map(
            ([sides, label]) => html`<option value=${sides} ?selected=${practice.sides === sides}>${label}</option>`,
          )}
        </select>
      </div>
      ${mono ? html`<p>${msg('The recording has one side only.')}</p>` : nothing}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-sound-panel': SoundPanel;
  }
}
