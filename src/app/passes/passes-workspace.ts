import { msg, str } from '@lit/localize';
import './form-glance.js';
import './pass-differences.js';
import './pass-grid-view.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { sectionNear } from '../map/places.js';
import { counted } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { MediaController } from '../kit/owners.js';
import { SignalElement } from '../kit/signal-element.js';
import { sectionColour } from '../../model/section-colours.js';
import { base, controls } from '../kit/styles/shared.js';
import { workspace } from '../kit/styles/workspaces.js';
import { emptyText, letterChoices, type LetterChoice } from './pass-cell-words.js';

/** The workspace "Passes": the passes of the section under the cursor, what differs between them, and the form of the song. */
@customElement('bw-passes-workspace')
export class PassesWorkspace extends SignalElement {
  static override styles = [
    base,
    controls,
    workspace,
    css`
      .main,
      .side {
        overflow: auto;
        min-height: 0;
        padding: var(--space-3) var(--space-4) var(--space-5);
      }
      .side {
        border-left: var(--rule-width) solid var(--rule);
      }
      .letters {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-1) var(--space-2);
        margin-bottom: var(--space-3);
        font-size: var(--text-small);
      }
      .letters button {
        padding: 0 var(--space-2) 0 0;
        max-width: 100%;
        overflow: hidden;
        overflow-wrap: anywhere;
        text-align: left;
      }
      .letter {
        align-self: stretch;
        display: grid;
        place-items: center;
        min-width: 1.9em;
        border-left: 4px solid;
        font-weight: 700;
      }
      .times {
        color: var(--ink-soft);
      }
      button[aria-pressed='true'] .times {
        color: inherit;
      }
      .empty {
        max-width: 34rem;
        color: var(--ink-soft);
        margin: var(--space-2) 0 var(--space-4);
      }
      bw-form-glance {
        margin-top: var(--space-5);
        padding-top: var(--space-3);
        border-top: var(--rule-width) solid var(--rule-strong);
      }
      :host([data-alone]) {
        grid-template-columns: minmax(0, 1fr);
      }
      @media (max-width: 720px) {
        :host,
        :host([data-alone]) {
          display: block;
          overflow: auto;
        }
        .main,
        .side {
          overflow: visible;
          padding: var(--space-2) var(--space-3) var(--space-3);
        }
        bw-form-glance {
          margin-top: 0;
          padding-top: 0;
          border-top: 0;
        }
        .side {
          border-left: 0;
          border-top: var(--rule-width) solid var(--rule-strong);
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  private readonly narrow = new MediaController(this, '(max-width: 720px)');

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const tables = session.passes.value;
    const letter = sectionNear(map, session.view.cursor.value)?.letter;
    const table = tables.find((each) => each.letter === letter);
    const empty = emptyText(map, tables, letter);
    this.toggleAttribute('data-alone', table === undefined);
    const form = html`<bw-form-glance data-region="form" .session=${session}></bw-form-glance>`;
    return html`<div class="main">
        ${this.renderLetters(letterChoices(map, tables), letter)}
        ${empty === undefined ? nothing : html`<p class="empty">${empty}</p>`}
        ${
          table
            ? html`<bw-pass-grid data-region="passes" .session=${session} .letter=${table.letter}></bw-pass-grid>`
            : nothing
        }
        ${this.narrow.matches ? nothing : form}
      </div>
      ${
        table
          ? html`<div class="side">
              <bw-pass-differences
                data-region="differences"
                .session=${session}
                .letter=${table.letter}
              ></bw-pass-differences>
            </div>`
          : nothing
      }
      ${this.narrow.matches ? html`<div class="side">${form}</div>` : nothing}`;
  }

  private renderLetters(choices: readonly LetterChoice[], chosen: string | undefined): unknown {
    if (choices.length === 0) return nothing;
    return html`<div class="letters" role="group" aria-label=${msg('Section')} data-region="letters">
      ${choices.map(
        ({ letter, name, passes, open, start }) =>
          html`<button
            aria-pressed=${letter === chosen}
            @click=${() => {
              this.session.view.selection.value = undefined;
              if (letter !== chosen) this.session.view.cursor.value = start;
            }}
          >
            <span class="letter" .style="border-color:${sectionColour(letter)}">${letter}</span>
            ${name === letter ? nothing : html`<span>${name}</span>`}
            <span class="times">${timesText(passes, open)}</span>
          </button>`,
      )}
    </div>`;
  }
}

function timesText(passes: number, open: number): string {
  if (passes === 1) return msg('once');
  if (open === 0) return msg(str`${passes} passes`);
  return msg(str`${passes} passes, ${counted(open, msg('difference'), msg('differences'))}`);
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-passes-workspace': PassesWorkspace;
  }
}
