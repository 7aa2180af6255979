import { msg } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { EXPORT_KINDS, type ExportId } from '../../export/export-kinds.js';
import type { ClipWish } from '../kit/requests.js';
import type { ClipFormat } from '../kit/ports.js';
import type { Session } from '../kit/session.js';
import { trackCountIn } from '../song/practice-state.js';
import { plainTrack } from '../practice/tracks.js';
import { walkByArrows } from '../kit/focus.js';
import { SignalElement } from '../kit/signal-element.js';
import { valueOf } from '../kit/fields.js';
import { base, controls } from '../kit/styles/shared.js';
import { filesPanelStyles } from './files-panel-styles.js';

const CLIP_FORMATS: readonly (readonly [ClipFormat, string])[] = [
  ['webm', 'WebM'],
  ['mp4', 'MP4'],
];

type ListMeaning = Parameters<Session['chooseTimes']>[0];

/** Which files stand together, under which heading; with those on paper stand the pages to print. */
const GROUPS: readonly { readonly name: string; readonly ids: readonly ExportId[]; readonly paper?: true }[] = [
  { name: msg('To read and print'), ids: ['html', 'svg', 'text'], paper: true },
  { name: msg('For music programs'), ids: ['musicxml', 'midi', 'jams'] },
  { name: msg('For a lesson on video'), ids: ['vtt', 'vtt-chords', 'vtt-sections'] },
  { name: msg('Tables'), ids: ['csv', 'csv-beats'] },
];

const MEANINGS: readonly (readonly [ListMeaning, string])[] = [
  ['guess', msg('as far apart as they look')],
  ['beats', msg('beats')],
  ['bars', msg('bar lines')],
];

/** Everything that leaves the program as a file, one press each, and times that come in. Opens under its button. */
@customElement('bw-files-panel')
export class FilesPanel extends SignalElement {
  static override styles = [base, controls, filesPanelStyles];

  @property({ attribute: false }) session!: Session;
  @query('[popover]') private panel!: HTMLElement;
  @state() private pasted = '';
  @state() private clip: ClipWish = {
    shape: '16:9',
    background: 'plain',
    format: 'webm',
    sound: true,
    practice: false,
  };
  /** Why a clip of the chosen shape cannot be made in a format here, by format; told before one is chosen. */
  @state() private clipFaults: Partial<Record<ClipFormat, string>> = {};
  private meaning: ListMeaning = 'guess';

  override render(): unknown {
    const open = this.session.view.files.value;
    return html`<button popovertarget="panel" aria-haspopup="dialog">${msg('Export')}</button>
      <div
        id="panel"
        popover
        role="dialog"
        aria-label=${msg('Export and import')}
        @toggle=${this.toggled}
        @keydown=${this.keyed}
      >
        ${open ? this.renderPanel() : nothing}
      </div>`;
  }

  override updated(): void {
    const open = this.session.view.files.peek();
    if (open && !this.panel.matches(':popover-open')) this.panel.showPopover();
    if (open && this.checked !== this.clip.shape) void this.checkClips(this.clip.shape);
  }

  /** The shape whose formats were asked about last. */
  private checked: ClipWish['shape'] | undefined;

  private async checkClips(shape: ClipWish['shape']): Promise<void> {
    this.checked = shape;
    const found = await Promise.all(
      CLIP_FORMATS.map(async ([format]) => [format, await this.session.clipFault({ format, shape })] as const),
    );
    if (this.checked !== shape) return;
    this.clipFaults = Object.fromEntries(found.filter(([, fault]) => fault !== undefined));
    const [able] = found.find(([, fault]) => fault === undefined) ?? [];
    if (able && this.clipFaults[this.clip.format] !== undefined) this.clip = { ...this.clip, format: able };
  }

  private renderPanel(): unknown {
    const { session } = this;
    const hasAudio = session.song.value?.hasAudio === true;
    return html`<div class="groups">
      ${GROUPS.map(
        ({ name, ids, paper }) =>
          html`<section role="group" aria-label=${name}>
            <h2>${name}</h2>
            ${paper ? this.renderPaper() : nothing}
            ${EXPORT_KINDS.filter(({ id }) => ids.includes(id)).map(({ id, label, use }) =>
              this.renderFile(label, use, () => session.exportFile(id)),
            )}
          </section>`,
      )}
      <section role="group" aria-label=${msg('To go on working')}>
        <h2>${msg('To go on working')}</h2>
        ${this.renderFile(msg('Project with the recording'), msg('everything, to open here or elsewhere'), () => session.saveProject(true), hasAudio)}
        ${this.renderFile(msg('Project without the recording'), msg('small enough for a message'), () => session.saveProject(false))}
        ${this.renderFile(
          msg('Practice track'),
          msg('the recording, counted in and with a click, as a sound file at the speed that is set'),
          () => session.saveTracks(plainTrack(session.practice.peek().speed, trackCountIn(session.settings.peek()))),
          hasAudio,
        )}
      </section>
      ${this.renderClip()} ${this.renderImport()}
    </div>`;
  }

