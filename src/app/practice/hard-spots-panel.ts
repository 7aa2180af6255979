import { msg, str } from '@lit/localize';
import { computed } from '@preact/signals-core';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { barsStretch, sameStretch } from '../../model/play-order.js';
import { hardSpots, hardSpotText } from '../../model/hard-spots.js';
import { differenceWords } from '../../model/pass-words.js';
import { openDifferences, type PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { shownMap } from '../../model/shown-chords.js';
import { songShape } from '../../model/song-shapes.js';
import { tuningOf } from '../../music/tuning.js';
import type { BarIndex } from '../../music/units.js';
import { setLoop } from './practice-commands.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { chordText } from '../map/map-view/boxes.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';

/** The places most worth a loop, worst first; one action loops one. */
@customElement('bw-hard-spots')
export class HardSpotsPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panel,
    css`
      ol {
        margin: 0 0 var(--space-2);
        padding: 0;
        list-style: none;
      }
      li {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        gap: var(--space-2);
        padding: var(--space-1) 0;
        border-top: var(--rule-width) solid var(--rule);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  private readonly instrument = computed(() => this.session.settings.value.instrument);
  private readonly speed = computed(() => this.session.practice.value.speed);
  /** Looked for again only when something changes that makes a place hard; a level, say, does not. */
  private readonly spots = computed(() => {
    const map = this.session.map.value;
    if (!map) return [];
    const tuning = tuningOf(this.instrument.value);
    return hardSpots(shownMap(map), {
      shapeOf: (harte) => songShape(map, harte, tuning).shape,
      named: chordText,
      differing: differing(map, this.session.passes.value),
      speed: this.speed.value,
    });
  });

  override render(): unknown {
    const { session } = this;
    const map = this.session.map.value;
    if (!map) return nothing;
    const { loop } = session.practice.value;
    const spots = this.spots.value;
    return html`<h2>${msg('Hard spots')}</h2>
      ${
        spots.length === 0
          ? html`<p>${msg('No place stands out at this speed.')}</p>`
          : html`<ol>
              ${spots.map((spot) => {
                const stretch = barsStretch(map, spot.first, spot.last);
                const looped = stretch !== undefined && sameStretch(loop, stretch);
                return html`<li>
                  <span>${hardSpotText(map, spot)}</span>
                  <button
                    aria-pressed=${looped}
                    aria-label=${msg(str`Loop ${hardSpotText(map, spot)}`)}
                    @click=${() => this.loop(looped ? undefined : stretch)}
                  >
                    ${msg('Loop')}
                  </button>
                </li>`;
              })}
            </ol>`
      }`;
  }

  /** Loops the place and plays it at once, or takes the loop off and lets the sound go on. */
  private loop(stretch: { from: number; until: number } | undefined): void {
    setLoop(this.session, stretch);
    if (stretch) void this.session.play(stretch.from);
  }
}

/** Bars in which a pass differs from the others, with what says how. */
function differing(map: SongMap, tables: readonly PassTable[]): ReadonlyMap<BarIndex, string> {
  const bars = new Map<BarIndex, string>();
  for (const table of tables) {
    for (const difference of openDifferences(map, table)) {
      const bar = 'bar' in difference ? difference.bar : 'first' in difference ? difference.first : undefined;
      if (bar === undefined || bars.has(bar)) continue;
      bars.set(bar, differenceWords(map, table, difference));
    }
  }
  return bars;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-hard-spots': HardSpotsPanel;
  }
}
