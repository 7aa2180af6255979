import { msg } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { barNumber, barOfNumber, barsOf } from '../../model/map-queries.js';
import { barsStretch, sectionStretch, stretchBars } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { setLoop } from './practice-commands.js';
import { loopsOf, sameLoop } from './kept-loops.js';
import { FASTEST, SLOWEST, type Loop } from '../kit/practice.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { check, checkRow, numberField, numberOf } from '../kit/fields.js';
import { sectionText } from '../chords/strum/strum-words.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';
import { loopText, sectionPlace } from './practice-words.js';

/** What is looped: a section, any bars, two passes in turn; faster each round; the loops last played. */
@customElement('bw-loop-panel')
export class LoopPanel extends SignalElement {
  static override styles = [base, controls, panel];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const { loop } = session.practice.value;
    const section = loop && sectionPlace(map, loop);
    return html`<h2>${msg('Loop')}</h2>
      <div class="row">
        <select aria-label=${msg('Loop a section')} @change=${(event: Event) => this.loopSection(map, numberOf(event))}>
          <option value="-1" ?selected=${!loop}>${msg('no loop')}</option>
          ${loop && section === undefined ? html`<option value="-2" selected>${loopText(map, loop)}</option>` : nothing}
          ${map.sections.map(
            (each, i) =>
              html`<option value=${i} ?selected=${i === section}>${sectionText(each)}, ${this.barsOf(map, i)}</option>`,
          )}
        </select>
        ${loop ? html`<button @click=${() => setLoop(session, undefined)}>${msg('No loop')}</button>` : nothing}
      </div>
      ${this.renderBars(map, loop)} ${loop ? this.renderTurn(map, loop, section) : nothing}
      ${loop ? this.renderLadder(loop) : nothing}
      ${loop ? checkRow(session, msg('Count in before each round'), 'countEachRound') : nothing}
      ${this.renderLast(map, loop)}`;
  }

  private loopSection(map: SongMap, place: number): void {
    if (place === -2) return;
    setLoop(this.session, place < 0 ? undefined : sectionStretch(map, place));
  }

  private barsOf(map: SongMap, section: number): string {
    const stretch = sectionStretch(map, section);
    return stretch ? loopText(map, stretch) : '';
  }

  private renderBars(map: SongMap, loop: Loop | undefined): unknown {
    const bars = barsOf(map);
    const looped = loop && stretchBars(map, loop);
    const [from, to] = [looped?.first, looped?.last].map((bar) =>
      bar === undefined ? '' : String(barNumber(map, bar)),
    );
    const change = (event: Event): void => {
      const fields = [...(event.target as Element).parentElement!.parentElement!.querySelectorAll('input')];
      const [a, b] = fields.map(({ value }) => (value === '' ? NaN : Number(value)));
      if (!Number.isFinite(a) && !Number.isFinite(b)) return setLoop(this.session, undefined);
      const [low, high] = [Number.isFinite(a) ? a! : b!, Number.isFinite(b) ? b! : a!].sort((x, y) => x - y);
      const [begin, end] = [barOfNumber(map, low!) ?? 0, barOfNumber(map, high!) ?? bars.length - 1];
      setLoop(this.session, barsStretch(map, begin, end));
    };
    const field = (label: string, name: string, value: string | undefined) =>
      html`<label
        >${label}
        <input type="number" inputmode="numeric" min="1" aria-label=${name} .value=${value ?? ''} @change=${change}
      /></label>`;
    return html`<div class="row" role="group" aria-label=${msg('Bars that are looped')}>
      <span>${msg('bars')}</span> ${field(msg('from'), msg('Loop from bar'), from)}
      ${field(msg('to'), msg('Loop to bar'), to)}
    </div>`;
  }

  /** The other passes of the looped section, to be played in turn with it. */
  private renderTurn(map: SongMap, loop: Loop, section: number | undefined): unknown {
    const letter = section === undefined ? undefined : map.sections[section]?.letter;
    const passes = map.sections.flatMap((each, i) => (each.letter === letter && i !== section ? [i] : []));
    if (letter === undefined || (passes.length === 0 && !loop.other)) return nothing;
    const other = loop.other && sectionPlace(map, loop.other);
    return html`<label class="wide"
      >${msg('in turn with')}
      <select
        @change=${(event: Event) => {
          const place = numberOf(event);
          const stretch: PlayStretch | undefined = place < 0 ? undefined : sectionStretch(map, place);
          const { other: _, ...plain } = loop;
          setLoop(this.session, { ...plain, ...(stretch ? { other: stretch } : {}) });
        }}
      >
        <option value="-1" ?selected=${other === undefined}>${msg('nothing else')}</option>
        ${passes.map(
          (i) =>
            html`<option value=${i} ?selected=${i === other}>
              ${sectionText(map.sections[i]!)}, ${this.barsOf(map, i)}
            </option>`,
        )}
      </select></label
    >`;
  }

  private renderLadder(loop: Loop): unknown {
    const { ladder } = loop;
    return html`${check(msg('Another speed each round'), ladder !== undefined, (on) =>
      this.setLadder(on ? { from: 0.7, to: 1, rounds: 6 } : undefined),
    )}
    ${
      ladder
        ? html`<div class="row">
            ${this.renderPercent(msg('from'), ladder.from, (from) => this.setLadder({ ...ladder, from }))}
            ${this.renderPercent(msg('to'), ladder.to, (to) => this.setLadder({ ...ladder, to }))}
            ${numberField(msg('in'), ladder.rounds, [2, 40], (rounds) => this.setLadder({ ...ladder, rounds }), msg('rounds'))}
          </div>`
        : nothing
    }`;
  }

  private renderPercent(label: string, value: number, change: (value: number) => void): unknown {
    const bounds = [SLOWEST * 100, FASTEST * 100] as const;
    return numberField(label, Math.round(value * 100), bounds, (percent) => change(percent / 100), '%');
  }

  private renderLast(map: SongMap, loop: Loop | undefined): unknown {
    const kept = loopsOf(this.session.settings.value, map.recording.contentId).filter(
      (each) => !loop || !sameLoop(each, loop),
    );
    if (kept.length === 0) {
      return loop ? nothing : html`<p>${msg('Or select bars on the map and press L.')}</p>`;
    }
    return html`<div class="row" role="group" aria-label=${msg('Loops last played')}>
      <span class="soft">${msg('last:')}</span>
      ${kept.map(
        ({ recording: _, ...each }) =>
          html`<button class="last" @click=${() => this.takeUp(each)}>${loopText(map, each)}</button>`,
      )}
    </div>`;
  }

  /** The kept loop as it was, its ladder included or left out. */
  private takeUp(loop: Loop): void {
    setLoop(this.session, undefined);
    setLoop(this.session, loop);
  }

  private setLadder(ladder: Loop['ladder']): void {
    const practice = this.session.practice.peek();
    if (!practice.loop) return;
    const { ladder: _, ...loop } = practice.loop;
    this.session.practice.value = { ...practice, loop: { ...loop, ...(ladder ? { ladder } : {}) } };
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-loop-panel': LoopPanel;
  }
}