  private renderPaper(): unknown {
    const { session } = this;
    return html`${this.renderFile(msg('Chart (PDF)'), msg('to hand out, as the workspace Chart shows it'), () => session.saveChart('chart', 'pdf'))}
    ${this.renderFile(msg('Poster of the form (PDF)'), msg('the whole song to scale on a page'), () => session.saveChart('poster', 'pdf'))}`;
  }

  private renderFile(label: string, use: string, run: () => Promise<void>, allowed = true): unknown {
    return html`<button class="file" ?disabled=${!allowed} @click=${() => this.run(run)}>
      ${label}<small>${allowed ? use : msg('the recording is not kept here')}</small>
    </button>`;
  }

  private renderClip(): unknown {
    const { clip } = this;
    const hasAudio = this.session.song.value?.hasAudio === true;
    const choice = <K extends keyof ClipWish>(
      label: string,
      key: K,
      options: readonly (readonly [ClipWish[K], string])[],
    ): unknown =>
      html`<label
        >${label}
        <select @change=${(event: Event) => this.setClip(key, options, event)}>
          ${options.map(
            ([value, text]) =>
              html`<option
                ?selected=${clip[key] === value}
                ?disabled=${key === 'format' && this.clipFaults[value as ClipFormat] !== undefined}
              >
                ${text}
              </option>`,
          )}
        </select>
      </label>`;
    return html`<section role="group" aria-label=${msg('Clip of the play view')}>
      <h2>${msg('Clip of the play view')}</h2>
      <p>${msg('Bar, chords, beat and strum as a video, in step with the sound.')}</p>
      ${choice(msg('Shape'), 'shape', [
        ['16:9', msg('16:9, wide')],
        ['1:1', msg('1:1, square')],
        ['9:16', msg('9:16, upright')],
      ])}
      ${choice(msg('In step with'), 'practice', [
        [false, msg('the recording')],
        [true, msg('a practice track as set')],
      ])}
      ${choice(msg('Sound'), 'sound', [
        [true, msg('with the sound')],
        [false, msg('silent')],
      ])}
      ${choice(msg('Background'), 'background', [
        ['plain', msg('plain')],
        ['key colour', msg('green, to be keyed out')],
      ])}
      ${choice(msg('File'), 'format', CLIP_FORMATS)}
      ${CLIP_FORMATS.map(([format]) => {
        const fault = this.clipFaults[format];
        return fault === undefined ? nothing : html`<p>${fault}</p>`;
      })}
      <div class="acts">
        <button
          ?disabled=${(clip.sound && !hasAudio) || this.clipFaults[clip.format] !== undefined}
          @click=${() => this.run(() => this.session.saveClip(this.clip))}
        >
          ${msg('Make the clip')}
        </button>
      </div>
    </section>`;
  }

  private setClip<K extends keyof ClipWish>(
    key: K,
    options: readonly (readonly [ClipWish[K], string])[],
    event: Event,
  ): void {
    const chosen = options[(event.target as HTMLSelectElement).selectedIndex];
    if (chosen) this.clip = { ...this.clip, [key]: chosen[0] };
  }

  private renderImport(): unknown {
    return html`<section role="group" aria-label=${msg('Take over times worked out elsewhere')}>
      <h2>${msg('Take over times worked out elsewhere')}</h2>
      <p>
        ${msg('Beats or bars from a JAMS file, the tempo map of a MIDI file, or a plain list of times. They become locks, and can be undone.')}
      </p>
      <label
        >${msg('The times of a plain list are')}
        <select @change=${this.chooseMeaning}>
          ${MEANINGS.map(
            ([value, text]) => html`<option value=${value} ?selected=${this.meaning === value}>${text}</option>`,
          )}
        </select>
      </label>
      <textarea
        aria-label=${msg('Times, a line each')}
        placeholder="12.53&#10;13.16&#10;0:13.80"
        spellcheck="false"
        .value=${this.pasted}
        @input=${this.typed}
      ></textarea>
      <div class="acts">
        <button
          ?disabled=${this.pasted.trim() === ''}
          @click=${() => this.run(() => this.session.importTimes(this.pasted, this.meaning))}
        >
          ${msg('Take over these times')}
        </button>
        <button @click=${() => this.run(() => this.session.chooseTimes(this.meaning))}>${msg('Choose a file…')}</button>
      </div>
    </section>`;
  }

  private run(work: () => Promise<void>): void {
    this.panel.hidePopover();
    void work();
  }

  private readonly typed = (event: Event): void => {
    this.pasted = valueOf(event);
  };

  private readonly chooseMeaning = (event: Event): void => {
    this.meaning = valueOf(event) as ListMeaning;
  };

  private readonly toggled = (event: ToggleEvent): void => {
    const open = event.newState === 'open';
    this.session.view.files.value = open;
    if (open) void this.updateComplete.then(() => this.files()[0]?.focus());
  };

  private files(): HTMLElement[] {
    return [...this.panel.querySelectorAll<HTMLElement>('button.file:not(:disabled)')];
  }

  private readonly keyed = (event: KeyboardEvent): void => walkByArrows(event, this.files());
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-files-panel': FilesPanel;
  }
}
