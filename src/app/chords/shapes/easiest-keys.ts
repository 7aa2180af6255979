import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { timedChords } from '../../../model/song-shapes.js';
import type { SongMap } from '../../../model/song-map.js';
import { easiestKeys, type KeyChoice } from '../../../music/easiest-key.js';
import type { Tuning } from '../../../music/tuning.js';
import { takeKey, transposeText } from '../fingering-actions.js';
import { instrumentOf } from '../../song/practice-state.js';
import type { Session } from '../../kit/session.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base, controls } from '../../kit/styles/shared.js';
import { keyReasons, keyTitle, transposition } from './key-words.js';
import { shapesStyles } from './shapes-styles.js';

/** The keys a song can be played in on the chosen instrument, by ease, the recording's first; one press takes one. */
@customElement('bw-easiest-keys')
export class EasiestKeys extends SignalElement {
  static override styles = [
    base,
    controls,
    shapesStyles,
    css`
      :host {
        padding: 0;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** The search takes a moment, so it is made only when somebody wants to see it. */
  @state() private wanted = false;
  private found:
    { readonly chords: SongMap['chords']; readonly tuning: string; readonly choices: readonly KeyChoice[] } | undefined;

  override render(): unknown {
    const map = this.session.map.value;
    if (!map || map.chords.length === 0) return nothing;
    return html`<h2>${msg('Easiest key')}</h2>
      <button aria-expanded=${this.wanted} @click=${this.toggle}>
        ${this.wanted ? msg('Hide') : msg('Find the easiest key')}
      </button>
      ${this.wanted ? this.renderList(map, instrumentOf(this.session.settings.value)) : nothing}`;
  }

  private readonly toggle = async (): Promise<void> => {
    this.wanted = !this.wanted;
    await this.updateComplete;
    // The list opens below the panel's edge.
    if (this.wanted) this.renderRoot.querySelector('h2')?.scrollIntoView({ block: 'start' });
  };

  private renderList(map: SongMap, tuning: Tuning): unknown {
    const choices = this.choices(map, tuning);
    const own = choices[0]!;
    return html`<ol class="keys" aria-label=${msg(str`Keys for ${tuning.name}, the recording’s first, then by ease`)}>
      ${choices.map((choice) => this.renderChoice(map, choice, own))}
    </ol>`;
  }

  private renderChoice(map: SongMap, choice: KeyChoice, own: KeyChoice): unknown {
    const { capo = 0, transpose = 0 } = map.fingered ?? {};
    const to = transposition(choice);
    return html`<li>
      <span class="title">${keyTitle(choice, map.key)}</span><br />
      <span class="soft">${keyReasons(choice, own)}</span>
      <div class="row">
        ${
          choice.capo === undefined
            ? nothing
            : html`<button
                aria-pressed=${choice.capo === capo && transpose === 0}
                @click=${() => void takeKey(this.session, choice.capo ?? 0, 0)}
              >
                ${choice.capo === 0 ? msg('As recorded, no capo') : msg(str`Capo ${choice.capo}`)}
              </button>`
        }
        ${
          to === 0
            ? nothing
            : html`<button
                aria-pressed=${transpose === to && capo === 0}
                @click=${() => void takeKey(this.session, 0, to)}
              >
                ${transposeText(to)}
              </button>`
        }
      </div>
    </li>`;
  }

  private choices(map: SongMap, tuning: Tuning): readonly KeyChoice[] {
    const strings = tuning.strings.join();
    if (this.found?.chords !== map.chords || this.found.tuning !== strings) {
      this.found = { chords: map.chords, tuning: strings, choices: easiestKeys(timedChords(map), tuning, map.key) };
    }
    return this.found.choices;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-easiest-keys': EasiestKeys;
  }
}
