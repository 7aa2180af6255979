import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import {
  acceptSectionById,
  acceptSections,
  cutSectionAt,
  joinToSectionBefore,
  moveSectionStart,
  nameBars,
  refuseSectionById,
  renameSectionTo,
  SECTION_NAMES,
  setSectionSwing,
} from './section-actions.js';
import { numberText } from '../../music/number-text.js';
import { sentence } from '../kit/sentences.js';
import { commandButton, keyOf } from '../kit/command-button.js';
import { SignalElement } from '../kit/signal-element.js';
import { sectionColour } from '../../model/section-colours.js';
import { base, controls } from '../kit/styles/shared.js';
import { sectionTargetOf, type SectionTarget } from './section-target.js';

/** A strip about the section under the cursor, and about the selected bars as a section to be. */
@customElement('bw-section-tools')
export class SectionTools extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        background: var(--paper);
        border-top: 1px solid var(--rule-strong);
        padding: var(--space-2) var(--space-4);
        font-size: var(--text-small);
      }
      .strip {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: var(--space-1) var(--space-1);
      }
      .strip + .strip {
        margin-top: var(--space-2);
      }
      .about {
        display: flex;
        align-items: center;
        gap: var(--space-2);
        margin-right: var(--space-2);
        min-width: 0;
      }
      .letter {
        flex: none;
        display: grid;
        place-items: center;
        width: 1.5rem;
        height: 1.5rem;
        border-radius: var(--radius);
        border: 2px solid var(--section);
        background: color-mix(in srgb, var(--section) 24%, var(--paper));
        font-family: var(--music);
        font-weight: 600;
        line-height: 1;
      }
      .suggested .letter {
        border-style: dashed;
        background: none;
      }
      .about b {
        font-family: var(--music);
        font-size: var(--text);
        font-weight: 600;
        white-space: nowrap;
      }
      .about .soft {
        white-space: nowrap;
      }
      .suggested b {
        font-weight: 400;
        font-style: italic;
      }
      button {
        padding: 0 var(--space-2);
        white-space: nowrap;
      }
      .pair {
        display: inline-flex;
        align-items: center;
        gap: var(--space-1);
        margin-left: var(--space-1);
        white-space: nowrap;
      }
      .new {
        font-weight: 600;
        margin-right: var(--space-1);
      }
      input {
        width: 8.5rem;
      }
      ::placeholder {
        color: var(--ink-soft);
        opacity: 1;
      }
      select {
        max-width: 6.25rem;
      }
      form {
        display: contents;
      }
      @media (max-width: 720px) {
        :host {
          border-top: 0;
          padding: 0;
        }
        .about {
          flex-basis: 100%;
        }
        .pair {
          margin-left: 0;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** The section whose name is being typed. */
  @state() private renaming: string | undefined;

  override render(): unknown {
    const map = this.session.map.value;
    if (!map) return nothing;
    const { cursor, selection } = this.session.view;
    const target = sectionTargetOf(map, cursor.value, selection.value);
    if (!target) return nothing;
    return html`${target.chosen ? this.renderNaming(target.chosen) : nothing}
    ${this.renderSection(target, map.sections.filter((section) => section.origin === 'suggested').length)}`;
  }

  private renderNaming({ first, last, text }: NonNullable<SectionTarget['chosen']>): unknown {
    const key = keyOf(this.session, 'section-name');
    const take = (name: string): void => void nameBars(this.session, { first, last }, name);
    return html`<div class="strip" role="group" aria-label=${msg(str`Name ${text}`)}>
      <span class="new">${sentence(text)}:</span>
      ${SECTION_NAMES.map((name) => html`<button @click=${() => take(name)}>${name}</button>`)}
      <form @submit=${(event: Event) => this.submitName(event, take)}>
        <input
          type="text"
          name="name"
          maxlength="60"
          autocomplete="off"
          aria-label=${msg(str`Another name for ${text}`)}
          placeholder="${msg('Another name')}${key ? ` (${key})` : ''}"
        />
      </form>
    </div>`;
  }

  private renderSection(target: SectionTarget, suggestions: number): unknown {
    const { session } = this;
    const { section, previous, next, splitAt } = target;
    const { id, name } = section;
    return html`<div
      class="strip ${target.suggested ? 'suggested' : ''}"
      role="group"
      aria-label=${
        target.suggested
          ? msg(str`Section ${section.letter} ${name}, suggested`)
          : msg(str`Section ${section.letter} ${name}`)
      }
      .style="--section:${sectionColour(section.letter)}"
    >
      <span class="about">
        <span class="letter" aria-hidden="true">${section.letter}</span>
        ${this.renaming === id ? this.renderRenaming(target) : html`<b>${name === section.letter ? nothing : name}</b>`}
        <span class="soft">${target.bars}</span>
      </span>
      ${
        target.suggested
          ? html`<button title=${msg('Keep this section as it is')} @click=${() => void acceptSectionById(session, id)}>
                ${msg('Accept')}
              </button>
              ${
                suggestions > 1
                  ? html`<button
                      title=${msg(str`Keep all ${suggestions} suggested sections`)}
                      @click=${() => void acceptSections(session)}
                    >
                      ${msg('Accept all')}
                    </button>`
                  : nothing
              }
              <button
                title=${msg('It is no section of its own: its bars go to the one beside it')}
                ?disabled=${!previous && !next}
                @click=${() => void refuseSectionById(session, id)}
              >
                ${msg('Refuse')}
              </button>`
          : nothing
      }
      <button @click=${() => this.startRenaming(id)}>${msg('Rename')}</button>
      <button
        ?disabled=${splitAt === undefined}
        title=${splitAt === undefined ? msg('Put the cursor on a later bar of the section') : msg('A section begins at this bar')}
        @click=${() => {
          if (splitAt !== undefined) void cutSectionAt(session, splitAt);
        }}
      >
        ${msg('Split here')}
      </button>
      <span class="pair" role="group" aria-label=${msg('Merge')}>
        <span class="soft">${msg('Merge')}</span>
        <button
          ?disabled=${!previous}
          title=${previous ? msg(str`One section with ${previous.name}`) : msg('It is the first')}
          aria-label=${msg('With the previous section')}
          @click=${() => {
            void joinToSectionBefore(session, id);
          }}
        >
          ‹
        </button>
        <button
          ?disabled=${!next}
          title=${next ? msg(str`One section with ${next.name}`) : msg('It is the last')}
          aria-label=${msg('With the next section')}
          @click=${() => {
            if (next) void joinToSectionBefore(session, next.id);
          }}
        >
          ›
        </button>
      </span>
      <span class="pair" role="group" aria-label=${msg('Where it starts')}>
        <span class="soft">${msg('Start')}</span>
        <button
          ?disabled=${!previous}
          title=${msg('It starts one bar earlier')}
          aria-label=${msg('One bar earlier')}
          @click=${() => void moveSectionStart(session, id, target.first - 1)}
        >
          ‹
        </button>
        <button
          ?disabled=${!previous}
          title=${msg('It starts one bar later')}
          aria-label=${msg('One bar later')}
          @click=${() => void moveSectionStart(session, id, target.first + 1)}
        >
          ›
        </button>
      </span>
      ${this.renderSwing(target)} ${commandButton(session, 'strum-edit', msg('Strum…'))}
    </div>`;
  }

  /** Swing belongs to the section: the ratio of the long to the short eighth. */
  private renderSwing({ section }: SectionTarget): unknown {
    const { id, swing } = section;
    const known = SWINGS.some(([ratio]) => ratio === swing);
    return html`<label class="pair">
      <select
        aria-label=${msg('Swing of the section')}
        @change=${(event: Event) => {
          const { value } = event.target as HTMLSelectElement;
          void setSectionSwing(this.session, id, value === '' ? undefined : Number(value));
        }}
      >
        ${SWINGS.map(
          ([ratio, name]) => html`<option value=${ratio ?? ''} .selected=${ratio === swing}>${name}</option>`,
        )}
        ${known || swing === undefined ? nothing : html`<option value=${swing} selected>${msg(str`swing ${numberText(swing, 2)}:1`)}</option>`}
      </select>
    </label>`;
  }

  private renderRenaming({ section }: SectionTarget): unknown {
    const { id, name } = section;
    return html`<form
      @submit=${(event: Event) => this.submitName(event, (text) => void renameSectionTo(this.session, id, text))}
    >
      <input
        id="name"
        type="text"
        name="name"
        maxlength="60"
        autocomplete="off"
        list="names"
        aria-label=${msg('Name of the section')}
        .value=${name}
        @keydown=${(event: KeyboardEvent) => {
          if (event.key === 'Escape') this.endRenaming();
        }}
      />
      <datalist id="names">${SECTION_NAMES.map((each) => html`<option value=${each}></option>`)}</datalist>
      <button type="submit">${msg('OK')}</button>
    </form>`;
  }

  private submitName(event: Event, take: (name: string) => void): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const field = form.elements.namedItem('name') as HTMLInputElement;
    const name = field.value.trim();
    if (name !== '') take(name);
    field.value = '';
    this.endRenaming();
  }

  private startRenaming(id: string): void {
    this.renaming = id;
    void this.updateComplete.then(() => {
      const field = this.renderRoot.querySelector<HTMLInputElement>('#name');
      field?.focus();
      field?.select();
    });
  }

  private endRenaming(): void {
    this.renaming = undefined;
  }
}

/** Ratios of long to short eighth that players name. Common practice, no source. */
const SWINGS: readonly (readonly [number | undefined, string])[] = [
  [undefined, msg('no swing')],
  [1, msg('straight')],
  [1.5, msg('light swing, 3:2')],
  [2, msg('triplet swing, 2:1')],
  [3, msg('hard swing, 3:1')],
];

declare global {
  interface HTMLElementTagNameMap {
    'bw-section-tools': SectionTools;
  }
}
