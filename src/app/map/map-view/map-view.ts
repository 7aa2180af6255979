import { msg, str } from '@lit/localize';
import { computed } from '@preact/signals-core';
import { html, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { guard } from 'lit/directives/guard.js';
import { repeat } from 'lit/directives/repeat.js';
import type { SongMap } from '../../../model/song-map.js';
import type { BarIndex, Seconds } from '../../../music/units.js';
import { shownMap } from '../../../model/shown-chords.js';
import { moveChordTo } from '../move-chord.js';
import type { Session } from '../../kit/session.js';
import { FrameController, ResizeController } from '../../kit/owners.js';
import { PlayClock } from '../../kit/play-clock.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base, controls } from '../../kit/styles/shared.js';
import { barStyles } from './bar-styles.js';
import type { BarBox } from './boxes.js';
import { FollowMarks } from './follow-marks.js';
import { strumMarkStyles } from '../../kit/strum-mark.js';
import { mapStyles } from './map-styles.js';
import { barsOfRow, rowTemplate, type RowState } from './map-templates.js';
import { beatAtX, nearestPlace, rulerOf, type Place, type Ruler } from './place.js';
import { keepRows, layoutMap, type MapLayout, type MapRow } from './rows.js';
import { LINE_LENGTHS } from './wrap.js';

/**
 * The bar map: rows are sections, widths are beats. Draws `session.song`; a click sets the cursor, a drag or a shifted
 * click selects bars, a double click plays. Keys are the commands' business; the focus follows the cursor.
 */
@customElement('bw-map-view')
export class MapView extends SignalElement {
  static override styles = [base, controls, strumMarkStyles, mapStyles, barStyles];

  @property({ attribute: false }) session!: Session;
  @state() private room = 0;
  /** Bars to a line that the user asked for. */
  @state() private wanted: number | undefined;

  private layout: MapLayout | undefined;
  private made: { readonly map: SongMap; readonly room: number; readonly wanted: number | undefined } | undefined;
  private ruler: Ruler | undefined;
  private boxes: readonly BarBox[] = [];
  private drag: { readonly pointer: number; readonly bar: BarIndex; moved: boolean } | undefined;
  /** A chord in the hand: where it begins, and the beat under the pointer. */
  @state() private held: { readonly pointer: number; readonly time: Seconds; readonly goal?: Place } | undefined;
  private anchor: BarIndex | undefined;
  private readonly changed = computed(() => this.session.song.value?.changed ?? []);
  private changedNow: readonly BarIndex[] = [];
  private turn: 'a' | 'b' = 'a';
  private hadFocus = false;
  private focusOn: BarIndex | undefined;
  private cursorShown: BarIndex | undefined;
  private readonly marks = new FollowMarks(this);
  private readonly frame = new FrameController(this);

  constructor() {
    super();
    new ResizeController(
      this,
      () => this.renderRoot.querySelector('.measure > *'),
      (width) => (this.room = Math.floor(width)),
    );
    new PlayClock(this, (at, playing) => {
      if (this.ruler) this.marks.show(this.ruler, this.boxes, at, playing);
    });
  }

  protected override willUpdate(): void {
    this.hadFocus ||= this.shadowRoot?.activeElement?.matches('[data-bar]') ?? false;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    this.marks.forget();
    this.followFocus();
    this.followCursor();
  }

  override render(): unknown {
    const map = this.session.map.value;
    if (!map) return nothing;
    const layout = this.layOut(shownMap(map));
    const ruler = this.ruler ?? rulerOf(map);
    const cursor = nearestPlace(ruler, this.session.view.cursor.value);
    this.focusOn = cursor?.bar;
    const selection = this.session.view.selection.value;
    const changed = this.takeChanged(this.changed.value);
    return html`
      <div class="measure"><div></div></div>
      ${this.renderTools(layout)}
      <div
        class="grid"
        role="grid"
        aria-label=${msg('Bar map')}
        aria-multiselectable="true"
        .style="--beat:${layout.beatPx}px"
        @pointerdown=${this.pressed}
        @pointermove=${this.moved}
        @pointerup=${this.released}
        @pointercancel=${this.cancelled}
        @keydown=${this.keyed}
        @click=${this.clicked}
        @dblclick=${this.doubleClicked}
      >
        ${
          layout.beatPx > 0 && this.room > 0
            ? repeat(
                layout.rows,
                (row) => row.key,
                (row) => this.renderRow(row, layout, selection, cursor, changed),
              )
            : nothing
        }
      </div>
      ${this.renderLegend()}
    `;
  }

  private renderRow(
    row: MapRow,
    layout: MapLayout,
    selection: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
    cursor: Place | undefined,
    changed: ReadonlySet<number>,
  ): unknown {
    const bars = barsOfRow(row);
    const inRow = (bar: number): boolean => bars !== undefined && bar >= bars.first && bar <= bars.last;
    const own: RowState = {
      beatPx: layout.beatPx,
      first: bars && selection && selection.first <= bars.last ? Math.max(selection.first, bars.first) : Infinity,
      last: bars && selection && selection.last >= bars.first ? Math.min(selection.last, bars.last) : -Infinity,
      cursor: cursor && inRow(cursor.bar) ? cursor : undefined,
      goal: this.held?.goal && inRow(this.held.goal.bar) ? this.held.goal : undefined,
      alone: selection === undefined,
      changed,
      turn: this.turn,
    };
    const touched = [...changed].filter(inRow).join();
    const at = own.cursor ? `${own.cursor.bar}.${own.cursor.beat}.${own.alone}` : '';
    const selected = own.first <= own.last ? `${own.first}-${own.last}` : '';
    const goal = own.goal ? `${own.goal.bar}.${own.goal.beat}` : '';
    return guard([row, own.beatPx, selected, at, goal, touched, touched === '' ? '' : own.turn], () =>
      rowTemplate(row, own),
    );
  }

  private renderTools(layout: MapLayout): unknown {
    const shown = this.wanted ?? layout.perLine;
    const longer = LINE_LENGTHS.filter((n) => n > shown).at(-1);
    const shorter = LINE_LENGTHS.find((n) => n < shown);
    // A first row without bars leaves the room beside its words.
    const beside = layout.rows[0]?.kind === 'section' ? '' : 'beside';
    return html`<div class="bar-tools ${beside}">
      <slot></slot>
      <span class="lengths" role="group" aria-label=${msg('Bars on a line')}>
        <span>${shown === 1 ? msg('1 bar on a line') : msg(str`${shown} bars on a line`)}</span>
        <button
          aria-label=${msg('Fewer bars on a line')}
          ?disabled=${shorter === undefined}
          @click=${() => (this.wanted = shorter)}
        >
          −
        </button>
        <button
          aria-label=${msg('More bars on a line')}
          ?disabled=${longer === undefined}
          @click=${() => (this.wanted = longer)}
        >
          +
        </button>
        ${
          this.wanted === undefined
            ? nothing
            : html`<button class="plain" @click=${() => (this.wanted = undefined)}>${msg('fit')}</button>`
        }
      </span>
    </div>`;
  }

  private renderLegend(): unknown {
    return html`<ul class="legend">
      <li><i class="mark dashed"></i>${msg('dashed bar line, number with “?”: doubtful')}</li>
      <li><span class="notch" aria-hidden="true">2</span>${msg('another length, in beats')}</li>
      <li>
        <span class="mark"><i class="pin"></i></span>${msg('locked by you')}
      </li>
    </ul>`;
  }

  /** Lays out again only when map, width or wish changed, and keeps the rows that came out equal. */
  private layOut(map: SongMap): MapLayout {
    const { made } = this;
    if (!this.layout || made?.map !== map || made.room !== this.room || made.wanted !== this.wanted) {
      this.made = { map, room: this.room, wanted: this.wanted };
      this.layout = keepRows(this.layout, layoutMap(map, Math.max(1, this.room - 4), this.wanted));
      this.ruler = rulerOf(map);
      this.boxes = this.layout.rows.flatMap((row) =>
        row.kind === 'section' ? row.lines.flatMap((line) => line.boxes.filter((box) => box.kind === 'bar')) : [],
      );
    }
    return this.layout;
  }

  private takeChanged(changed: readonly BarIndex[]): ReadonlySet<number> {
    if (changed !== this.changedNow) {
      this.changedNow = changed;
      if (changed.length > 0) this.turn = this.turn === 'a' ? 'b' : 'a';
    }
    return new Set(changed);
  }

  /** Brings the bar under the cursor into view, as after the room for the map became less. */
  showCursor(): void {
    this.cellOf(this.focusOn)?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }

  /** The focus goes with the cursor while it is in the map. */
  private followFocus(): void {
    const focused = this.shadowRoot?.activeElement;
    // A section that came or went draws its bars anew.
    const lost = this.hadFocus && document.activeElement === document.body;
    this.hadFocus = false;
    if (lost) this.cellOf(this.focusOn)?.focus({ preventScroll: true });
    if (!(focused instanceof HTMLElement) || focused.dataset['bar'] === undefined) return;
    if (Number(focused.dataset['bar']) === this.focusOn || this.drag) return;
    this.cellOf(this.focusOn)?.focus({ preventScroll: true });
  }

  /** A cursor that was moved elsewhere (the close-up, a doubt, a key) is brought into view. */
  private followCursor(): void {
    if (this.focusOn === this.cursorShown) return;
    const first = this.cursorShown === undefined;
    this.cursorShown = this.focusOn;
    if (first || this.drag || this.session.playing.peek()) return;
    // With the frame and not before it: the page is laid out once, not now and again.
    this.frame.once(() => this.showCursor());
  }

  private cellOf(bar: BarIndex | undefined): HTMLElement | null {
    return bar === undefined ? null : this.renderRoot.querySelector<HTMLElement>(`[data-bar="${bar}"]`);
  }

  /** The bar and beat drawn under a point of the window. */
  private placeUnder(x: number, y: number): { box: BarBox; beat: number } | undefined {
    const cell = this.shadowRoot?.elementFromPoint(x, y)?.closest<HTMLElement>('[data-bar]');
    const box = cell ? this.boxes[Number(cell.dataset['bar'])] : undefined;
    if (!cell || !box) return undefined;
    const rect = cell.getBoundingClientRect();
    return { box, beat: beatAtX(box, ((x - rect.left) / rect.width) * box.width) };
  }

  private readonly pressed = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    const chord = (event.target as Element).closest<HTMLElement>('[data-time]');
    if (chord && !event.shiftKey) {
      this.held = { pointer: event.pointerId, time: Number(chord.dataset['time']) };
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
      return;
    }
    const place = this.placeUnder(event.clientX, event.clientY);
    if (!place) return;
    this.drag = { pointer: event.pointerId, bar: place.box.index, moved: false };
    // A finger may be about to scroll: it chooses when it is lifted.
    if (event.pointerType !== 'touch') this.choose(place, event.shiftKey);
  };

  private readonly moved = (event: PointerEvent): void => {
    const { drag, held } = this;
    if (held?.pointer === event.pointerId) {
      const place = this.placeUnder(event.clientX, event.clientY);
      const goal = place && { bar: place.box.index, beat: place.beat };
      if (goal && (goal.bar !== held.goal?.bar || goal.beat !== held.goal.beat)) this.held = { ...held, goal };
      return;
    }
    if (!drag || drag.pointer !== event.pointerId) return;
    const place = this.placeUnder(event.clientX, event.clientY);
    if (!place || (place.box.index === drag.bar && !drag.moved)) return;
    if (!drag.moved) {
      drag.moved = true;
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
      if (!event.shiftKey) this.setCursor(this.boxes[drag.bar]?.start ?? 0);
    }
    this.select(this.anchor !== undefined && event.shiftKey ? this.anchor : drag.bar, place.box.index);
  };

  private readonly released = (event: PointerEvent): void => {
    const { drag, held } = this;
    this.drag = undefined;
    if (held?.pointer === event.pointerId) {
      this.held = undefined;
      const { goal } = held;
      const start = goal && this.boxes[goal.bar]?.beats[goal.beat];
      if (goal && start !== undefined && Math.abs(start - held.time) > 0.02)
        void moveChordTo(this.session, held.time, goal.bar, goal.beat);
      else this.chooseUnder(event);
      return;
    }
    if (drag && !drag.moved && event.pointerType === 'touch') this.chooseUnder(event);
  };

  private chooseUnder(event: PointerEvent): void {
    const place = this.placeUnder(event.clientX, event.clientY);
    if (place) this.choose(place, event.shiftKey);
  }

  private readonly keyed = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || !this.held) return;
    event.preventDefault();
    this.held = undefined;
  };

  private readonly cancelled = (): void => {
    this.drag = undefined;
    this.held = undefined;
  };

  private readonly clicked = (event: MouseEvent): void => {
    const button = (event.target as Element).closest<HTMLElement>('[data-section]');
    const id = button?.dataset['section'];
    const row = this.layout?.rows.find((each) => each.kind === 'section' && each.section.id === id);
    const bars = row ? barsOfRow(row) : undefined;
    if (!bars) return;
    this.setCursor(this.boxes[bars.first]?.start ?? 0);
    this.anchor = bars.first;
    this.select(bars.first, bars.last);
    this.cellOf(bars.first)?.focus({ preventScroll: true });
  };

  private readonly doubleClicked = (event: MouseEvent): void => {
    const place = this.placeUnder(event.clientX, event.clientY);
    if (place) void this.session.play(place.box.start);
  };

  private choose(place: { box: BarBox; beat: number }, extend: boolean): void {
    const { box, beat } = place;
    if (extend) {
      const from = this.anchor ?? this.session.view.selection.value?.first ?? this.focusOn ?? box.index;
      this.anchor = from;
      this.select(from, box.index);
      return;
    }
    this.anchor = box.index;
    const time = box.beats[beat] ?? box.start;
    this.setCursor(time);
    // One bar is meant by the cursor; a selection would narrow what acts on the whole song (half tempo) to it.
    this.session.view.selection.value = undefined;
    // The sound goes along, as it does with keys and in the recording.
    if (this.session.playing.peek()) void this.session.play(time);
  }

  private setCursor(time: Seconds): void {
    this.session.view.cursor.value = time;
  }

  private select(a: BarIndex, b: BarIndex): void {
    const first = Math.min(a, b);
    const last = Math.max(a, b);
    const now = this.session.view.selection.peek();
    if (now?.first !== first || now.last !== last) this.session.view.selection.value = { first, last };
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-map-view': MapView;
  }
}
