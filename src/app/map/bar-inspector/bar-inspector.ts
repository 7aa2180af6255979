import { msg, str } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { barsOf } from '../../../model/map-queries.js';
import type { SongMap } from '../../../model/song-map.js';
import { meterText, parseMeter, type Meter } from '../../../music/meter.js';
import type { Seconds } from '../../../music/units.js';
import { acceptBar, setBeatsOfBar, setTimeSignature, toggleBarStart } from '../bar-actions.js';
import { freeBars, insertBeat, moveBeatTo, moveBeatToAttack, removeBeat } from '../beat-actions.js';
import type { Session } from '../../kit/session.js';
import { commandButton, keyOf } from '../../kit/command-button.js';
import { sentence } from '../../kit/sentences.js';
import { reasonOf } from '../../kit/words.js';
import { SignalElement } from '../../kit/signal-element.js';
import { beatsText, lengthText } from '../map-view/bar-scale.js';
import { barsText } from '../section-target.js';
import { base, controls } from '../../kit/styles/shared.js';
import { inspectorStyles } from './inspector-styles.js';
import { offeredLengths, targetOf, type Target } from './target.js';

/** How far one press moves a beat, in seconds. */
const NUDGE: Seconds = 0.01;

/** What can be done with the bar and beat under the cursor; every button is an edit, a lock, and can be undone. */
@customElement('bw-bar-inspector')
export class BarInspector extends SignalElement {
  static override styles = [base, controls, inspectorStyles];

  @property({ attribute: false }) session!: Session;
  /** What is being typed as a time signature, and for which bar. */
  @state() private typed: { readonly bar: number; readonly text: string } | undefined;

  override render(): unknown {
    const map = this.session.map.value;
    if (!map) return nothing;
    const { cursor, selection } = this.session.view;
    const target = targetOf(map, cursor.value, selection.value);
    const key = keyOf(this.session, 'bar-accept');
    if (!target) {
      return html`<h2>${msg('Bar')}</h2>
        <p class="soft">${msg('There are no bars yet. Tap along where there is a beat, and bars will follow.')}</p>
        ${commandButton(this.session, 'tap')}`;
    }
    return html`
      <h2>
        ${target.title} ${target.section === undefined ? nothing : html`<span class="where">${target.section}</span>`}
      </h2>
      <p class="traits">
        <span>${target.traits.length > 0 ? target.traits.join(', ') : msg('regular, clear')}</span>
        ${
          target.firm
            ? nothing
            : html`<button
                title="${msg('It starts here and is this long: locks it')}${key ? ` (${key})` : ''}"
                @click=${() => void acceptBar(this.session, target.index)}
              >
                ${msg('Bar is right')}
              </button>`
        }
      </p>
      ${this.renderLength(target)} ${this.renderMeter(map, target)} ${this.renderBeat(target)}
      ${this.renderStretch(map, target)} ${this.renderLocks(target)}
    `;
  }

  private renderLength(target: Target): unknown {
    const { session } = this;
    const { beats, index } = target;
    return html`<div
      class="group"
      role="group"
      aria-label=${target.bar.pickup ? msg('Length of pickup') : msg(str`Length of bar ${target.number}`)}
    >
      <span class="label">${msg('Beats')}</span>
      <div class="keys">
        ${offeredLengths(beats).map(
          (count) =>
            html`<button
              aria-pressed=${count === beats}
              aria-label=${lengthText(count)}
              @click=${() => void setBeatsOfBar(session, index, count)}
            >
              ${beatsText(count)}
            </button>`,
        )}
        <button
          class="half"
          aria-label=${msg('−½ beat, shorter')}
          ?disabled=${beats <= 0.5}
          @click=${() => void setBeatsOfBar(session, index, nearHalf(beats - 0.5))}
        >
          −½
        </button>
        <button
          class="half"
          aria-label=${msg('+½ beat, longer')}
          @click=${() => void setBeatsOfBar(session, index, nearHalf(beats + 0.5))}
        >
          +½
        </button>
      </div>
    </div>`;
  }

