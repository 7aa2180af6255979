import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { SongSummary } from '../kit/ports.js';
import { clockText } from '../../music/clock-text.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { listStyles } from './list-styles.js';

/** The songs kept on this machine: open, rename, delete (asked once more, in place). */
@customElement('bw-song-library')
export class SongLibrary extends SignalElement {
  static override styles = [
    base,
    controls,
    listStyles,
    css`
      li {
        display: flex;
        align-items: center;
        gap: var(--space-1);
        min-height: var(--target);
      }
      .open {
        flex: 1;
        min-width: 0;
        min-height: var(--target);
        justify-content: flex-start;
        align-items: baseline;
        flex-wrap: wrap;
        gap: 0 var(--space-4);
        border: 0;
        border-radius: 0;
        padding: var(--space-2) var(--space-1);
        text-align: left;
      }
      .open b {
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
        overflow-wrap: anywhere;
      }
      form {
        display: flex;
        flex: 1;
        gap: var(--space-2);
      }
      input {
        flex: 1;
        min-width: 0;
        font-family: var(--music);
        font-size: var(--text-large);
      }
      .ask {
        flex: 1;
      }
      .small {
        font-size: var(--text-small);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private renaming: string | undefined;
  @state() private removing: string | undefined;

  override render(): unknown {
    const songs = this.session.songs.value;
    if (songs.length === 0) return nothing;
    return html`<h2>${msg('Your songs')}</h2>
      <ul>
        ${songs.map((song) => html`<li>${this.renderSong(song)}</li>`)}
      </ul>`;
  }

  private renderSong(song: SongSummary): unknown {
    if (this.renaming === song.id) return this.renderRename(song);
    if (this.removing === song.id) return this.renderRemove(song);
    return html`<button class="open" data-song=${song.id} @click=${() => this.session.openSong(song.id)}>
        <b>${song.title}</b>
        <span class="soft music">${clockText(song.duration)}</span>
        <span class="soft small">${changedText(song)}</span>
      </button>
      <button class="plain small" aria-label=${msg(str`Rename ${song.title}`)} @click=${() => this.rename(song.id)}>
        ${msg('Rename')}
      </button>
      <button
        class="plain small"
        aria-label=${msg(str`Delete ${song.title}`)}
        @click=${() => (this.removing = song.id)}
      >
        ${msg('Delete')}
      </button>`;
  }

  private renderRename(song: SongSummary): unknown {
    return html`<form
      @submit=${(event: Event) => this.renamed(event, song)}
      @keydown=${(event: KeyboardEvent) => {
        if (event.key === 'Escape') this.renaming = undefined;
      }}
    >
      <input type="text" aria-label=${msg('New title')} .value=${song.title} />
      <button type="submit">${msg('Rename')}</button>
      <button type="button" class="plain" @click=${() => (this.renaming = undefined)}>${msg('Cancel')}</button>
    </form>`;
  }

  private renderRemove(song: SongSummary): unknown {
    return html`<span class="ask" role="alert"
        >${msg(str`Delete “${song.title}” and all its corrections? This cannot be undone.`)}</span
      >
      <button @click=${() => this.removeSong(song.id)}>${msg('Delete')}</button>
      <button class="plain" @click=${() => (this.removing = undefined)}>${msg('Keep')}</button>`;
  }

  private rename(id: string): void {
    this.renaming = id;
    void this.updateComplete.then(() => this.shadowRoot?.querySelector('input')?.select());
  }

  private renamed(event: Event, song: SongSummary): void {
    event.preventDefault();
    const title = this.shadowRoot?.querySelector('input')?.value.trim() ?? '';
    this.renaming = undefined;
    if (title !== '' && title !== song.title) void this.session.renameSong(song.id, title);
  }

  private removeSong(id: string): void {
    this.removing = undefined;
    void this.session.removeSong(id);
  }
}

let dates: Intl.DateTimeFormat | undefined;

/** "changed 24 November 2026", the date by the browser's locale, and whether the recording is missing. */
function changedText({ changed, hasAudio }: SongSummary): string {
  // One for the whole list: making one takes longer than writing a hundred dates.
  dates ??= new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });
  const date = dates.format(changed);
  return hasAudio ? msg(str`changed ${date}`) : msg(str`changed ${date}, without its recording`);
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-song-library': SongLibrary;
  }
}
