import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { sectionOfBar } from '../../model/map-queries.js';
import { barNear } from '../map/places.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { sectionColour } from '../../model/section-colours.js';
import { base, controls } from '../kit/styles/shared.js';
import { formTable, type FormRow } from './form-rows.js';

/** The form of the song at a glance: its sections in order with totals that add up to the recording, and in a sentence. */
@customElement('bw-form-glance')
export class FormGlance extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      h2 {
        margin: 0 0 var(--space-1);
        font-size: var(--text);
      }
      p {
        margin: 0 0 var(--space-2);
        max-width: 46rem;
      }
      .sentence {
        font-family: var(--music);
      }
      table {
        border-collapse: collapse;
        font-variant-numeric: tabular-nums;
        font-size: var(--text-small);
        width: 100%;
        max-width: 46rem;
      }
      th,
      td {
        text-align: left;
        font-weight: 400;
        padding: 0 var(--space-3) 0 0;
        border-top: var(--rule-width) solid var(--rule);
        height: 1.9rem;
        white-space: nowrap;
      }
      thead th {
        color: var(--ink-soft);
        border-top: 0;
      }
      .figure {
        text-align: right;
      }
      .name {
        width: 99%;
        white-space: normal;
        overflow-wrap: anywhere;
      }
      .letter {
        display: inline-block;
        min-width: 1.5em;
        text-align: center;
        border-left: 4px solid;
        font-weight: 600;
      }
      tbody tr.section {
        cursor: pointer;
      }
      tr[aria-current] {
        background: var(--select);
      }
      tr.gap .name {
        padding-left: calc(var(--space-2) + 1px);
      }
      tr.gap {
        color: var(--ink-soft);
      }
      tfoot th,
      tfoot td {
        border-top: 2px solid var(--ink);
        font-weight: 600;
      }
      button.name-button {
        justify-content: flex-start;
        text-align: left;
        overflow-wrap: anywhere;
      }
      td:last-child {
        padding-right: 0;
      }
      @media (hover: hover) {
        tbody tr.section:not([aria-current]):hover {
          background: var(--paper-sunk);
        }
      }
      @media (max-width: 720px) {
        th,
        td {
          padding-right: var(--space-2);
        }
        .wide {
          display: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const { rows, totals, sentence, folded } = formTable(map);
    const bar = barNear(map, session.view.cursor.value);
    const now = bar === undefined ? undefined : sectionOfBar(map, bar);
    const hasSwing = rows.some(({ swing }) => swing !== '');
    return html`<h2 id="title">${msg('The form')}</h2>
      ${sentence === '' ? nothing : html`<p class="sentence">${sentence}.</p>`}
      ${folded === '' ? nothing : html`<p class="soft">${msg(str`As a chart: ${folded}`)}</p>`}
      <table aria-labelledby="title">
        <thead>
          <tr>
            <th scope="col" colspan="2">${msg('Section')}</th>
            <th scope="col" class="figure">${msg('Bars')}</th>
            <th scope="col" class="wide"><span class="hidden-text">${msg('Irregular bars')}</span></th>
            <th scope="col" class="figure">${msg('Beats')}</th>
            ${hasSwing ? html`<th scope="col">${msg('Swing')}</th>` : nothing}
            <th scope="col" class="figure">${msg('Time')}</th>
            <th scope="col"><span class="hidden-text">${msg('Hear')}</span></th>
          </tr>
        </thead>
        <tbody>
          ${rows.map((row) => this.renderRow(row, row.section !== undefined && row.section === now, hasSwing))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row" colspan="2">${msg('The whole recording')}</th>
            <td class="figure">${totals.bars}</td>
            <td class="wide"></td>
            <td class="figure">${totals.beats}</td>
            ${hasSwing ? html`<td></td>` : nothing}
            <td class="figure">${totals.span}</td>
            <td></td>
          </tr>
        </tfoot>
      </table>`;
  }

  private renderRow(row: FormRow, isNow: boolean, hasSwing: boolean): unknown {
    const isSection = row.kind === 'section';
    const go = (): void => this.goTo(row);
    return html`<tr class=${row.kind} aria-current=${isNow ? 'true' : nothing} @click=${isSection ? go : nothing}>
      <td>
        ${isSection ? html`<span class="letter" .style="border-color:${sectionColour(row.letter)}">${row.letter}</span>` : nothing}
      </td>
      <td class="name">
        ${isSection ? html`<button class="plain name-button" title=${msg(str`Go to ${row.name}`)}>${row.name}</button>` : row.name}
      </td>
      <td class="figure">${row.bars}</td>
      <td class="wide soft">${row.odd}</td>
      <td class="figure">${row.beats}</td>
      ${hasSwing ? html`<td>${row.swing}</td>` : nothing}
      <td class="figure">${row.span}</td>
      <td>
        <button
          class="plain"
          aria-label=${msg(str`Hear ${row.name}, ${row.span}`)}
          @click=${(event: Event) => {
            event.stopPropagation();
            this.hear(row);
          }}
        >
          ${msg('Hear')}
        </button>
      </td>
    </tr>`;
  }

  private goTo({ from }: FormRow): void {
    const { view, playing } = this.session;
    view.selection.value = undefined;
    view.cursor.value = from;
    // The sound goes along, as it does on the map.
    if (playing.peek()) void this.session.play(from);
  }

  private hear({ from, to, kind }: FormRow): void {
    if (kind === 'section') {
      this.session.view.selection.value = undefined;
      this.session.view.cursor.value = from;
    }
    void this.session.playStretches([{ from, until: to }]);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-form-glance': FormGlance;
  }
}
