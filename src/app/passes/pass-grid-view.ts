import { msg, str } from '@lit/localize';
import { html, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { barAt, barNumber, barOf } from '../../model/map-queries.js';
import type { KeyDifference, PassTable } from '../../model/pass-table.js';
import { keyWords, predicateOf } from '../../model/pass-words.js';
import type { SongMap } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import { hearBoth } from './pass-commands.js';
import { cellStretch, passPlaceOf, tableOf } from './pass-places.js';
import { barNear } from '../map/places.js';
import { clockText } from '../../music/clock-text.js';
import type { Session } from '../kit/session.js';
import { commandButton } from '../kit/command-button.js';
import { ResizeController } from '../kit/owners.js';
import { PlayClock } from '../kit/play-clock.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { barLengthText, cellWords } from './pass-cell-words.js';
import {
  cellLabels,
  moveBy,
  passBlocks,
  passCells,
  type CellChord,
  type PassBlock,
  type PassCell,
} from './pass-grid.js';
import { passGridStyles } from './pass-grid-styles.js';

interface Cells {
  readonly map: SongMap;
  readonly table: PassTable;
  readonly cells: readonly (readonly PassCell[])[];
}

/**
 * The passes of one section, one row a pass, aligned bar to bar. One tab stop: arrows move from cell to cell, the cursor
 * goes with them, Enter or a click hears the bar; keys of the map act on the bar.
 */
@customElement('bw-pass-grid')
export class PassGridView extends SignalElement {
  static override styles = [base, controls, passGridStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) letter!: string;
  @state() private room = 0;
  /** A place without a bar that was moved to; it holds until the cursor goes elsewhere. */
  @state() private gap: { readonly pass: number; readonly column: number; readonly at: Seconds } | undefined;

  /** The table of the letter, of the map that was rendered last. */
  private table!: PassTable;
  private made: Cells | undefined;
  private current: PassCell | undefined;
  private sounding: number | undefined;
  private hadFocus = false;

  constructor() {
    super();
    new ResizeController(
      this,
      () => this.renderRoot.querySelector('.measure'),
      (width) => (this.room = Math.floor(width)),
    );
    new PlayClock(this, (at, playing) => this.follow(at, playing));
  }

  protected override willUpdate(): void {
    this.hadFocus ||= this.shadowRoot?.activeElement?.matches('.cell') ?? false;
  }

  override render(): unknown {
    const map = this.session.map.value;
    // Looked up here, not handed down: a map and its table come from signals that change together.
    const table = tableOf(this.session, this.letter);
    if (!map || !table) return nothing;
    this.table = table;
    const { cells } = this.cellsOf(map);
    const cursor = this.session.view.cursor.value;
    this.current = this.currentCell(map, cells, cursor);
    // Where no bar stands, keys of the map would act on another one.
    this.dataset['region'] = this.current?.kind === 'bar' ? 'passes' : 'passes-gap';
    const { blocks, beatPx } = passBlocks(map, this.table, Math.max(1, this.room - 4));
    return html`
      <div class="measure"></div>
      <div
        role="grid"
        aria-label=${msg(str`Passes of ${this.table.name}`)}
        .style="--beat:${beatPx}px"
        @click=${this.clicked}
        @keydown=${this.pressed}
      >
        ${this.room > 0 ? blocks.map((block) => this.renderBlock(map, block, cells, beatPx)) : nothing}
      </div>
      ${this.current ? this.renderTools(map, this.current) : nothing}
    `;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    if (this.sounding !== undefined) this.mark(this.sounding);
    if (!this.hadFocus) return;
    this.hadFocus = false;
    const cell = this.renderRoot.querySelector<HTMLElement>('.cell.current');
    if (cell && this.shadowRoot?.activeElement !== cell) {
      cell.focus({ preventScroll: true });
      cell.scrollIntoView({ block: 'nearest', inline: 'nearest' });
    }
  }

  private renderBlock(
    map: SongMap,
    { first, last, widths }: PassBlock,
    cells: Cells['cells'],
    beatPx: number,
  ): unknown {
    return html`<div class="block" role="rowgroup">
      ${cells.map(
        (row, pass) =>
          html`<div class="row" role="row">
            ${this.renderHead(map, pass, first === 0)}
            ${row.slice(first, last + 1).map((cell, i) => this.renderCell(map, cell, widths[i] ?? 0, beatPx))}
          </div>`,
      )}
    </div>`;
  }

  private renderHead(map: SongMap, pass: number, full: boolean): unknown {
    const own = this.table.passes[pass];
    const name = map.sections.find(({ id }) => id === own?.section)?.name ?? '';
    const start = own && barOf(map, own.first)?.start;
    const key = this.table.differences.find((each): each is KeyDifference => each.kind === 'key' && each.pass === pass);
    return html`<div class="head" role="rowheader" title=${msg(str`Pass ${pass + 1}: ${name}`)}>
      <b><span class="word">${msg('Pass')}</span> ${pass + 1}</b>
      ${
        full
          ? html`<span
                >${name === this.table.name ? '' : `${name}, `}${start === undefined ? '' : clockText(start)}</span
              >
              ${key ? html`<span class="key">${keyWords(key)}</span>` : nothing}`
          : nothing
      }
    </div>`;
  }

  private renderCell(map: SongMap, cell: PassCell, width: number, beatPx: number): unknown {
    if (cell.kind === 'blank') return html`<div class="slot" role="none" .style="--w:${width}"></div>`;
    const isCurrent = cell === this.current;
    const words = cellWords(map, this.table, cell);
    const kinds = new Set(cell.open.map(({ kind }) => kind));
    const names = [
      'cell',
      cell.kind === 'gap' ? 'gap' : '',
      cell.open.length > 0 ? 'differs' : '',
      kinds.has('chord') ? 'chord-differs' : '',
      kinds.has('length') ? 'length-differs' : '',
      kinds.has('added') ? 'added' : '',
      cell.ignored.length > 0 ? 'ignored' : '',
      isCurrent ? 'current' : '',
    ];
    return html`<div class="slot" role="none" .style="--w:${width}">
      <div
        class=${names.filter(Boolean).join(' ')}
        role="gridcell"
        tabindex=${isCurrent ? 0 : -1}
        aria-label=${words}
        title=${cell.open.map((each) => predicateOf(map, this.table, each)).join('; ')}
        data-pass=${cell.pass}
        data-column=${cell.column}
        data-bar=${cell.bar ?? nothing}
        .style="--w:${cell.width}"
      >
        <span class="number">${cell.kind === 'gap' ? msg('no bar') : cell.number}</span>
        ${cell.notch === undefined ? nothing : html`<span class="notch">${cell.notch}</span>`}
        ${cellLabels(cell.chords, beatPx).map(({ text, size, cut }, i) => {
          const { x, held } = cell.chords[i] as CellChord;
          return html`<span
            class="chord ${held ? 'held' : ''} ${cut ? 'cut' : ''}"
            .style="--x:${x};font-size:${size}px"
            >${text}</span
          >`;
        })}
      </div>
    </div>`;
  }

  /** What can be done with the bar under the cursor, in reach of a finger. */
  private renderTools(map: SongMap, { pass, column, bar, number }: PassCell): unknown {
    const { session, table } = this;
    const place = { table, pass, column };
    const others = (table.columns[column]?.bars ?? []).flatMap((each, other) =>
      each !== null && other !== pass ? [other] : [],
    );
    return html`<div class="tools" role="group" aria-label=${msg('This bar')}>
      <span class="what"
        ><b
          >${bar === undefined ? msg(str`Pass ${pass + 1}, no bar here`) : msg(str`Pass ${pass + 1}, bar ${number}`)}</b
        >${
          bar === undefined
            ? nothing
            : html` <span class="soft"
                >${msg(str`${barLengthText(map, bar)}, bar ${barNumber(map, bar)} of the song`)}</span
              >`
        }</span
      >
      <button @click=${() => this.hear(place)}>${msg('Hear it')}</button>
      ${others.map(
        (other) =>
          html`<button @click=${() => void hearBoth(session, place, other)}>
            ${msg(str`Hear it, then pass ${other + 1}`)}
          </button>`,
      )}
      ${
        bar === undefined || others.length === 0
          ? nothing
          : html`${commandButton(session, 'pass-chords', msg('Its chords are right'))}
            ${commandButton(session, 'pass-length', msg('Its length is right'))}`
      }
    </div>`;
  }

  private cellsOf(map: SongMap): Cells {
    if (this.made?.map !== map || this.made.table !== this.table) {
      this.made = { map, table: this.table, cells: passCells(map, this.table) };
    }
    return this.made;
  }

  private currentCell(map: SongMap, cells: Cells['cells'], cursor: Seconds): PassCell | undefined {
    const { gap } = this;
    const inGap = gap && gap.at === cursor ? cells[gap.pass]?.[gap.column] : undefined;
    if (inGap?.kind === 'gap') return inGap;
    const bar = barNear(map, cursor);
    const place = bar === undefined ? undefined : passPlaceOf([this.table], bar);
    return (place && cells[place.pass]?.[place.column]) ?? cells[0]?.find(({ kind }) => kind === 'bar');
  }

  private goTo(place: { readonly pass: number; readonly column: number }): void {
    const { session, made } = this;
    const cell = made?.cells[place.pass]?.[place.column];
    if (!made || !cell) return;
    const stretch = cellStretch(made.map, { ...place, table: this.table });
    const start = cell.bar === undefined ? stretch?.from : barOf(made.map, cell.bar)?.start;
    if (start === undefined) return;
    session.view.selection.value = undefined;
    session.view.cursor.value = start;
    this.gap = cell.kind === 'gap' ? { ...place, at: start } : undefined;
  }

  private hear(place: { readonly pass: number; readonly column: number }): void {
    const map = this.session.map.peek();
    const stretch = map && cellStretch(map, { ...place, table: this.table });
    if (stretch) void this.session.playStretches([stretch]);
  }

  private readonly clicked = (event: MouseEvent): void => {
    const cell = (event.target as Element).closest<HTMLElement>('.cell');
    if (!cell) return;
    const place = { pass: Number(cell.dataset['pass']), column: Number(cell.dataset['column']) };
    this.goTo(place);
    this.hear(place);
  };

  private readonly pressed = (event: KeyboardEvent): void => {
    const { current, made } = this;
    if (!current || !made || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    if (event.key === 'Enter') {
      event.preventDefault();
      if (!event.repeat) this.hear(current);
      return;
    }
    const target = moveBy(made.cells, current, event.key);
    if (!target) return;
    event.preventDefault();
    this.hadFocus = true;
    this.goTo(target);
    this.requestUpdate();
  };

  /** Each frame: the bar that sounds is marked by hand. */
  private follow(at: Seconds, playing: boolean): void {
    const map = this.session.map.peek();
    const bar = map && playing ? barAt(map, at) : undefined;
    if (bar !== this.sounding) this.mark(bar);
  }

  private mark(bar: number | undefined): void {
    this.sounding = bar;
    for (const cell of this.renderRoot.querySelectorAll<HTMLElement>('.cell'))
      cell.toggleAttribute('data-sounding', bar !== undefined && cell.dataset['bar'] === String(bar));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-pass-grid': PassGridView;
  }
}
