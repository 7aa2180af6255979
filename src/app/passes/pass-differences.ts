import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { isIgnored, type PassDifference, type PassTable } from '../../model/pass-table.js';
import { differenceWords, passSentences, tableText, type PassSentence } from '../../model/pass-words.js';
import type { SongMap } from '../../model/song-map.js';
import { heedDifferences, ignoreDifferences, makeBarsSame } from './pass-actions.js';
import { hearBoth } from './pass-commands.js';
import { differenceStretch, partnerOf, passPlaceOf, tableOf } from './pass-places.js';
import { barNear } from '../map/places.js';
import { sentence } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { copiedBy, passesText, readingsOf } from './pass-cell-words.js';

/** What differs between the passes of a section, a sentence each, with what can be done about it. */
@customElement('bw-pass-differences')
export class PassDifferences extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      h2 {
        margin: 0;
        font-size: var(--text);
      }
      .count {
        margin: 0 0 var(--space-2);
        color: var(--ink-soft);
        font-size: var(--text-small);
      }
      ol,
      ul {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      li {
        padding: var(--space-2) 0 var(--space-2) var(--space-2);
        border-top: var(--rule-width) solid var(--rule);
        border-left: 3px solid transparent;
      }
      li.now {
        border-left-color: var(--ink);
        background: var(--paper-sunk);
      }
      p {
        margin: 0 0 var(--space-1);
      }
      .acts {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-1);
        font-size: var(--text-small);
      }
      .acts button {
        padding: 0 0.35rem;
      }
      .which {
        display: grid;
        gap: var(--space-1);
        margin-top: var(--space-2);
        font-size: var(--text-small);
      }
      .which button {
        justify-content: space-between;
        min-height: 2.1rem;
        text-align: left;
      }
      .which b {
        font-family: var(--music);
        font-size: var(--text);
      }
      details {
        border-top: var(--rule-width) solid var(--rule);
        padding-top: var(--space-2);
        margin-top: var(--space-2);
        font-size: var(--text-small);
      }
      summary {
        min-height: var(--target-small);
        cursor: pointer;
      }
      details li {
        color: var(--ink-soft);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) letter!: string;
  /** The table of the letter, of the map that was rendered last. */
  private table!: PassTable;
  /** The sentence whose question "which is right?" is open. */
  @state() private asking: string | undefined;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    const table = tableOf(session, this.letter);
    if (!map || !table) return nothing;
    this.table = table;
    const ignored = table.differences.filter((each) => isIgnored(map, each));
    return html`<h2 id="title">${msg('What differs')}</h2>
      <p class="count" role="status">${sentence(tableText(map, table))}.</p>
      <ol aria-labelledby="title">
        ${repeat(
          passSentences(map, table),
          ({ words }) => words,
          (said) => this.renderSaid(map, said),
        )}
      </ol>
      ${
        ignored.length === 0
          ? nothing
          : html`<details>
              <summary>${msg(str`${ignored.length} ignored`)}</summary>
              <ul>
                ${ignored.map((each) => {
                  const words = differenceWords(map, table, each);
                  return html`<li>
                    <p>${sentence(words)}.</p>
                    <div class="acts">
                      <button
                        aria-label=${msg(str`Bring back: ${words}`)}
                        @click=${() => void heedDifferences(session, words, [each])}
                      >
                        ${msg('Bring back')}
                      </button>
                    </div>
                  </li>`;
                })}
              </ul>
            </details>`
      }`;
  }

  private renderSaid(map: SongMap, { words, differences }: PassSentence): unknown {
    const { session, table } = this;
    const [first] = differences;
    if (!first) return nothing;
    const what = copiedBy(first);
    const place = { table, pass: first.pass, column: first.column };
    const asking = this.asking === words && what !== undefined;
    return html`<li class=${this.isNow(map, differences) ? 'now' : ''}>
      <p>${sentence(words)}.</p>
      <div class="acts" role="group" aria-label=${words}>
        <button aria-label=${msg(str`Hear it: ${words}`)} @click=${() => this.hear(differences)}>
          ${msg('Hear it')}
        </button>
        ${
          partnerOf(place) === undefined || first.kind === 'key'
            ? nothing
            : html`<button
                aria-label=${msg(str`Hear both: ${words}`)}
                @click=${() => {
                  this.goTo(first);
                  void hearBoth(session, place);
                }}
              >
                ${msg('Hear both')}
              </button>`
        }
        ${
          what === undefined
            ? nothing
            : html`<button
                aria-expanded=${asking}
                aria-label=${msg(str`Make the same: ${words}`)}
                @click=${() => (this.asking = asking ? undefined : words)}
              >
                ${msg('Make the same…')}
              </button>`
        }
        <button
          aria-label=${msg(str`Ignore: ${words}`)}
          @click=${() => void ignoreDifferences(session, words, differences)}
        >
          ${msg('Ignore')}
        </button>
      </div>
      ${asking ? this.renderChoice(map, first, what) : nothing}
    </li>`;
  }

  private renderChoice(map: SongMap, { column }: PassDifference, what: 'chords' | 'lengths'): unknown {
    const { session, table } = this;
    return html`<div class="which" role="group" aria-label=${msg('Which is right?')}>
      <span>${msg('Which is right? The others become like it.')}</span>
      ${readingsOf(map, table, column, what).map(({ text, passes }) => {
        const from = passes[0] ?? 0;
        const to = table.passes.map((_, pass) => pass).filter((pass) => pass !== from);
        return html`<button
          @click=${() => {
            this.asking = undefined;
            void makeBarsSame(session, { table, column, from, to, what });
          }}
        >
          <b>${text}</b><span>${msg(str`as in ${passesText(passes)}`)}</span>
        </button>`;
      })}
    </div>`;
  }

  private hear(differences: readonly PassDifference[]): void {
    const map = this.session.map.peek();
    const [first] = differences;
    if (!map || !first) return;
    this.goTo(first);
    const stretches = differences.flatMap((each) => differenceStretch(map, this.table, each) ?? []);
    void this.session.playStretches(stretches);
  }

  private goTo({ time }: PassDifference): void {
    this.session.view.selection.value = undefined;
    this.session.view.cursor.value = time;
  }

  /** The bar under the cursor is one that the sentence speaks of. */
  private isNow(map: SongMap, differences: readonly PassDifference[]): boolean {
    const bar = barNear(map, this.session.view.cursor.value);
    const place = bar === undefined ? undefined : passPlaceOf([this.table], bar);
    return (
      place !== undefined &&
      differences.some((each) => {
        const last = 'lastColumn' in each ? each.lastColumn : each.column;
        return each.kind !== 'key' && each.pass === place.pass && place.column >= each.column && place.column <= last;
      })
    );
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-pass-differences': PassDifferences;
  }
}
