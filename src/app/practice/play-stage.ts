import { msg, str } from '@lit/localize';
import '../chords/strum/stage-strum.js';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { shownMap } from '../../model/shown-chords.js';
import type { Seconds } from '../../music/units.js';
import type { Session } from '../kit/session.js';
import { PlayClock } from '../kit/play-clock.js';
import { SignalElement } from '../kit/signal-element.js';
import { sectionColour } from '../../model/section-colours.js';
import { base } from '../kit/styles/shared.js';
import { roundText } from './practice-words.js';
import { beatIn, stageAt, type Jump, type Stage, type StageBar } from './stage-words.js';

/** The bar that sounds and the one that follows, as large as they get: to be read from a music stand two metres away. */
@customElement('bw-play-stage')
export class PlayStage extends SignalElement {
  static override styles = [
    base,
    css`
      :host {
        container-type: size;
        min-height: 0;
        background: var(--paper);
        overflow: hidden;
        position: relative;
      }
      .stage {
        height: 100%;
        display: grid;
        grid-template-rows: auto minmax(0, 3fr) minmax(0, 2fr);
        gap: 1cqmin;
        padding: 2cqmin 3cqmin;
      }
      .section {
        display: flex;
        align-items: baseline;
        gap: 0.6em;
        flex-wrap: wrap;
        font-size: clamp(1rem, 6cqmin, 3.5rem);
      }
      .letter {
        border: 2px solid;
        border-radius: var(--radius);
        padding: 0 0.3em;
        font-weight: 700;
      }
      .name {
        font-family: var(--music);
        font-weight: 600;
      }
      .round {
        color: var(--ink-soft);
        font-size: 0.8em;
      }
      .left {
        margin-left: auto;
        color: var(--ink-soft);
        font-size: 0.8em;
      }
      .bar {
        display: grid;
        grid-template-rows: auto minmax(0, 1fr) auto auto;
        border-left: 4px solid var(--ink);
        padding-left: 2cqmin;
        min-width: 0;
      }
      .bar.next {
        color: var(--ink-soft);
        border-left-color: var(--rule-strong);
      }
      .head {
        font-size: clamp(0.9rem, 4.5cqmin, 2.2rem);
        color: var(--ink-soft);
        display: flex;
        gap: 1em;
      }
      .odd {
        background: var(--ink);
        color: var(--on-ink);
        padding: 0 0.4em;
        border-radius: var(--radius);
        font-weight: 700;
      }
      .beats {
        display: grid;
        grid-auto-flow: column;
        align-items: center;
        min-width: 0;
      }
      .chord {
        font-family: var(--music);
        font-weight: 600;
        line-height: 1;
        white-space: nowrap;
        font-size: clamp(1.6rem, min(26cqh, calc(var(--wide) * 1cqw)), 14rem);
      }
      .next .chord {
        font-size: clamp(1.2rem, min(15cqh, calc(var(--wide) * 0.7cqw)), 8rem);
      }
      .chord.held {
        font-weight: 400;
      }
      .dots {
        display: grid;
        grid-auto-flow: column;
        grid-auto-columns: 1fr;
        padding-bottom: 1cqmin;
      }
      .dot {
        width: clamp(0.8rem, 6cqmin, 3rem);
        aspect-ratio: 1;
        border: 3px solid var(--ink);
        border-radius: 50%;
      }
      .dot:first-child {
        border-radius: 20%;
      }
      .dot[data-on] {
        background: var(--play);
        border-color: var(--play);
      }
      .count {
        position: absolute;
        inset: 0;
        display: grid;
        place-content: center;
        background: color-mix(in srgb, var(--paper) 82%, transparent);
        font-family: var(--music);
        font-weight: 700;
        font-size: min(70cqh, 60cqw);
        line-height: 1;
        font-variant-numeric: lining-nums tabular-nums;
      }
      .count[hidden] {
        display: none;
      }
      .quiet {
        display: grid;
        place-content: center;
        font-size: clamp(1.2rem, 8cqmin, 4rem);
        color: var(--ink-soft);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** Where the stage stands; set anew only when another bar begins. */
  @state() private at: Seconds = 0;
  private shownBar = '';
  private beat = -1;
  private counted = 0;

  constructor() {
    super();
    new PlayClock(this, (at) => this.moved(at));
  }

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const stage = stageAt(shownMap(map), this.at, this.jump());
    return html`<div class="stage">
        ${this.renderSection(stage)}
        ${stage.current ? this.renderBar(stage.current, true) : html`<div class="quiet">${stage.outside}</div>`}
        ${stage.next ? this.renderBar(stage.next, false) : html`<div class="quiet">${msg('the end')}</div>`}
      </div>
      <div class="count" role="status" aria-live="off" hidden></div>`;
  }

  protected override updated(): void {
    this.beat = -1;
    const { session } = this;
    this.light(session.playing.peek() ? session.position() : session.view.cursor.peek());
  }

  private renderSection({ section, barsLeft, nextSection }: Stage): unknown {
    const left =
      barsLeft === 0 ? msg('last bar') : barsLeft === 1 ? msg('1 more bar') : msg(str`${barsLeft} more bars`);
    return html`<div class="section">
      ${
        section
          ? html`<span class="letter" .style="border-color:${sectionColour(section.letter)}">${section.letter}</span>
              ${section.name === section.letter ? nothing : html`<span class="name">${section.name}</span>`}
              <span class="round"></span>
              <span class="left">${nextSection ? msg(str`${left}, then ${nextSection}`) : left}</span>`
          : nothing
      }
    </div>`;
  }

  private renderBar(bar: StageBar, current: boolean): unknown {
    // As wide as the narrowest place between two chords allows.
    const wide = Math.min(16, (70 / Math.max(1, bar.chords.length) / Math.max(2, longest(bar))) * 1.6);
    return html`<div class="bar ${current ? 'current' : 'next'}" .style="--wide:${wide}">
      <div class="head">
        <span>${current ? bar.name : msg(str`next: ${bar.name}`)}</span>
        ${bar.irregular ? html`<span class="odd">${bar.length}</span>` : nothing}
      </div>
      <div class="beats" .style="grid-template-columns:repeat(${bar.beats * 2}, minmax(0, 1fr))">
        ${bar.chords.map(
          ({ text, beat, held }) =>
            html`<span class="chord ${held ? 'held' : ''}" .style="grid-column-start:${Math.floor(beat * 2) + 1}"
              >${text}</span
            >`,
        )}
      </div>
      ${
        current
          ? html`<div class="dots">${Array.from({ length: bar.beats }, () => html`<span class="dot"></span>`)}</div>
              <bw-stage-strum .session=${this.session} .bar=${bar.index}></bw-stage-strum>`
          : nothing
      }
    </div>`;
  }

  /** Where playing goes on elsewhere; at rest, where the loop would. */
  private jump(): Jump | undefined {
    const { loop } = this.session.practice.value;
    return this.session.jump() ?? (loop && { until: loop.until, from: loop.from });
  }

  /** Each frame: the beat and the count are moved by hand; only a new bar renders. */
  private moved(at: Seconds): void {
    const map = this.session.map.peek();
    if (!map) return;
    const { current, next } = stageAt(shownMap(map), at, this.jump());
    const key = `${current?.index ?? '-'} ${next?.index ?? '-'}`;
    if (key !== this.shownBar) {
      this.shownBar = key;
      this.at = at;
      return;
    }
    this.light(at);
  }

  private light(at: Seconds): void {
    const map = this.session.map.peek();
    const count = this.renderRoot.querySelector<HTMLElement>('.count');
    if (!map || !count) return;
    const number = this.session.counting()?.number ?? 0;
    if (number !== this.counted) {
      this.counted = number;
      count.hidden = number === 0;
      count.textContent = number === 0 ? '' : String(number);
    }
    const round = this.renderRoot.querySelector('.round');
    const text = roundText(this.session);
    if (round && round.textContent !== text) round.textContent = text;
    const { current } = stageAt(shownMap(map), at, this.jump());
    const beat = current && this.session.playing.peek() && number === 0 ? beatIn(map, current.index, at).beat : -2;
    if (beat === this.beat) return;
    this.beat = beat;
    this.renderRoot.querySelectorAll('.dot').forEach((dot, i) => dot.toggleAttribute('data-on', i === beat));
  }
}

function longest(bar: StageBar): number {
  return Math.max(1, ...bar.chords.map(({ text }) => text.length));
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-play-stage': PlayStage;
  }
}
