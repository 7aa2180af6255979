import { msg, str } from '@lit/localize';
import { css, html, nothing, type PropertyValues } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { Doubt, SongMap } from '../../model/song-map.js';
import { doubtSubject, doubtText, worstFirst } from './doubts-state.js';
import { sentence } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { keyOf } from '../kit/command-button.js';
import { SignalElement } from '../kit/signal-element.js';
import { keyWithin } from '../kit/key-within.js';
import { base, controls } from '../kit/styles/shared.js';
import { readingText } from './reading-text.js';

/** The bars worth a listen, worst first: each to hear, and to settle by taking the shown or the other reading. */
@customElement('bw-doubts')
export class Doubts extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      h2 {
        display: flex;
        align-items: baseline;
        gap: var(--space-2);
        margin: 0 0 var(--space-2);
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
      }
      h2 .left {
        margin-left: auto;
        font-family: var(--plain);
        font-size: var(--text-small);
        font-weight: 400;
        color: var(--ink-soft);
      }
      p {
        margin: 0 0 var(--space-3);
        font-size: var(--text-small);
        color: var(--ink-soft);
      }
      ol {
        list-style: none;
        margin: 0;
        padding: 0;
        border-top: 1px solid var(--rule);
      }
      li {
        border-bottom: 1px solid var(--rule);
        border-left: 3px solid transparent;
        content-visibility: auto;
        contain-intrinsic-height: auto 2.75rem;
      }
      li.now {
        border-left-color: var(--ink);
        padding-bottom: var(--space-3);
      }
      .line {
        display: flex;
        align-items: stretch;
      }
      .line .what {
        flex: 1;
        min-width: 0;
        justify-content: flex-start;
        text-align: left;
        border: 0;
        border-radius: 0;
        padding: var(--space-2);
        font-size: var(--text-small);
        line-height: 1.35;
      }
      .what b {
        font-weight: 600;
      }
      .line .hear {
        flex: none;
        align-self: center;
        font-size: var(--text-small);
        padding: 0 var(--space-2);
      }
      .readings {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: var(--space-2);
        padding: 0 0 0 var(--space-2);
      }
      .readings button {
        min-height: var(--target);
        padding: var(--space-1) var(--space-2);
        flex-wrap: wrap;
        gap: 0 var(--space-2);
        line-height: 1.25;
        font-size: var(--text-small);
      }
      .readings b {
        font-weight: 600;
      }
      .readings .only,
      .readings .other {
        grid-column: 1 / -1;
      }
      .readings .other {
        min-height: 0;
        border-color: transparent;
        justify-content: flex-end;
      }
      .hear svg {
        width: 0.7em;
        height: 0.8em;
        fill: currentColor;
      }
      @media (hover: none) {
        kbd,
        .next {
          display: none;
        }
      }
      .done {
        font-family: var(--music);
        font-size: var(--text);
        color: var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  private scrolledTo: Doubt | undefined;
  private hadFocus = false;

  override render(): unknown {
    const map = this.session.map.value;
    if (!map) return nothing;
    const left = this.session.doubtsLeft.value;
    const now = this.session.view.doubt.value;
    const key = keyOf(this.session, 'doubt-next');
    return html`<h2 id="title">
        ${msg('Doubts')} <span class="left" role="status">${left === 0 ? '' : msg(str`${left} left`)}</span>
      </h2>
      ${
        left === 0
          ? html`<p class="done">${msg('No doubts left. Every bar is clear, or you have decided it.')}</p>`
          : html`<p>
                ${msg('Worst first.')}${
                  key
                    ? html` <span class="next"
                        >${keyWithin((name) => msg(str`${name} plays the next one.`), key)}</span
                      >`
                    : nothing
                }
              </p>
              <ol aria-labelledby="title">
                ${repeat(
                  worstFirst(map),
                  (index) => map.doubts[index]?.time ?? index,
                  (index) => this.renderDoubt(map, index, index === now),
                )}
              </ol>`
      }`;
  }

  protected override willUpdate(): void {
    this.hadFocus ||= this.shadowRoot?.activeElement?.matches('li *') ?? false;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    this.keepFocus();
    const now = this.session.view.doubt.peek();
    const doubt = now === undefined ? undefined : this.session.map.peek()?.doubts[now];
    if (doubt === this.scrolledTo) return;
    this.scrolledTo = doubt;
    if (doubt) this.renderRoot.querySelector('li.now')?.scrollIntoView({ block: 'nearest' });
  }

  /** A decided doubt takes its buttons away: who was on them goes on with the next one. */
  private keepFocus(): void {
    if (this.hadFocus && document.activeElement === document.body) {
      const list = this.renderRoot;
      (list.querySelector<HTMLElement>('li.now .what') ?? list.querySelector<HTMLElement>('.what'))?.focus();
    }
    this.hadFocus = false;
  }

  private renderDoubt(map: SongMap, index: number, now: boolean): unknown {
    const doubt = map.doubts[index];
    if (!doubt) return nothing;
    const text = doubtText(map, index);
    const subject = doubtSubject(map, index) ?? text;
    const sounding = now && this.session.playing.value && this.session.view.reading.value === 'keep';
    return html`<li class=${now ? 'now' : ''}>
      <div class="line">
        <button class="what" aria-expanded=${now} @click=${() => this.goTo(index)}>
          <span><b>${sentence(subject)}</b>${text.slice(subject.length)}</span>
        </button>
        <button
          class="hear"
          aria-label=${sounding ? msg(str`Stop ${subject}`) : msg(str`Hear ${subject}`)}
          @click=${() => (sounding ? this.session.stop() : void this.session.hearDoubt(index))}
        >
          ${sign(sounding)} ${sounding ? msg('Stop') : msg('Hear')}
        </button>
      </div>
      ${now ? this.renderReadings(map, index, doubt) : nothing}
    </li>`;
  }

  private renderReadings(map: SongMap, index: number, doubt: Doubt): unknown {
    const single = doubt.other.length === 0;
    const decide = (reading: 'keep' | 'other') => (): void => void this.session.decideDoubt(index, reading);
    const keep = keyOf(this.session, 'doubt-keep');
    const other = keyOf(this.session, 'doubt-other');
    return html`<div class="readings" role="group" aria-label=${msg('What is right?')}>
      <button class=${single ? 'only' : ''} title=${msg('Locks it as the map shows it')} @click=${decide('keep')}>
        <b>${readingText(map, doubt, doubt.keep)}</b>
        <span>${single ? msg('is right') : msg('as shown')}</span>
        ${keep ? html`<kbd>${keep}</kbd>` : nothing}
      </button>
      ${
        single
          ? nothing
          : html`<button title=${msg('Changes it and locks it')} @click=${decide('other')}>
                <b>${readingText(map, doubt, doubt.other)}</b> ${other ? html`<kbd>${other}</kbd>` : nothing}
              </button>
              ${this.renderHearOther(index)}`
      }
    </div>`;
  }

  private renderHearOther(index: number): unknown {
    const { session } = this;
    const sounding = session.playing.value && session.view.reading.value === 'other';
    const key = keyOf(session, 'doubt-hear-other');
    return html`<button
      class="hear other"
      title=${msg('The click counts as the other reading would; nothing is changed')}
      @click=${() => (sounding ? session.stop() : void session.hearDoubt(index, 'other'))}
    >
      ${sign(sounding)} ${sounding ? msg('Stop') : msg('Hear the other reading')}
      ${key ? html`<kbd>${key}</kbd>` : nothing}
    </button>`;
  }

  /** Opens a doubt without playing it: the cursor goes there, so that every other command acts on its bar. */
  private goTo(index: number): void {
    const { view, map } = this.session;
    const doubt = map.peek()?.doubts[index];
    if (!doubt) return;
    if (view.doubt.peek() === index) {
      view.doubt.value = undefined;
      return;
    }
    view.cursor.value = doubt.time;
    view.doubt.value = index;
  }
}

function sign(sounding: boolean): unknown {
  return html`<svg viewBox="0 0 10 12" aria-hidden="true"><path d=${sounding ? STOP : PLAY}></path></svg>`;
}

const PLAY = 'M1 0.5 L9.5 6 L1 11.5 Z';
const STOP = 'M1 1.5 H9 V10.5 H1 Z';

declare global {
  interface HTMLElementTagNameMap {
    'bw-doubts': Doubts;
  }
}
