import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { LONGEST_CUE } from '../../model/edits/chart.js';
import type { ChartOptions } from '../../model/chart-options.js';
import type { SongMap } from '../../model/song-map.js';
import { HIGHEST_CAPO } from '../../music/capo.js';
import { TUNINGS } from '../../music/tuning.js';
import { changeChart, chartOptionsOf, setSectionCue } from './chart-actions.js';
import { putCapo, showSounding, transposeTo } from '../chords/fingering-actions.js';
import type { PageFormat } from '../kit/ports.js';
import { clockText } from '../../music/clock-text.js';
import { counted, sentence } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { isChecked, numberOf, valueOf } from '../kit/fields.js';
import { panelRows } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';

/** Labels as they stand within a sentence: a change of the chart is called by them. */
type Choice<K extends keyof ChartOptions> = readonly (readonly [value: ChartOptions[K], label: string])[];

const PAPERS: Choice<'paper'> = [
  ['a4', 'A4'],
  ['letter', msg('letter')],
];
const TURNS: Choice<'landscape'> = [
  [false, msg('upright')],
  [true, msg('across')],
];
const COLUMNS: Choice<'columns'> = [
  [1, msg('one', { id: 'columns-one' })],
  [2, msg('two', { id: 'columns-two' })],
];
const SIZES: Choice<'size'> = [
  ['small', msg('small')],
  ['normal', msg('normal')],
  ['large', msg('large')],
  ['stage', msg('stage')],
];
const REPEATS: Choice<'folded'> = [
  [true, msg('with signs')],
  [false, msg('written out')],
];

const PARTS: readonly (readonly [keyof ChartOptions, string])[] = [
  ['form', msg('form to scale')],
  ['shapes', msg('chord shapes')],
  ['strum', msg('strum patterns')],
  ['slashes', msg('a slash for each beat')],
  ['barNumbers', msg('bar numbers')],
  ['notes', msg('where passes differ')],
  ['cues', msg('lines for sections')],
];

const FORMATS: readonly (readonly [PageFormat, string])[] = [
  ['pdf', 'PDF'],
  ['png', 'PNG'],
  ['svg', 'SVG'],
];

