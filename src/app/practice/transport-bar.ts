import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Seconds } from '../../music/units.js';
import { setLoop, setSpeed } from './practice-commands.js';
import { commandOf, runCommand } from '../kit/command-button.js';
import { clockText } from '../../music/clock-text.js';
import { counted } from '../kit/sentences.js';
import type { Session, Settings, Tapping } from '../kit/session.js';
import { ResizeController } from '../kit/owners.js';
import { PlayClock } from '../kit/play-clock.js';
import { SignalElement } from '../kit/signal-element.js';
import { numberOf, set } from '../kit/fields.js';
import { loopText } from './practice-words.js';
import { placeText } from '../map/position-text.js';
import { isMac, keyText } from '../kit/key-text.js';
import { base, controls } from '../kit/styles/shared.js';
import { isLoud, levelText } from '../kit/level-text.js';

/** Play and stop, where the sound is, click, levels, tapping; at the thumb on a phone. */
@customElement('bw-transport')
export class Transport extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        border-top: var(--rule-width) solid var(--rule-strong);
        background: var(--paper-raised);
        padding: var(--space-2) var(--space-4);
        padding-bottom: max(var(--space-2), env(safe-area-inset-bottom));
      }
      .row {
        display: flex;
        align-items: center;
        flex-wrap: wrap;
        gap: var(--space-2) var(--space-4);
      }
      .play {
        width: 7rem;
      }
      .where {
        display: flex;
        align-items: baseline;
        gap: var(--space-3);
        min-width: 12rem;
        font-family: var(--music);
        font-variant-numeric: lining-nums tabular-nums;
      }
      .place {
        font-size: var(--text-large);
        font-weight: 600;
        min-width: 5.5rem;
      }
      .level {
        display: inline-flex;
        align-items: center;
        gap: var(--space-2);
        font-size: var(--text-small);
      }
      .level input {
        width: 7rem;
      }
      .tall {
        min-height: var(--target);
      }
      .show-levels {
        display: none;
      }
      .loud {
        flex-basis: 100%;
        margin: 0;
        font-size: var(--text-small);
        color: var(--caution);
        font-weight: 600;
      }
      .taps {
        display: flex;
        align-items: center;
        gap: var(--space-2) var(--space-3);
        flex-wrap: wrap;
      }
      .taps .tap {
        min-width: 9rem;
      }
      .taps-end {
        display: flex;
        align-items: center;
        gap: var(--space-3);
      }
      svg {
        width: 0.9em;
        height: 0.9em;
        fill: currentColor;
      }
      @media (pointer: coarse) {
        button,
        .level {
          min-height: var(--target);
          min-width: var(--target);
        }
        .level input {
          height: var(--target);
        }
      }
      /* A phone on its side has no height for a second row. */
      @media (max-height: 500px) {
        :host {
          padding: var(--space-1) var(--space-3);
        }
        .show-levels {
          display: inline-flex;
        }
        .level[data-shown='false'] {
          display: none;
        }
      }
      @media (max-width: 720px) {
        :host {
          padding: var(--space-2) var(--space-3);
          padding-bottom: max(var(--space-2), env(safe-area-inset-bottom));
        }
        .row {
          gap: var(--space-2);
        }
        .row > button {
          padding: 0 var(--space-2);
        }
        .where {
          order: -1;
          flex-basis: 100%;
          justify-content: space-between;
        }
        .play {
          width: auto;
          flex: 1 1 5rem;
        }
        .row[data-tapping] .play {
          flex: 0 0 auto;
          padding: 0 var(--space-3);
        }
        .row[data-tapping] {
          align-items: flex-start;
        }
        .taps {
          flex: 1;
        }
        .taps-end {
          flex-basis: 100%;
        }
        .taps .tap {
          flex: 1;
          min-width: 5rem;
        }
        .show-levels {
          display: inline-flex;
        }
        .level {
          flex: 1 1 40%;
        }
        .level[data-shown='false'] {
          display: none;
        }
        .level input {
          flex: 1;
          min-width: 3rem;
          width: 3rem;
        }
        kbd {
          display: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private levels = false;
  @query('.place') private place!: HTMLElement;
  @query('.time') private time!: HTMLElement;

  constructor() {
    super();
    new PlayClock(this, (at) => this.tell(at));
    // What floats above the transport asks for its height.
    new ResizeController(
      this,
      () => this,
      () => document.documentElement.style.setProperty('--foot', `${this.offsetHeight}px`),
    );
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    document.documentElement.style.removeProperty('--foot');
  }

  override render(): unknown {
    const { session } = this;
    const song = session.song.value;
    if (!song) return nothing;
    const settings = session.settings.value;
    const tapping = session.tapping.value;
    const playing = session.playing.value;
    return html`<div class="row" ?data-tapping=${tapping !== undefined}>
      <button
        class="main play"
        ?disabled=${!song.audible}
        title=${song.audible ? '' : song.hasAudio ? msg('Its recording is being read; then it can be played') : msg('This song came without its recording')}
        @click=${() => (playing ? session.stop() : void session.play())}
      >
        ${
          !song.audible && song.hasAudio
            ? msg(str`Reading ${Math.round(100 * song.read)} %`)
            : playing
              ? html`<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1 1h8v8H1z" /></svg>${msg('Stop')}`
              : html`<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1.5 0 9.5 5l-8 5z" /></svg>${msg('Play')}`
        }
      </button>
      <div class="where" role="group" aria-label=${msg('Position')}>
        <span class="place"></span
        ><span
          ><span class="time"></span><span class="soft whole"> / ${clockText(song.map.recording.duration)}</span></span
        >
      </div>
      ${tapping ? this.renderTaps(tapping) : this.renderMixer(settings)}
      ${
        playing && !settings.cautioned
          ? html`<p class="loud" role="status">
              ${msg('It starts at a modest level. Raise it only as far as you need: long loud listening harms hearing.')}
              <button @click=${() => set(this.session, { cautioned: true })}>${msg('Understood')}</button>
            </p>`
          : nothing
      }
      ${
        isLoud(settings)
          ? html`<p class="loud" role="status">${msg('Loud. Long listening at this level can harm your hearing.')}</p>`
          : nothing
      }
    </div>`;
  }

  private renderMixer(settings: Settings): unknown {
    const tap = commandOf(this.session, 'tap');
    return html`<button
        class="click tall"
        aria-pressed=${settings.clickOn}
        @click=${() => set(this.session, { clickOn: !settings.clickOn })}
      >
        ${settings.clickOn ? msg('Click on') : msg('Click off')}
      </button>
      ${
        tap
          ? html`<button
              class="start-tap tall"
              ?disabled=${!tap.allowed(this.session)}
              @click=${() => runCommand(this.session, tap)}
            >
              ${msg('Tap along')} ${tap.key ? html`<kbd>${keyText(tap.key, isMac())}</kbd>` : nothing}
            </button>`
          : nothing
      }
      <button class="show-levels tall" aria-expanded=${this.levels} @click=${() => (this.levels = !this.levels)}>
        ${msg('Levels')}
      </button>
      ${this.renderPractice()}
      ${
        settings.recordingOn
          ? nothing
          : html`<button class="tall" @click=${() => set(this.session, { recordingOn: true })}>
              ${msg('Recording is off')}
            </button>`
      }
      ${this.renderLevel(msg('Recording'), 'recordingLevel', settings)}
      ${this.renderLevel(msg('Click'), 'clickLevel', settings)}`;
  }

  /** What is not as the recording is, wherever one looks; pressed, it is again. */
  private renderPractice(): unknown {
    const { session } = this;
    const { speed, loop } = session.practice.value;
    const map = session.map.value;
    const plain = msg("The recording's own speed");
    return html`${
      speed === 1 || loop?.ladder
        ? nothing
        : html`<button class="tall" title=${plain} @click=${() => setSpeed(session, 1)}>
            ${msg(str`At ${Math.round(100 * speed)} %`)} <span aria-hidden="true">×</span>
          </button>`
    }
    ${
      loop && map
        ? html`<button class="tall" title=${msg('No loop')} @click=${() => setLoop(session, undefined)}>
            ${msg(str`Loop: ${loopText(map, loop)}`)} <span aria-hidden="true">×</span>
          </button>`
        : nothing
    }`;
  }

  private renderLevel(name: string, key: 'recordingLevel' | 'clickLevel', settings: Settings): unknown {
    return html`<label class="level" data-shown=${this.levels}
      >${name}
      <input
        type="range"
        min="0"
        max="100"
        step="1"
        aria-label=${msg(str`${name} level`)}
        aria-valuetext=${levelText(settings[key])}
        .value=${String(Math.round(settings[key] * 100))}
        @input=${(event: Event) => set(this.session, { [key]: numberOf(event) / 100 })}
      />
    </label>`;
  }

  private renderTaps(tapping: Tapping): unknown {
    const one = commandOf(this.session, 'tap-downbeat');
    const beat = commandOf(this.session, 'tap');
    const done = commandOf(this.session, 'tap-end');
    const drop = commandOf(this.session, 'tap-drop');
    return html`<div class="taps" role="group" aria-label=${msg('Tapping along')}>
      ${one ? html`<button class="tall" @click=${() => runCommand(this.session, one)}>${msg('Beat 1')}</button>` : nothing}
      ${beat ? html`<button class="tall tap" @click=${() => runCommand(this.session, beat)}>${msg('Tap')}</button>` : nothing}
      <div class="taps-end">
        <span aria-live="off">${counted(tapping.beats.length, msg('tap'), msg('taps'))}</span>
        ${done ? html`<button class="tall" @click=${() => runCommand(this.session, done)}>${msg('Done')} <kbd>${keyText({ key: 'Escape' }, isMac())}</kbd></button>` : nothing}
        ${drop ? html`<button class="plain tall" @click=${() => runCommand(this.session, drop)}>${msg('Drop them')}</button>` : nothing}
      </div>
    </div>`;
  }

  /** Writes the two texts only; a frame never renders the element. */
  private tell(at: Seconds): void {
    const map = this.session.map.peek();
    if (!map || !this.place) return;
    write(this.place, placeText(map, at));
    write(this.time, clockText(at));
  }
}

function write(element: HTMLElement, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-transport': Transport;
  }
}
