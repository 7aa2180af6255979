import { msg, str } from '@lit/localize';
import { html, nothing, type TemplateResult } from 'lit';
import { sectionColour } from '../../../model/section-colours.js';
import { strumText } from '../../../music/strum.js';
import { strumMark } from '../../kit/strum-mark.js';
import { barWords } from './bar-words.js';
import type { BarBox, ChordBox, FreeBox } from './boxes.js';
import { fitLabel, textEm } from './labels.js';
import type { Place } from './place.js';
import { durationText, type EdgeRow, type Line, type MapRow, type SectionRow } from './rows.js';

/** What of the screen's state falls into one row; a row draws again when any of it changes. */
export interface RowState {
  readonly beatPx: number;
  readonly first: number;
  readonly last: number;
  readonly cursor: Place | undefined;
  /** The beat that a chord is being dragged to. */
  readonly goal: Place | undefined;
  /** Nothing is selected: the cursor's bar is what is meant. */
  readonly alone: boolean;
  readonly changed: ReadonlySet<number>;
  /** Turns with each solve, so that the showing of what changed begins anew. */
  readonly turn: 'a' | 'b';
}

/** Bars of a row: first and last index, or undefined when it has none. */
export function barsOfRow(row: MapRow): { readonly first: number; readonly last: number } | undefined {
  if (row.kind !== 'section') return undefined;
  const bars = row.lines.flatMap((line) => line.boxes.filter((box) => box.kind === 'bar'));
  const first = bars[0];
  const last = bars[bars.length - 1];
  return first && last ? { first: first.index, last: last.index } : undefined;
}

export function rowTemplate(row: MapRow, state: RowState): TemplateResult {
  return row.kind === 'section' ? sectionTemplate(row, state) : edgeTemplate(row);
}

function edgeTemplate(row: EdgeRow): TemplateResult {
  return html`<div class="row edge" role="row">
    <span class="edge-text" role="gridcell">${row.locked ? msg(str`${row.text}, locked`) : row.text}</span>
  </div>`;
}

function sectionTemplate(row: SectionRow, state: RowState): TemplateResult {
  const { section } = row;
  const suggested = section.origin === 'suggested';
  const passes = row.passes > 1 ? msg(str`pass ${row.pass} of ${row.passes}`) : '';
  const name = section.name === section.letter ? '' : section.name;
  const strum = section.strum ? msg(str`strum ${strumText(section.strum)}`) : '';
  const words = [`${section.letter} ${name}`.trim(), row.summary, passes, suggested ? msg('suggested') : '', strum]
    .filter((part) => part !== '')
    .join(', ');
  return html`<div
    class="row ${suggested ? 'suggested' : ''} ${state.cursor ? 'here' : ''}"
    role="rowgroup"
    aria-label=${words}
    .style="--section:${sectionColour(section.letter)};--lines:${row.lines.length}"
  >
    <div class="head" role="row">
      <div role="rowheader">
        <button tabindex="-1" data-section=${section.id} aria-label=${msg(str`Select ${words}`)}>
          <span class="letter" aria-hidden="true">${section.letter}</span>
          <span class="name" aria-hidden="true">${name}</span>
          <span class="facts" aria-hidden="true"
            ><span class="sum">${row.summary}</span>${passes === '' ? nothing : html`<span>, ${passes}</span>`}${
              suggested ? html`<span class="gap">, </span><br />${msg('suggested')}` : nothing
            }</span
          >
          ${section.strum ? html`<span class="strum">${strumMark(section.strum)}</span>` : nothing}
        </button>
      </div>
    </div>
    <div class="lines" role="presentation">
      ${row.lines.map((line, i) => lineTemplate(line, state, i === row.lines.length - 1))}
    </div>
  </div>`;
}

function lineTemplate(line: Line, state: RowState, lastLine: boolean): TemplateResult {
  return html`<div class="line" role="row">
    ${
      line.indent > 0
        ? html`<span class="indent" aria-hidden="true" .style="width:calc(var(--beat)*${line.indent})"
            >${isLonePickup(line) ? msg('pickup') : nothing}</span
          >`
        : nothing
    }
    ${line.boxes.map((box, i) =>
      box.kind === 'free'
        ? freeTemplate(box)
        : barTemplate(box, line, i, state, lastLine && i === line.boxes.length - 1),
    )}
  </div>`;
}

/** A long pickup stands on a line of its own, with room to say what it is. */
function isLonePickup({ boxes }: Line): boolean {
  return boxes.length === 1 && boxes[0]?.kind === 'bar' && boxes[0].pickup;
}

function freeTemplate(box: FreeBox): TemplateResult {
  const time = durationText(box.end - box.start);
  return html`<div class="free" role="gridcell" .style="--w:${box.width}" aria-label=${msg(str`free time, ${time}`)}>
    <span aria-hidden="true">${msg('free time')}<br />${time}</span>
  </div>`;
}