/** What is on the chart, on which paper, and the ways it leaves the room. Every change is one that can be undone. */
@customElement('bw-chart-panel')
export class ChartPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panelRows,
    css`
      :host {
        padding: var(--space-3) var(--space-4) var(--space-5);
      }
      .row {
        min-height: var(--target-small);
      }
      .row > .what {
        flex: 0 0 5.2rem;
        color: var(--ink-soft);
        font-size: var(--text-small);
      }
      .choices {
        display: flex;
        flex: 1;
      }
      .choices button {
        flex: 1;
        padding: 0 var(--space-2);
        font-size: var(--text-small);
        border-radius: 0;
      }
      .choices button + button {
        border-left: 0;
      }
      label.check {
        display: flex;
        align-items: center;
        gap: var(--space-2);
        min-height: var(--target-small);
        font-size: var(--text-small);
      }
      select,
      input[type='text'] {
        flex: 1;
        min-width: 0;
      }
      .cue {
        display: grid;
        grid-template-columns: 7rem minmax(0, 1fr);
        gap: var(--space-2);
        align-items: center;
        margin-bottom: 2px;
        font-size: var(--text-small);
      }
      .cue span {
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .save .main {
        flex: 1;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const options = chartOptionsOf(map, session.settings.value);
    const { pages } = session.view;
    const poster = pages.value === 'poster';
    return html`<div class="row">
        <div class="choices" role="group" aria-label=${msg('Pages')}>
          <button aria-pressed=${!poster} @click=${() => (pages.value = 'chart')}>${msg('Chart')}</button>
          <button aria-pressed=${poster} @click=${() => (pages.value = 'poster')}>${msg('Poster of the form')}</button>
        </div>
      </div>
      <div class="row save">
        ${FORMATS.map(
          ([format, label], i) =>
            html`<button class=${i === 0 ? 'main' : ''} @click=${() => void session.saveChart(pages.value, format)}>
              ${label}
            </button>`,
        )}
        <button @click=${() => session.printChart()}>${msg('Print…')}</button>
      </div>
      ${this.choose(msg('paper'), 'paper', PAPERS, options)}
      ${
        poster
          ? nothing
          : html`${this.choose(msg('lies'), 'landscape', TURNS, options)}
            ${this.choose(msg('columns'), 'columns', COLUMNS, options)}
            ${this.choose(msg('text'), 'size', SIZES, options)}
            ${this.choose(msg('repeats'), 'folded', REPEATS, options)}
            ${options.folded ? this.check('jumps', msg('D.C., D.S. and coda'), options) : nothing}
            ${PARTS.map(([key, label]) => this.check(key, label, options))} ${this.renderInstrument(options)}
            ${this.renderKey(map)} ${options.cues ? this.renderCues(map) : nothing}`
      }`;
  }

  private choose<K extends keyof ChartOptions>(
    what: string,
    key: K,
    choices: Choice<K>,
    options: ChartOptions,
  ): unknown {
    return html`<div class="row">
      <span class="what" id=${key}>${sentence(what)}</span>
      <div class="choices" role="group" aria-labelledby=${key}>
        ${choices.map(
          ([value, label]) =>
            html`<button
              aria-pressed=${options[key] === value}
              @click=${() => void changeChart(this.session, msg(str`${what} ${label}`), { [key]: value })}
            >
              ${sentence(label)}
            </button>`,
        )}
      </div>
    </div>`;
  }

  private check(key: keyof ChartOptions, label: string, options: ChartOptions): unknown {
    return html`<label class="check">
      <input
        type="checkbox"
        .checked=${options[key] === true}
        @change=${(event: Event) => {
          const checked = isChecked(event);
          void changeChart(this.session, checked ? msg(str`${label} on`) : msg(str`${label} off`), { [key]: checked });
        }}
      />${sentence(label)}
    </label>`;
  }

  private renderInstrument({ instrument }: ChartOptions): unknown {
    const known = TUNINGS.some(({ id }) => id === instrument);
    return html`<div class="row">
      <span class="what">${msg('Instrument')}</span>
      <select
        aria-label=${msg('Instrument of the shapes')}
        @change=${(event: Event) => {
          const value = valueOf(event);
          void changeChart(this.session, msg(str`shapes for ${value}`), { instrument: value });
        }}
      >
        ${TUNINGS.map(({ id, name }) => html`<option value=${id} ?selected=${id === instrument}>${name}</option>`)}
        ${known ? nothing : html`<option value=${instrument} selected>${instrument}</option>`}
      </select>
    </div>`;
  }

  private renderKey({ fingered = {} }: SongMap): unknown {
    const { transpose = 0, capo = 0, sounding = false } = fingered;
    const steps = Array.from({ length: 23 }, (_, i) => i - 11);
    return html`<div class="row">
        <span class="what">${msg('Key')}</span>
        <select
          aria-label=${msg('Semitones from the recording')}
          @change=${(event: Event) => void transposeTo(this.session, numberOf(event))}
        >
          ${steps.map((step) => html`<option value=${step} ?selected=${step === transpose}>${stepText(step)}</option>`)}
        </select>
      </div>
      <div class="row">
        <span class="what">${msg('Capo')}</span>
        <select aria-label=${msg('Capo')} @change=${(event: Event) => void putCapo(this.session, numberOf(event))}>
          ${Array.from(
            { length: HIGHEST_CAPO + 1 },
            (_, fret) =>
              html`<option value=${fret} ?selected=${fret === capo}>
                ${fret === 0 ? msg('none') : msg(str`fret ${fret}`)}
              </option>`,
          )}
        </select>
        ${
          capo > 0
            ? html`<label class="check"
                ><input
                  type="checkbox"
                  .checked=${sounding}
                  @change=${(event: Event) => void showSounding(this.session, isChecked(event))}
                />${msg('as they sound')}</label
              >`
            : nothing
        }
      </div>`;
  }

  private renderCues({ sections }: SongMap): unknown {
    return html`<h2>${msg('Lines for sections')}</h2>
      ${sections.map(
        ({ id, letter, name, start, cue = '' }) =>
          html`<label class="cue"
            ><span>${letter} ${name === letter ? '' : name} <span class="soft">${clockText(start)}</span></span
            ><input
              type="text"
              maxlength=${LONGEST_CUE}
              placeholder=${msg('such as its first words')}
              .value=${cue}
              @change=${(event: Event) => void setSectionCue(this.session, id, valueOf(event))}
          /></label>`,
      )}`;
  }
}

function stepText(step: number): string {
  if (step === 0) return msg('as recorded');
  const size = counted(Math.abs(step), msg('semitone'), msg('semitones'));
  return step > 0 ? `+${size}` : `−${size}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-chart-panel': ChartPanel;
  }
}
