import { msg, str } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { SongMap } from '../../../model/song-map.js';
import { countedAs, emptyStrum, usualStrums, withParts, withStroke } from '../../../music/strum-patterns.js';
import { parseStrum, STROKES, strumText, type Stroke, type Strum } from '../../../music/strum.js';
import { setSectionStrum } from '../../map/section-actions.js';
import type { Session, Settings } from '../../kit/session.js';
import { reasonOf } from '../../kit/words.js';
import { SignalElement } from '../../kit/signal-element.js';
import { checkRow, numberOf, partsOfBeat, set, valueOf } from '../../kit/fields.js';
import { base, controls } from '../../kit/styles/shared.js';
import { levelText } from '../../kit/level-text.js';
import { strumEditorStyles } from './strum-editor-styles.js';
import { strokeMark, strumMark, strumMarkStyles } from '../../kit/strum-mark.js';
import { cellWords, fitWords, sectionText, strumTargetOf, type StrumTarget } from './strum-words.js';

/** A pattern that is being made and is not the section's yet, so that a pattern is one step to undo however it was made. */
interface Draft {
  readonly letter: string;
  readonly strum: Strum;
}

/** How the section under the cursor and its other passes are strummed: a grid of strokes, the same as text, patterns to start from. */
@customElement('bw-strum-editor')
export class StrumEditor extends SignalElement {
  static override styles = [base, controls, strumMarkStyles, strumEditorStyles];

  @property({ attribute: false }) session!: Session;
  @state() private draft: Draft | undefined;
  /** What is in the text field while it cannot be read, or is being typed. */
  @state() private typed: { readonly text: string; readonly fault?: string } | undefined;
  /** The cell with the tab stop. */
  @state() private place = 0;

  override render(): unknown {
    const map = this.session.map.value;
    const target = map && strumTargetOf(map, this.session.view.cursor.value);
    if (!map || !target) return html`<p class="soft">${msg('There are no sections to strum yet.')}</p>`;
    const strum = this.shown(target);
    return html`${this.renderSection(map, target)} ${this.renderParts(target, strum)} ${this.renderGrid(target, strum)}
    ${this.renderText(target, strum)} ${this.renderActions(target, strum)} ${this.renderUsual(target)}
    ${this.renderHeard(this.session.settings.value)}`;
  }

  private shown({ section, beats, compound }: StrumTarget): Strum {
    if (this.draft?.letter === section.letter) return this.draft.strum;
    return section.strum ?? emptyStrum(beats, compound ? 3 : 2);
  }

  private renderSection(map: SongMap, { section, passes }: StrumTarget): unknown {
    const firsts = map.sections.filter(
      (each, i) => map.sections.findIndex(({ letter }) => letter === each.letter) === i,
    );
    return html`<div class="row">
      <select
        aria-label=${msg('Section')}
        @change=${(event: Event) => {
          const value = valueOf(event);
          const chosen = map.sections.find(({ letter }) => letter === value);
          this.drop();
          if (chosen) this.session.view.cursor.value = chosen.start;
        }}
      >
        ${firsts.map(
          (each) =>
            html`<option value=${each.letter} .selected=${each.letter === section.letter}>
              ${sectionText(each)}
            </option>`,
        )}
      </select>
      <span class="soft">${passes > 1 ? msg(str`all ${passes} passes`) : ''}</span>
    </div>`;
  }

  private renderParts(target: StrumTarget, strum: Strum): unknown {
    const choose = (parts: 1 | 2 | 3 | 4): void => {
      this.place = 0;
      this.change(target, withParts(strum, parts));
    };
    return partsOfBeat('stroke', strum.parts, choose, msg('strokes a beat'));
  }

  private renderGrid(target: StrumTarget, strum: Strum): unknown {
    const { parts, strokes } = strum;
    const beats = Math.ceil(strokes.length / parts);
    const stop = Math.min(this.place, strokes.length - 1);
    return html`<div class="grid" role="group" aria-label=${msg('Strokes of a bar, beat by beat')}>
        ${Array.from({ length: beats }, (_, beat) => {
          const first = beat * parts;
          const cells = [...strokes.slice(first, first + parts)];
          return html`<div class="beat" .style="grid-template-columns:repeat(${cells.length},auto)">
            ${cells.map((_, i) => html`<span class="count" aria-hidden="true">${countedAs(parts, first + i)}</span>`)}
            ${cells.map(
              (stroke, i) =>
                html`<button
                  class="cell ${stroke === '-' ? 'rest' : ''}"
                  data-place=${first + i}
                  tabindex=${first + i === stop ? 0 : -1}
                  aria-label=${cellWords(strum, first + i)}
                  @click=${() => this.cycle(target, strum, first + i)}
                  @focus=${() => (this.place = first + i)}
                  @keydown=${(event: KeyboardEvent) => this.keyed(event, target, strum, first + i)}
                >
                  ${strokeMark(stroke as Stroke)}
                </button>`,
            )}
          </div>`;
        })}
      </div>
      <p class="soft">${msg('Press a place for the next stroke, or type d, u, D, U, x or - on it.')}</p>`;
  }

