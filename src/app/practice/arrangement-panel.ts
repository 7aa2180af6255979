import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { arrangementStretches, itemSection } from '../../model/play-order.js';
import type { Arrangement, ArrangementItem, SongMap } from '../../model/song-map.js';
import {
  addItem,
  chooseArrangement,
  dropArrangement,
  moveItem,
  newArrangement,
  removeItem,
  renameArrangement,
  setEarly,
} from './arrangement-actions.js';
import { clockText } from '../../music/clock-text.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { bounded, numberOf, valueOf } from '../kit/fields.js';
import { sectionColour } from '../../model/section-colours.js';
import { sectionText } from '../chords/strum/strum-words.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';

/** The sections to play, in any order and number: arrangements kept with the song. */
@customElement('bw-arrangement-panel')
export class ArrangementPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panel,
    css`
      ol {
        margin: 0 0 var(--space-2);
        padding: 0;
        list-style: none;
        border-top: var(--rule-width) solid var(--rule);
      }
      li {
        display: grid;
        grid-template-columns: 1.6rem minmax(0, 1fr) auto;
        align-items: center;
        gap: var(--space-2);
        border-bottom: var(--rule-width) solid var(--rule);
        padding: 2px 0 2px var(--space-2);
        border-left: 4px solid transparent;
      }
      .name {
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .tools {
        display: flex;
        gap: 2px;
      }
      .tools button {
        padding: 0 var(--space-2);
      }
      input[type='number'] {
        width: 3.2rem;
        padding: 0 var(--space-1);
      }
      input[type='text'] {
        flex: 1;
        min-width: 6rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const chosen = map.arrangements?.find(({ id }) => id === session.practice.value.arrangement);
    return html`<h2>${msg('Arrangement')}</h2>
      <div class="row">
        <select
          aria-label=${msg('Arrangement that is played')}
          @change=${(event: Event) => chooseArrangement(session, valueOf(event) || undefined)}
        >
          <option value="" ?selected=${!chosen}>${msg('as recorded')}</option>
          ${(map.arrangements ?? []).map(
            ({ id, name }) => html`<option value=${id} ?selected=${id === chosen?.id}>${name}</option>`,
          )}
        </select>
        <button ?disabled=${map.sections.length === 0} @click=${() => void newArrangement(session)}>
          ${msg('New')}
        </button>
        ${chosen ? html`<button @click=${() => void dropArrangement(session, chosen)}>${msg('Take away')}</button>` : nothing}
      </div>
      ${chosen ? this.renderItems(map, chosen) : html`<p>${msg('Choose which sections are played, and in which order.')}</p>`}`;
  }

  private renderItems(map: SongMap, chosen: Arrangement): unknown {
    const { session } = this;
    const length = arrangementStretches(map, chosen.items).reduce((sum, { from, until }) => sum + until - from, 0);
    return html`<div class="row">
        <input
          type="text"
          aria-label=${msg('Name of the arrangement')}
          .value=${chosen.name}
          @change=${(event: Event) => void renameArrangement(session, chosen, valueOf(event))}
        />
        <span class="soft">${clockText(length)}</span>
      </div>
      <ol>
        ${chosen.items.map((item, i) => this.renderItem(map, chosen, item, i))}
      </ol>
      <p>${msg('The number: how many beats before its first bar belong to a section, such as a sung pickup.')}</p>
      <div class="row">
        <select
          aria-label=${msg('Add a section')}
          @change=${(event: Event) => {
            const select = event.target as HTMLSelectElement;
            void addItem(session, chosen, Number(select.value));
            select.value = '';
          }}
        >
          <option value="" selected>${msg('Add a section…')}</option>
          ${map.sections.map(
            (section, i) => html`<option value=${i}>${sectionText(section)}, ${clockText(section.start)}</option>`,
          )}
        </select>
      </div>`;
  }

  private renderItem(map: SongMap, chosen: Arrangement, item: ArrangementItem, i: number): unknown {
    const { session } = this;
    const section = map.sections[itemSection(map, item) ?? -1];
    const name = section?.name ?? msg('no bars there any more');
    const which = `${i + 1}. ${name}`;
    return html`<li .style=${section ? `border-left-color:${sectionColour(section.letter)}` : ''}>
      <span class="music">${section?.letter ?? '?'}</span>
      <span class="name" title=${section ? `${name}, ${clockText(section.start)}` : name}
        >${name === section?.letter ? '' : name}</span
      >
      <span class="tools">
        <input
          type="number"
          min="0"
          max="16"
          title=${msg('Beats before its first bar that belong to it, such as a sung pickup')}
          aria-label=${msg(str`${which}: begins so many beats early`)}
          .value=${String(item.early ?? 0)}
          @change=${(event: Event) => {
            const early = bounded(numberOf(event), 0, 16);
            void setEarly(session, chosen, i, early);
          }}
        />
        <button
          aria-label=${msg(str`${which}: up`)}
          ?disabled=${i === 0}
          @click=${() => void moveItem(session, chosen, i, -1)}
        >
          ↑
        </button>
        <button
          aria-label=${msg(str`${which}: down`)}
          ?disabled=${i === chosen.items.length - 1}
          @click=${() => void moveItem(session, chosen, i, 1)}
        >
          ↓
        </button>
        <button aria-label=${msg(str`${which}: take out`)} @click=${() => void removeItem(session, chosen, i)}>
          ×
        </button>
      </span>
    </li>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-arrangement-panel': ArrangementPanel;
  }
}
