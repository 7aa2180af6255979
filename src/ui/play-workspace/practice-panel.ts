import './arrangement-panel.js';
import './hard-spots-panel.js';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { arrangementStretches, sectionStretch } from '../../model/play-order.js';
import type { SongMap } from '../../model/song-map.js';
import { setLoop, setSpeed } from '../../state/commands/practice-commands.js';
import type { Sides } from '../../state/ports.js';
import { FASTEST, SLOWEST, type Practice } from '../../state/practice.js';
import type { Session, Settings } from '../../state/session.js';
import { SignalElement } from '../controllers/signal-element.js';
import { levelText } from '../transport/level-text.js';
import { base, controls } from '../styles/shared.js';
import { loopText, readSpeeds, retuneText, speedText } from './practice-words.js';

const SIDES: readonly (readonly [Sides, string])[] = [
  ['both', 'both sides'],
  ['left', 'left side only'],
  ['right', 'right side only'],
  ['no middle', 'without the middle'],
];

/** How the song is practised: speed, loop and ladder, counting in, clicks, pitch, levels. */
@customElement('bw-practice-panel')
export class PracticePanel extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        padding: var(--space-3) var(--space-4);
        font-size: var(--text-small);
      }
      h2 {
        font-family: var(--music);
        font-size: var(--text-large);
        margin: var(--space-3) 0 var(--space-2);
      }
      h2:first-child {
        margin-top: 0;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: var(--space-2);
        margin-bottom: var(--space-2);
      }
      .speed {
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
        min-width: 4ch;
      }
      input[type='range'] {
        flex: 1;
        min-width: 6rem;
      }
      input[type='number'] {
        width: 4.5rem;
        min-height: var(--target-small);
        background: var(--paper-raised);
        border: var(--rule-width) solid var(--rule-strong);
        border-radius: var(--radius);
        padding: 0 var(--space-2);
      }
      label {
        display: inline-flex;
        align-items: center;
        gap: var(--space-2);
      }
      label.wide {
        display: flex;
      }
      p {
        margin: 0 0 var(--space-2);
        color: var(--ink-soft);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private speeds = '70 85 100';
  @state() private trackClick = true;

  override render(): unknown {
    const { session } = this;
    const map = session.song.value?.map;
    if (!map) return nothing;
    const practice = session.practice.value;
    const settings = session.settings.value;
    return html`${this.renderSpeed(map, practice)} ${this.renderLoop(map, practice)}
      <bw-hard-spots .session=${session}></bw-hard-spots>
      <bw-arrangement-panel .session=${session}></bw-arrangement-panel> ${this.renderCount(settings)}
      ${this.renderClick(settings)} ${this.renderTone(map, practice)} ${this.renderLevels(settings)}
      ${this.renderTracks()}`;
  }

  private renderSpeed(map: SongMap, practice: Practice): unknown {
    const percent = Math.round(practice.speed * 100);
    return html`<h2>Speed</h2>
      <div class="row">
        <button aria-label="Slower" @click=${() => setSpeed(this.session, practice.speed - 0.05)}>−</button>
        <span class="speed">${percent} %</span>
        <button aria-label="Faster" @click=${() => setSpeed(this.session, practice.speed + 0.05)}>+</button>
        <input
          type="range"
          aria-label="Speed"
          aria-valuetext="${percent} percent"
          min=${SLOWEST * 100}
          max=${FASTEST * 100}
          step="1"
          .value=${String(percent)}
          @input=${(event: Event) => setSpeed(this.session, numberOf(event) / 100)}
        />
      </div>
      <p>${speedText(map, practice.speed)}</p>`;
  }

  private renderLoop(map: SongMap, practice: Practice): unknown {
    const { loop } = practice;
    const ladder = loop?.ladder;
    return html`<h2>Loop</h2>
      <div class="row">
        <select
          aria-label="Loop a section"
          @change=${(event: Event) => {
            const place = Number((event.target as HTMLSelectElement).value);
            setLoop(this.session, place < 0 ? undefined : sectionStretch(map, place));
          }}
        >
          <option value="-1" ?selected=${!loop}>no loop</option>
          ${map.sections.map((section, i) => {
            const stretch = sectionStretch(map, i);
            const chosen =
              !!loop && !!stretch && Math.abs(stretch.from - loop.from) + Math.abs(stretch.until - loop.until) < 1e-3;
            return html`<option value=${i} ?selected=${chosen}>${section.letter} ${section.name}</option>`;
          })}
        </select>
        ${loop ? html`<button @click=${() => setLoop(this.session, undefined)}>No loop</button>` : nothing}
      </div>
      <p>${loop ? loopText(map, loop) : 'Select bars on the map and press L, or choose a section here.'}</p>
      ${
        loop
          ? html`<label class="wide"
                ><input
                  type="checkbox"
                  .checked=${ladder !== undefined}
                  @change=${(event: Event) =>
                    this.setLadder(
                      (event.target as HTMLInputElement).checked ? { from: 0.7, to: 1, rounds: 6 } : undefined,
                    )}
                />
                A little faster each round</label
              >
              ${
                ladder
                  ? html`<div class="row">
                      ${this.renderPercent('from', ladder.from, (from) => this.setLadder({ ...ladder, from }))}
                      ${this.renderPercent('to', ladder.to, (to) => this.setLadder({ ...ladder, to }))}
                      <label
                        >in
                        <input
                          type="number"
                          min="2"
                          max="40"
                          .value=${String(ladder.rounds)}
                          @change=${(event: Event) =>
                            this.setLadder({
                              ...ladder,
                              rounds: Math.min(40, Math.max(2, Math.round(numberOf(event)) || 2)),
                            })}
                        />
                        rounds</label
                      >
                    </div>`
                  : nothing
              }`
          : nothing
      }`;
  }

  private renderPercent(label: string, value: number, set: (value: number) => void): unknown {
    return html`<label
      >${label}
      <input
        type="number"
        min=${SLOWEST * 100}
        max=${FASTEST * 100}
        .value=${String(Math.round(value * 100))}
        @change=${(event: Event) => set(Math.min(FASTEST, Math.max(SLOWEST, numberOf(event) / 100 || value)))}
      />
      %</label
    >`;
  }

  private renderCount(settings: Settings): unknown {
    return html`<h2>Count-in</h2>
      <div class="row" role="group" aria-label="Bars counted in">
        ${([0, 1, 2] as const).map(
          (bars) =>
            html`<button aria-pressed=${settings.countInBars === bars} @click=${() => this.set({ countInBars: bars })}>
              ${bars === 0 ? 'none' : bars === 1 ? '1 bar' : '2 bars'}
            </button>`,
        )}
      </div>
      ${this.renderCheck('Before each round of a loop', 'countEachRound', settings)}`;
  }

  private renderClick(settings: Settings): unknown {
    const drop = settings.clickDropOut;
    return html`<h2>Click</h2>
      <div class="row" role="group" aria-label="Clicks a beat">
        ${([1, 2, 3, 4] as const).map(
          (parts) =>
            html`<button
              aria-pressed=${settings.clickParts === parts}
              aria-label=${parts === 1 ? 'one click a beat' : `${parts} clicks a beat`}
              @click=${() => this.set({ clickParts: parts })}
            >
              ${parts}
            </button>`,
        )}
        <span class="soft">a beat</span>
      </div>
      ${this.renderCheck('In the first bar only', 'clickFirstBarOnly', settings)}
      <label class="wide"
        ><input
          type="checkbox"
          .checked=${drop !== undefined}
          @change=${(event: Event) =>
            this.set({ clickDropOut: (event.target as HTMLInputElement).checked ? { sound: 2, of: 4 } : undefined })}
        />
        Leaves bars out, to test your time</label
      >
      ${
        drop
          ? html`<div class="row">
              <label
                >sounds in
                <input
                  type="number"
                  min="1"
                  max=${drop.of - 1}
                  .value=${String(drop.sound)}
                  @change=${(event: Event) => this.setDrop(numberOf(event), drop.of)}
              /></label>
              <label
                >of every
                <input
                  type="number"
                  min="2"
                  max="64"
                  .value=${String(drop.of)}
                  @change=${(event: Event) => this.setDrop(drop.sound, numberOf(event))}
                />
                bars</label
              >
            </div>`
          : nothing
      }`;
  }

  private renderTone(map: SongMap, practice: Practice): unknown {
    const set = (change: Partial<Practice>): void => {
      this.session.practice.value = { ...practice, ...change };
    };
    return html`<h2>Pitch</h2>
      <div class="row">
        <label
          >semitones
          <input
            type="number"
            min="-12"
            max="12"
            .value=${String(practice.transpose)}
            @change=${(event: Event) => set({ transpose: bounded(numberOf(event), 12) })}
        /></label>
        <label
          >cents
          <input
            type="number"
            min="-50"
            max="50"
            .value=${String(practice.cents)}
            @change=${(event: Event) => set({ cents: bounded(numberOf(event), 50) })}
        /></label>
      </div>
      ${
        Math.abs(map.tuning) >= 3
          ? html`<p>${retuneText(map.tuning)}</p>
              <div class="row">
                <button
                  aria-pressed=${practice.cents === -Math.round(map.tuning)}
                  @click=${() => set({ cents: practice.cents === 0 ? -Math.round(map.tuning) : 0 })}
                >
                  Bring it to A440
                </button>
              </div>`
          : nothing
      }
      <div class="row">
        <select
          aria-label="Sides of the recording"
          @change=${(event: Event) => set({ sides: (event.target as HTMLSelectElement).value as Sides })}
        >
          ${SIDES.map(([sides, label]) => html`<option value=${sides} ?selected=${practice.sides === sides}>${label}</option>`)}
        </select>
      </div>`;
  }

  private renderLevels(settings: Settings): unknown {
    return html`<h2>Levels</h2>
      ${this.renderLevel('Count', 'countLevel', settings)} ${this.renderLevel('Strum', 'strumLevel', settings)}`;
  }

  private renderTracks(): unknown {
    const { session } = this;
    const busy = session.task.value !== undefined;
    const speeds = readSpeeds(this.speeds);
    return html`<h2>Practice tracks</h2>
      <label class="wide"
        >at
        <input
          type="text"
          aria-label="Speeds in percent"
          .value=${this.speeds}
          @input=${(event: Event) => (this.speeds = (event.target as HTMLInputElement).value)}
        />
        %</label
      >
      <label class="wide"
        ><input
          type="checkbox"
          .checked=${this.trackClick}
          @change=${(event: Event) => (this.trackClick = (event.target as HTMLInputElement).checked)}
        />
        With the click</label
      >
      <div class="row">
        <button ?disabled=${busy || speeds.length === 0} @click=${() => void this.makeTracks(speeds)}>
          ${speeds.length === 1 ? 'Make the track' : `Make ${speeds.length} tracks`}
        </button>
      </div>
      <p>With the count-in and the pitch set above, as WAV files.</p>`;
  }

  /** Of the arrangement that is chosen, else of the whole song. */
  private makeTracks(speeds: readonly number[]): void {
    const { session } = this;
    const map = session.song.peek()?.map;
    const chosen = map?.arrangements?.find(({ id }) => id === session.practice.peek().arrangement);
    const arranged = map && chosen ? { stretches: arrangementStretches(map, chosen.items), called: chosen.name } : {};
    void session.saveTracks({ speeds, click: this.trackClick, ...arranged });
  }

  private renderLevel(name: string, key: 'countLevel' | 'strumLevel', settings: Settings): unknown {
    return html`<label class="row"
      >${name}
      <input
        type="range"
        min="0"
        max="100"
        aria-label="${name} level"
        aria-valuetext=${levelText(settings[key])}
        .value=${String(Math.round(settings[key] * 100))}
        @input=${(event: Event) => this.set({ [key]: numberOf(event) / 100 })}
    /></label>`;
  }

  private renderCheck(label: string, key: 'countEachRound' | 'clickFirstBarOnly', settings: Settings): unknown {
    return html`<label class="wide"
      ><input
        type="checkbox"
        .checked=${settings[key]}
        @change=${(event: Event) => this.set({ [key]: (event.target as HTMLInputElement).checked })}
      />
      ${label}</label
    >`;
  }

  private set(change: Partial<Settings>): void {
    this.session.settings.value = { ...this.session.settings.peek(), ...change };
  }

  private setDrop(sound: number, of: number): void {
    const bars = Math.min(64, Math.max(2, Math.round(of) || 4));
    this.set({ clickDropOut: { sound: Math.min(bars - 1, Math.max(1, Math.round(sound) || 1)), of: bars } });
  }

  private setLadder(ladder: NonNullable<Practice['loop']>['ladder']): void {
    const practice = this.session.practice.peek();
    if (practice.loop) this.session.practice.value = { ...practice, loop: { ...practice.loop, ladder } };
  }
}

function numberOf(event: Event): number {
  return Number((event.target as HTMLInputElement).value);
}

function bounded(value: number, most: number): number {
  return Math.min(most, Math.max(-most, Math.round(value) || 0));
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-practice-panel': PracticePanel;
  }
}