  private renderText(target: StrumTarget, strum: Strum): unknown {
    const fault = this.typed?.fault;
    return html`<form
      class="row"
      @submit=${(event: Event) => {
        event.preventDefault();
        if (this.typed?.fault === undefined) this.take(target, this.shown(target));
      }}
    >
      <label class="wide" for="text">${msg('As text')}</label>
      <input
        id="text"
        type="text"
        autocomplete="off"
        autocapitalize="off"
        spellcheck="false"
        aria-invalid=${fault === undefined ? 'false' : 'true'}
        aria-describedby="fault"
        .value=${this.typed?.text ?? strumText(strum)}
        @input=${(event: Event) => this.read(valueOf(event), target)}
      />
      <p id="fault" class="fault" aria-live="polite">${fault ?? nothing}</p>
    </form>`;
  }

  private renderActions(target: StrumTarget, strum: Strum): unknown {
    const { section, passes } = target;
    const changed = this.draft?.letter === section.letter && !same(strum, section.strum);
    const empty = !/[^-]/.test(strum.strokes);
    const fit = empty ? undefined : fitWords(strum, target);
    return html`${fit ? html`<p class="soft">${fit}</p>` : nothing}
      <div class="row">
        <button
          class="main"
          ?disabled=${!changed || empty || this.typed?.fault !== undefined}
          @click=${() => this.take(target, strum)}
        >
          ${passes > 1 ? msg(str`Set for ${sectionText(section)}, ${passes} passes`) : msg(str`Set for ${sectionText(section)}`)}
        </button>
        ${changed ? html`<button @click=${() => this.drop()}>${msg('As it was')}</button>` : nothing}
        <button ?disabled=${section.strum === undefined} @click=${() => this.take(target, undefined)}>
          ${msg('No pattern')}
        </button>
      </div>`;
  }

  private renderUsual(target: StrumTarget): unknown {
    return html`<h2>${msg('To start from')}</h2>
      <div class="usual">
        ${usualStrums(target.beats, target.compound).map(
          ({ name, strum }) =>
            html`<button
              aria-label=${msg(str`Start from ${name}: ${strumText(strum)}`)}
              @click=${() => this.change(target, strum)}
            >
              <span>${name}</span>${strumMark(strum)}
            </button>`,
        )}
      </div>`;
  }

  private renderHeard(settings: Settings): unknown {
    return html`<h2>${msg('Heard')}</h2>
      ${checkRow(this.session, msg('Play the strum with the recording'), 'strumOn')}
      <label class="row"
        >${msg('Level')}
        <input
          type="range"
          min="0"
          max="100"
          aria-label=${msg('Strum level')}
          aria-valuetext=${levelText(settings.strumLevel)}
          ?disabled=${!settings.strumOn}
          .value=${String(Math.round(settings.strumLevel * 100))}
          @input=${(event: Event) => set(this.session, { strumLevel: numberOf(event) / 100 })}
      /></label>`;
  }

  private cycle(target: StrumTarget, strum: Strum, place: number): void {
    const now = STROKES.indexOf(strum.strokes[place] as Stroke);
    this.place = place;
    this.change(target, withStroke(strum, place, STROKES[(now + 1) % STROKES.length]!));
  }

  private keyed(event: KeyboardEvent, target: StrumTarget, strum: Strum, place: number): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const last = strum.strokes.length - 1;
    const steps: Readonly<Record<string, number>> = {
      ArrowLeft: place - 1,
      ArrowRight: place + 1,
      ArrowUp: place - strum.parts,
      ArrowDown: place + strum.parts,
      Home: 0,
      End: last,
    };
    const stroke = STROKES.find((each) => each === event.key) ?? (event.key === 'X' ? 'x' : undefined);
    const gone = event.key === 'Delete' || event.key === 'Backspace';
    const to = steps[event.key];
    if (stroke === undefined && !gone && to === undefined) return;
    // Letters mean strokes here, not commands.
    event.preventDefault();
    if (stroke !== undefined || gone) this.change(target, withStroke(strum, place, stroke ?? '-'));
    this.focusOn(Math.max(0, Math.min(last, to ?? place + 1)));
  }

  private focusOn(place: number): void {
    this.place = place;
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>(`[data-place="${place}"]`)?.focus());
  }

  private read(text: string, target: StrumTarget): void {
    try {
      this.draft = { letter: target.section.letter, strum: parseStrum(text, target.beats) };
      this.typed = { text };
    } catch (error) {
      this.typed = { text, fault: reasonOf(error) };
    }
  }

  private change({ section }: StrumTarget, strum: Strum): void {
    this.draft = { letter: section.letter, strum };
    this.typed = undefined;
  }

  private take({ section }: StrumTarget, strum: Strum | undefined): void {
    if (strum && !/[^-]/.test(strum.strokes)) return;
    this.drop();
    if (!same(strum, section.strum)) void setSectionStrum(this.session, section.id, strum);
  }

  private drop(): void {
    this.draft = undefined;
    this.typed = undefined;
  }
}

function same(a: Strum | undefined, b: Strum | undefined): boolean {
  return a?.parts === b?.parts && a?.strokes === b?.strokes;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-strum-editor': StrumEditor;
  }
}