function barTemplate(box: BarBox, line: Line, at: number, state: RowState, last: boolean): TemplateResult {
  const selected = box.index >= state.first && box.index <= state.last;
  const here = state.cursor?.bar === box.index;
  const next = line.boxes[at + 1];
  const classes = [
    'bar',
    box.sure ? '' : 'unsure',
    selected ? 'selected' : here && state.alone ? 'meant' : '',
    next?.kind === 'bar' ? '' : 'closes',
    last ? 'last' : '',
    state.changed.has(box.index) ? `changed-${state.turn}` : '',
  ];
  return html`<div
    class=${classes.join(' ')}
    role="gridcell"
    data-bar=${box.index}
    tabindex=${here ? 0 : -1}
    aria-selected=${selected}
    aria-label=${barWords(box)}
    .style="--w:${box.width}"
  >
    <i class="sounding-beat"></i>
    ${here ? beatMark(box, state.cursor?.beat ?? 0) : nothing}
    ${state.goal?.bar === box.index ? beatMark(box, state.goal.beat, 'goal') : nothing}
    ${box.divisions.map((d) => html`<i class=${d.kind === 'group' ? 'tick group' : 'tick'} .style="--x:${d.x}"></i>`)}
    ${topTemplate(box, state.beatPx, at === 0)}
    ${chordsTemplate(box, at === 0, state.beatPx, here ? state.cursor?.beat : undefined)}
    ${
      box.pins.rail
        ? html`<i
            class="rail ${box.pins.rail.begins ? 'begins' : ''} ${box.pins.rail.ends ? 'ends' : ''}"
            title=${box.pins.rail.text}
          ></i>`
        : nothing
    }
    ${box.pins.pins.map(
      (pin) =>
        html`<i
          class=${pin.open ? 'pin open' : 'pin'}
          .style="--x:${box.xs[pin.beat] ?? 0}"
          title=${msg(str`Locked: ${pin.text}`)}
        ></i>`,
    )}
  </div>`;
}

function beatMark(box: BarBox, beat: number, kind = ''): TemplateResult {
  const x = box.xs[beat] ?? 0;
  return html`<i class="beat-mark ${kind}" .style="--x:${x};--w:${(box.xs[beat + 1] ?? box.width) - x}"></i>`;
}

/** Notch, time signature and number, as far as they fit; the first bar of a line always has its number. */
function topTemplate(box: BarBox, beatPx: number, firstOfLine: boolean): TemplateResult {
  const room = box.width * beatPx - 6;
  const number = box.pickup ? msg('pickup') : `${box.number}${box.doubted ? '?' : ''}`;
  const before = (box.notch ? textEm(box.notch) * 12 + 16 : 0) + (box.sign ? textEm(box.sign) * 14 + 5 : 0);
  const fits = before + textEm(number) * 12 <= room || (firstOfLine && before === 0 && !box.pickup);
  return html`<span class="top" aria-hidden="true"
    >${box.notch === undefined ? nothing : html`<span class="notch">${box.notch}</span>`}${
      box.sign === undefined ? nothing : html`<span class="sign">${box.sign}</span>`
    }${fits ? html`<span>${number}</span>` : nothing}</span
  >`;
}

const CHORD_SIZES = [18, 15, 12.5, 11];
const CHORD_PADDING = 5;

/** The chords of a bar, all of one size: the largest at which each fits. */
function chordsTemplate(
  box: BarBox,
  firstOfLine: boolean,
  beatPx: number,
  cursorBeat: number | undefined,
): TemplateResult[] {
  const held = firstOfLine && box.held !== undefined;
  const chords = box.chords.map((chord, i) => ({
    chord,
    room: chordRoom(box, i) * beatPx - CHORD_PADDING,
    // The one under the cursor can be taken hold of: elsewhere a drag selects bars.
    extra: chord.beat === cursorBeat ? 'movable' : '',
  }));
  if (held) {
    const room = (box.chords[0]?.x ?? box.width) * beatPx - CHORD_PADDING;
    const chord = { time: box.start, x: 0, text: box.held ?? '', suggested: true, unread: false, beat: 0 };
    chords.unshift({ chord, room, extra: 'held' });
  }
  const size = Math.min(...chords.map(({ chord, room }) => fitLabel(chord.text, room, CHORD_SIZES).size));
  return chords.map(({ chord, room, extra }) => {
    const label = fitLabel(chord.text, room, [size]);
    return html`<span
      class="chord ${extra} ${chord.suggested ? 'suggested' : ''} ${chord.unread ? 'unread' : label.cut ? 'cut' : ''}"
      .style="--x:${chord.x};font-size:${size / 16}rem"
      data-time=${extra === 'movable' ? chord.time : nothing}
      title=${chordTitle(chord, label.cut, extra === 'movable') ?? nothing}
      aria-hidden="true"
      >${label.text}</span
    >`;
  });
}

function chordTitle({ text, unread }: ChordBox, cut: boolean, movable: boolean): string | undefined {
  if (unread) return msg(str`“${text}” cannot be read as a chord; it is kept as typed`);
  return movable ? msg(str`${text}: drag it to another beat`) : cut ? text : undefined;
}

/** Beats a chord's name may take: to the next chord or the end of its bar, as what stands over a bar line reads as the next bar's. */
function chordRoom(box: BarBox, i: number): number {
  return (box.chords[i + 1]?.x ?? box.width) - (box.chords[i]?.x ?? 0);
}
