import { msg, str } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { arrangementStretches } from '../../model/play-order.js';
import type { SongMap } from '../../model/song-map.js';
import { trackCountIn } from '../song/practice-state.js';
import type { Session } from '../kit/session.js';
import type { TracksWish } from '../kit/requests.js';
import { SignalElement } from '../kit/signal-element.js';
import { check, valueOf } from '../kit/fields.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';
import { loopText, readSpeeds } from './practice-words.js';

type Format = TracksWish['format'];

/** Practice tracks to keep: of what, at which speeds, with what on top, in which format. */
@customElement('bw-tracks-panel')
export class TracksPanel extends SignalElement {
  static override styles = [base, controls, panel];

  @property({ attribute: false }) session!: Session;
  @state() private speeds = '70 85 100';
  @state() private counted = true;
  @state() private withClick = true;
  @state() private strum = false;
  @state() private announce = false;
  @state() private barCues = false;
  @state() private format: Format = 'wav';
  /** '' for the song, 'loop', or the id of an arrangement; undefined: as is played. */
  @state() private chosen: string | undefined;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const busy = session.task.value !== undefined;
    const speeds = readSpeeds(this.speeds);
    const what = this.what(map);
    return html`<h2>${msg('Practice tracks')}</h2>
      <label class="wide"
        >${msg('of')}
        <select aria-label=${msg('What the tracks hold')} @change=${(event: Event) => (this.chosen = valueOf(event))}>
          <option value="" ?selected=${what === ''}>${msg('the whole song')}</option>
          ${
            session.practice.value.loop
              ? html`<option value="loop" ?selected=${what === 'loop'}>
                  ${msg(str`the loop, ${loopText(map, session.practice.value.loop)}`)}
                </option>`
              : nothing
          }
          ${(map.arrangements ?? []).map(
            ({ id, name }) => html`<option value=${id} ?selected=${what === id}>${name}</option>`,
          )}
        </select>
      </label>
      <label class="wide"
        >${msg('at')}
        <input
          type="text"
          aria-label=${msg('Speeds in percent')}
          .value=${this.speeds}
          @input=${(event: Event) => (this.speeds = valueOf(event))}
        />
        %</label
      >
      ${check(msg('Counted in'), this.counted, (on) => (this.counted = on))}
      ${check(msg('With the click'), this.withClick, (on) => (this.withClick = on))}
      ${check(msg('With the strum'), this.strum, (on) => (this.strum = on))}
      ${check(msg('Chords spoken before they change'), this.announce, (on) => (this.announce = on))}
      ${check(msg('Every bar marked in the file, not only sections'), this.barCues, (on) => (this.barCues = on))}
      <div class="row" role="group" aria-label=${msg('Format of the tracks')}>
        ${(['wav', 'mp3'] as const).map(
          (format) =>
            html`<button aria-pressed=${this.format === format} @click=${() => (this.format = format)}>
              ${format.toUpperCase()}
            </button>`,
        )}
        <button class="main" ?disabled=${busy || speeds.length === 0} @click=${() => void this.make(map, speeds)}>
          ${speeds.length === 1 ? msg('Make the track') : msg(str`Make ${speeds.length} tracks`)}
        </button>
      </div>
      <p>
        ${
          speeds.length === 0
            ? msg('Write speeds from 40 to 130, such as 70 85 100.')
            : this.format === 'wav'
              ? msg(
                  'Pitch as set above, and the count-in too: a bar where none is set. Sections are marked in WAV files as cues.',
                )
              : msg(
                  'Pitch as set above, and the count-in too: a bar where none is set. Sections are marked in MP3 files as chapters. They are about a ninth of the size.',
                )
        }
      </p>`;
  }

  /** What was chosen, as long as it is there; else the arrangement that is played. */
  private what(map: SongMap): string {
    const { loop, arrangement } = this.session.practice.value;
    const ids = (map.arrangements ?? []).map(({ id }) => id);
    const { chosen } = this;
    if (chosen === '' || (chosen === 'loop' && loop) || (chosen !== undefined && ids.includes(chosen))) return chosen;
    return arrangement !== undefined && ids.includes(arrangement) ? arrangement : '';
  }

  private async make(map: SongMap, speeds: readonly number[]): Promise<void> {
    const { counted, withClick: click, strum, announce, barCues, format } = this;
    const what = this.what(map);
    const { loop } = this.session.practice.peek();
    const countIn = counted ? trackCountIn(this.session.settings.peek()) : ({ bars: 0 } as const);
    const arranged = map.arrangements?.find(({ id }) => id === what);
    const part =
      what === 'loop' && loop
        ? { stretches: [loop, ...(loop.other ? [loop.other] : [])], called: loopText(map, loop) }
        : arranged
          ? { stretches: arrangementStretches(map, arranged.items), called: arranged.name }
          : {};
    await this.session.saveTracks({ speeds, countIn, click, strum, announce, barCues, format, ...part });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-tracks-panel': TracksPanel;
  }
}