  private renderMeter(map: SongMap, target: Target): unknown {
    const own = meterText(target.bar.meter);
    const text = this.typed?.bar === target.index ? this.typed.text : own;
    const read = readMeter(text);
    const wrong = typeof read === 'string' ? read : undefined;
    const several = target.range.first < target.range.last;
    return html`<form class="group" @submit=${(event: Event) => this.submitMeter(event, target, read)}>
      <label class="label" for="meter">${msg('Time signature')}</label>
      <div class="keys">
        <input
          id="meter"
          type="text"
          autocomplete="off"
          spellcheck="false"
          list="usual"
          aria-invalid=${wrong !== undefined}
          aria-describedby="wrong"
          .value=${text}
          @input=${(event: Event) =>
            (this.typed = { bar: target.index, text: (event.target as HTMLInputElement).value })}
        />
        <datalist id="usual">${USUAL_METERS.map((each) => html`<option value=${each}></option>`)}</datalist>
        <button type="submit" value="bars" ?disabled=${wrong !== undefined}>
          ${several ? sentence(barsText(map, target.range.first, target.range.last)) : msg('This bar')}
        </button>
        <button type="submit" value="on" ?disabled=${wrong !== undefined}>${msg('From here on')}</button>
      </div>
      <p id="wrong" class="wrong" aria-live="polite">${wrong ?? nothing}</p>
    </form>`;
  }

  private renderBeat(target: Target): unknown {
    const { session } = this;
    const { beatStart, beat } = target;
    const name = msg(str`Beat ${beat + 1}`);
    return html`<div class="group" role="group" aria-label=${name}>
      <span class="label">${name}</span>
      <div class="keys">
        <button
          title=${target.isDownbeat ? msg('No bar starts on this beat') : msg('A bar starts on this beat')}
          @click=${() => void toggleBarStart(session, beatStart)}
        >
          ${target.isDownbeat ? msg('Is not beat 1') : msg('Is beat 1')}
        </button>
        <button title=${msg('Insert a beat half-way to the next')} @click=${() => void insertBeat(session, beatStart)}>
          ${msg('Insert one')}
        </button>
        <button title=${msg('There is no beat here')} @click=${() => void removeBeat(session, beatStart)}>
          ${msg('Remove')}
        </button>
        <button
          title=${msg('Move it 10 ms earlier')}
          @click=${() => void moveBeatTo(session, beatStart, beatStart - NUDGE)}
        >
          ‹ ${msg('Earlier')}
        </button>
        <button
          title=${msg('Move it 10 ms later')}
          @click=${() => void moveBeatTo(session, beatStart, beatStart + NUDGE)}
        >
          ${msg('Later')} ›
        </button>
        <button
          title=${msg('Move it to the attack nearest to it')}
          @click=${() => void moveBeatToAttack(session, beatStart)}
        >
          ${msg('To the attack')}
        </button>
      </div>
    </div>`;
  }

