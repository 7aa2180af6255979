import { html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { EXPORT_KINDS, type ExportId } from '../../export/export-kinds.js';
import type { ClipWish } from '../../state/clips.js';
import type { Session } from '../../state/session.js';
import { plainTrack } from '../../state/tracks.js';
import { walkByArrows } from '../controllers/focus.js';
import { SignalElement } from '../controllers/signal-element.js';
import { valueOf } from '../fields.js';
import { base, controls } from '../styles/shared.js';
import { filesPanelStyles } from './files-panel-styles.js';

type ListMeaning = Parameters<Session['chooseTimes']>[0];

const PAPER = 'To read and print';
/** Which files stand together, under which heading. */
const GROUPS: readonly (readonly [string, readonly ExportId[]])[] = [
  [PAPER, ['html', 'svg', 'text']],
  ['For music programs', ['musicxml', 'midi', 'jams']],
  ['For a lesson on video', ['vtt', 'vtt-chords', 'vtt-sections']],
  ['Tables', ['csv', 'csv-beats']],
];

const MEANINGS: readonly (readonly [ListMeaning, string])[] = [
  ['guess', 'as far apart as they look'],
  ['beats', 'beats'],
  ['bars', 'bar lines'],
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
  private meaning: ListMeaning = 'guess';

  override render(): unknown {
    const open = this.session.view.files.value;
    return html`<button popovertarget="panel" aria-haspopup="dialog">Export</button>
      <div
        id="panel"
        popover
        role="dialog"
        aria-label="Export and import"
        @toggle=${this.toggled}
        @keydown=${this.keyed}
      >
        ${open ? this.renderPanel() : nothing}
      </div>`;
  }

  override updated(): void {
    const open = this.session.view.files.peek();
    if (open && !this.panel.matches(':popover-open')) this.panel.showPopover();
  }

  private renderPanel(): unknown {
    const { session } = this;
    const hasAudio = session.song.value?.hasAudio === true;
    return html`<div class="groups">
      ${GROUPS.map(
        ([name, ids]) =>
          html`<section role="group" aria-label=${name}>
            <h2>${name}</h2>
            ${name === PAPER ? this.renderPaper() : nothing}
            ${EXPORT_KINDS.filter(({ id }) => ids.includes(id)).map(({ id, label, use }) =>
              this.renderFile(label, use, () => session.exportFile(id)),
            )}
          </section>`,
      )}
      <section role="group" aria-label="To go on working">
        <h2>To go on working</h2>
        ${this.renderFile('Project with the recording', 'everything, to open here or elsewhere', () => session.saveProject(true), hasAudio)}
        ${this.renderFile('Project without the recording', 'small enough for a message', () => session.saveProject(false))}
        ${this.renderFile(
          'Practice track',
          'the recording with a click, as a sound file at the speed that is set',
          () => session.saveTracks(plainTrack(session.practice.peek().speed)),
          hasAudio,
        )}
      </section>
      ${this.renderClip()} ${this.renderImport()}
    </div>`;
  }

  private renderPaper(): unknown {
    const { session } = this;
    return html`${this.renderFile('Chart (PDF)', 'to hand out, as the workspace Chart shows it', () => session.saveChart('chart', 'pdf'))}
    ${this.renderFile('Poster of the form (PDF)', 'the whole song to scale on a page', () => session.saveChart('poster', 'pdf'))}`;
  }

  private renderFile(label: string, use: string, run: () => Promise<void>, allowed = true): unknown {
    return html`<button class="file" ?disabled=${!allowed} @click=${() => this.run(run)}>
      ${label}<small>${allowed ? use : 'the recording is not kept here'}</small>
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
          ${options.map(([value, text]) => html`<option ?selected=${clip[key] === value}>${text}</option>`)}
        </select>
      </label>`;
    return html`<section role="group" aria-label="Clip of the play view">
      <h2>Clip of the play view</h2>
      <p>Bar, chords, beat and strum as a video, in step with the sound.</p>
      ${choice('Shape', 'shape', [
        ['16:9', '16:9, wide'],
        ['1:1', '1:1, square'],
        ['9:16', '9:16, upright'],
      ])}
      ${choice('In step with', 'practice', [
        [false, 'the recording'],
        [true, 'a practice track as set'],
      ])}
      ${choice('Sound', 'sound', [
        [true, 'with the sound'],
        [false, 'silent'],
      ])}
      ${choice('Background', 'background', [
        ['plain', 'plain'],
        ['key colour', 'green, to be keyed out'],
      ])}
      ${choice('File', 'format', [
        ['webm', 'WebM'],
        ['mp4', 'MP4'],
      ])}
      <div class="acts">
        <button ?disabled=${clip.sound && !hasAudio} @click=${() => this.run(() => this.session.saveClip(this.clip))}>
          Make the clip
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
    return html`<section role="group" aria-label="Take over times worked out elsewhere">
      <h2>Take over times worked out elsewhere</h2>
      <p>
        Beats or bars from a JAMS file, the tempo map of a MIDI file, or a plain list of times. They become locks, and
        can be undone.
      </p>
      <label
        >The times of a plain list are
        <select @change=${this.chooseMeaning}>
          ${MEANINGS.map(
            ([value, text]) => html`<option value=${value} ?selected=${this.meaning === value}>${text}</option>`,
          )}
        </select>
      </label>
      <textarea
        aria-label="Times, a line each"
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
          Take over these times
        </button>
        <button @click=${() => this.run(() => this.session.chooseTimes(this.meaning))}>Choose a file…</button>
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
