import { msg, str } from '@lit/localize';
import './easiest-keys.js';
import { html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { diagramName } from '../../../export/chart/shape-diagram.js';
import { songShapes, type SongShape } from '../../../model/song-shapes.js';
import type { SongMap } from '../../../model/song-map.js';
import { HIGHEST_CAPO } from '../../../music/capo.js';
import { parseTuning, TUNINGS, type Tuning } from '../../../music/tuning.js';
import { pickShape, putCapo, showSounding } from '../fingering-actions.js';
import { instrumentOf } from '../../song/practice-state.js';
import type { Session, Settings } from '../../kit/session.js';
import { faultOf } from '../../kit/words.js';
import { SignalElement } from '../../kit/signal-element.js';
import { isChecked, numberOf, set, valueOf } from '../../kit/fields.js';
import { chordText } from '../../map/map-view/boxes.js';
import { base, controls } from '../../kit/styles/shared.js';
import { shapePicture } from './shape-picture.js';
import { shapesStyles } from './shapes-styles.js';

const OWN = 'own';

/** The instrument and its chord shapes: those of the song with others to choose from, the capo, the easiest key. */
@customElement('bw-shapes-panel')
export class ShapesPanel extends SignalElement {
  static override styles = [base, controls, shapesStyles];

  @property({ attribute: false }) session!: Session;
  /** The chord whose other shapes are shown. */
  @state() private open: string | undefined;
  /** A tuning while it is typed. */
  @state() private typed: string | undefined;

  override render(): unknown {
    const map = this.session.map.value;
    if (!map) return nothing;
    const settings = this.session.settings.value;
    const tuning = instrumentOf(settings);
    return html`${this.renderInstrument(settings, tuning)} ${this.renderCapo(map)}
      ${this.renderStrip(map, tuning, settings)} <bw-easiest-keys .session=${this.session}></bw-easiest-keys>`;
  }

  private renderInstrument(settings: Settings, tuning: Tuning): unknown {
    const known = TUNINGS.some(({ id }) => id === tuning.id);
    const own = this.typed !== undefined || !known;
    const text = this.typed ?? tuning.name;
    const fault = own && text.trim() !== '' ? faultOf(() => parseTuning(text)) : undefined;
    return html`<h2>${msg('Instrument')}</h2>
      <div class="row">
        <select
          aria-label=${msg('Instrument')}
          @change=${(event: Event) => {
            const value = valueOf(event);
            this.typed = value === OWN ? '' : undefined;
            if (value !== OWN) set(this.session, { instrument: value });
          }}
        >
          ${TUNINGS.map(({ id, name }) => html`<option value=${id} .selected=${!own && id === tuning.id}>${name}</option>`)}
          <option value=${OWN} .selected=${own}>${msg('another tuning…')}</option>
        </select>
        <label
          ><input
            type="checkbox"
            .checked=${settings.leftHanded}
            @change=${(event: Event) => set(this.session, { leftHanded: isChecked(event) })}
          />
          ${msg('Left-handed')}</label
        >
      </div>
      ${
        own
          ? html`<form
              class="row"
              @submit=${(event: Event) => {
                event.preventDefault();
                if (fault !== undefined || text.trim() === '') return;
                this.typed = undefined;
                set(this.session, { instrument: text.trim() });
              }}
            >
              <label for="tuning">${msg('Strings')}</label>
              <input
                id="tuning"
                type="text"
                autocomplete="off"
                spellcheck="false"
                placeholder="D A D G B E"
                aria-invalid=${fault === undefined ? 'false' : 'true'}
                aria-describedby="fault"
                .value=${text}
                @input=${(event: Event) => (this.typed = valueOf(event))}
              />
              <button type="submit" ?disabled=${fault !== undefined || text.trim() === ''}>${msg('Set')}</button>
              <p id="fault" class="fault" aria-live="polite">${fault ?? nothing}</p>
            </form>`
          : nothing
      }`;
  }

  private renderCapo(map: SongMap): unknown {
    const { capo = 0, sounding = false } = map.fingered ?? {};
    return html`<div class="row">
      <label
        >${msg('Capo')}
        <select aria-label=${msg('Capo')} @change=${(event: Event) => void putCapo(this.session, numberOf(event))}>
          ${Array.from(
            { length: HIGHEST_CAPO + 1 },
            (_, fret) =>
              html`<option value=${fret} .selected=${fret === capo}>
                ${fret === 0 ? msg('none') : msg(str`fret ${fret}`)}
              </option>`,
          )}
        </select></label
      >
      ${
        capo > 0
          ? html`<label
              ><input
                type="checkbox"
                .checked=${!sounding}
                @change=${(event: Event) => void showSounding(this.session, !isChecked(event))}
              />
              ${msg('Show the shapes behind it')}</label
            >`
          : nothing
      }
    </div>`;
  }

  private renderStrip(map: SongMap, tuning: Tuning, settings: Settings): unknown {
    const shapes = songShapes(map, tuning);
    if (shapes.length === 0) return html`<p class="soft">${msg('There are no chords yet: type them on the map.')}</p>`;
    return html`<h2>${msg('Shapes')}</h2>
      <div class="strip" role="group" aria-label=${msg(str`Chord shapes of the song, ${tuning.name}`)}>
        ${shapes.map((each) => this.renderShape(each, tuning, settings))}
      </div>`;
  }

  private renderShape(each: SongShape, tuning: Tuning, settings: Settings): unknown {
    const { harte, shape, choices, chosen } = each;
    const name = chordText(harte);
    const open = this.open === harte;
    if (!shape) return html`<div class="none"><span class="name">${name}</span><br />${msg('no shape found')}</div>`;
    const diagram = diagramName(name, shape);
    return html`<button
        aria-expanded=${open}
        aria-label=${chosen ? msg(str`${diagram}, chosen; other shapes`) : msg(str`${diagram}, other shapes`)}
        @click=${() => (this.open = open ? undefined : harte)}
      >
        <span class="name">${name}</span>${shapePicture(shape, settings.leftHanded)}
      </button>
      ${
        open
          ? html`<div class="choices" role="group" aria-label=${msg(str`Shapes of ${name}, easiest first`)}>
              ${choices.map(
                (choice) =>
                  html`<button
                    aria-pressed=${choice === shape}
                    aria-label=${diagramName(name, choice)}
                    @click=${() => void pickShape(this.session, tuning, harte, choice)}
                  >
                    ${shapePicture(choice, settings.leftHanded)}
                  </button>`,
              )}
              ${
                chosen
                  ? html`<button @click=${() => void pickShape(this.session, tuning, harte, undefined)}>
                      ${msg('The easiest again')}
                    </button>`
                  : nothing
              }
            </div>`
          : nothing
      }`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-shapes-panel': ShapesPanel;
  }
}