  private renderStretch(map: SongMap, target: Target): unknown {
    const { session } = this;
    const several = target.range.first < target.range.last;
    const stretch = several ? barsText(map, target.range.first, target.range.last) : msg('this bar');
    const tempo = several ? msg(str`Tempo of ${stretch}`) : msg('Tempo of the song');
    return html`<div class="group" role="group" aria-label=${msg('Bar lines')}>
        <span class="label">${msg('Bar lines one beat earlier or later')}</span>
        <div class="keys">
          <span class="pair">
            ${commandButton(session, 'lines-earlier', '‹')}<span>${msg('from here on')}</span>${commandButton(session, 'lines-later', '›')}
          </span>
          <span class="pair">
            ${commandButton(session, 'all-lines-earlier', '‹')}<span>${msg('everywhere')}</span>${commandButton(session, 'all-lines-later', '›')}
          </span>
        </div>
      </div>
      <div class="group" role="group" aria-label=${tempo}>
        <span class="label">${tempo}</span>
        <div class="keys">
          ${commandButton(session, 'tempo-half', msg('Half'))} ${commandButton(session, 'tempo-double', msg('Double'))}
          ${commandButton(session, 'tap', msg('Tap along'))}
          <button title=${msg(str`No steady beat in ${stretch}`)} @click=${() => void freeBars(session, target.range)}>
            ${several ? msg(str`Free time: ${stretch}`) : msg('Free time')}
          </button>
        </div>
      </div>
      <div class="group" role="group" aria-label=${msg('Chords')}>
        <span class="label">${msg('Chords')}</span>
        <div class="keys">
          ${commandButton(session, 'chords-type', msg('Type…'))}
          ${commandButton(session, 'chords-accept', msg('Are right'))}
          <span class="pair">
            ${commandButton(session, 'chord-earlier', '‹')}<span>${msg('the one here a beat')}</span>${commandButton(session, 'chord-later', '›')}
          </span>
          ${commandButton(session, 'chords-copy', msg('Copy'))} ${commandButton(session, 'chords-paste', msg('Paste'))}
        </div>
        <span class="label">${msg('Replace the one here…')}</span>
        <div class="keys">
          ${commandButton(session, 'chords-replace-section', msg('in the section'))}
          ${commandButton(session, 'chords-replace-passes', msg('in all passes'))}
          ${commandButton(session, 'chords-replace-song', msg('everywhere'))}
        </div>
        <span class="label">${msg('A semitone down or up')}</span>
        <div class="keys">
          <span class="pair">
            ${commandButton(session, 'chords-section-down', '−')}<span>${msg('section')}</span>${commandButton(session, 'chords-section-up', '+')}
          </span>
          <span class="pair">
            ${commandButton(session, 'chords-song-down', '−')}<span>${msg('song')}</span>${commandButton(session, 'chords-song-up', '+')}
          </span>
        </div>
      </div>
      <div class="group" role="group" aria-label=${msg('Edges of the map')}>
        <span class="label">${msg('The map')}</span>
        <div class="keys">
          ${commandButton(session, 'map-start', msg('Starts here'))}
          ${commandButton(session, 'map-end', msg('Ends here'))}
        </div>
      </div>`;
  }

  private renderLocks(target: Target): unknown {
    return html`<div class="group" role="group" aria-label=${msg('Locks')}>
      <span class="label">${msg('Locks')}</span>
      ${
        target.locks.length === 0
          ? html`<span class="none">${msg('none here: whatever you set is locked')}</span>`
          : html`<ul class="locks">
              ${target.locks.map(
                ({ id, text }) =>
                  html`<li>
                    <span>${text}</span>
                    <button
                      aria-label=${msg(str`Lift the lock: ${text}`)}
                      @click=${() => void this.session.liftLock(id)}
                    >
                      ${msg('Lift')}
                    </button>
                  </li>`,
              )}
            </ul>`
      }
    </div>`;
  }

  private submitMeter(event: Event, target: Target, read: Meter | string): void {
    event.preventDefault();
    const map = this.session.map.peek();
    if (typeof read === 'string' || !map) return;
    const button = (event as SubmitEvent).submitter as HTMLButtonElement | null;
    const last = button?.value === 'on' ? barsOf(map).length - 1 : target.range.last;
    const first = button?.value === 'on' ? target.index : target.range.first;
    this.typed = undefined;
    void setTimeSignature(this.session, { first, last }, read);
  }
}

/** Time signatures offered while typing. Common practice, no source. */
const USUAL_METERS = ['2/4', '3/4', '4/4', '5/4', '6/8', '7/8 (2+2+3)', '7/8 (3+2+2)', '9/8', '12/8'];

/** Whole or half beats, as bars can have them. */
function nearHalf(beats: number): number {
  return Math.max(0.5, Math.round(beats * 2) / 2);
}

function readMeter(text: string): Meter | string {
  try {
    return parseMeter(text);
  } catch (error) {
    return reasonOf(error);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-bar-inspector': BarInspector;
  }
}
