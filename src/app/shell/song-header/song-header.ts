import { msg } from '@lit/localize';
import '../../files/files-panel.js';
import './song-menu.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { OpenSong, Session } from '../../kit/session.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base, controls } from '../../kit/styles/shared.js';
import { songFacts } from './song-facts.js';

/** Title (to be edited in place), what is known of the song, whether it is saved, undo and redo, the menu. */
@customElement('bw-song-header')
export class SongHeader extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        display: flex;
        align-items: center;
        flex-wrap: wrap;
        column-gap: var(--space-4);
        padding: var(--space-2) var(--space-4);
      }
      input.title {
        flex: 0 1 auto;
        min-width: 6rem;
        max-width: 26rem;
        field-sizing: content;
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
        border: 0;
        border-bottom: 1px solid transparent;
        border-radius: 0;
        background: transparent;
        padding: 0;
        text-overflow: ellipsis;
      }
      input.title:hover {
        border-bottom-color: var(--rule-strong);
      }
      .facts {
        display: flex;
        flex-wrap: wrap;
        column-gap: var(--space-4);
        font-family: var(--music);
        font-variant-numeric: lining-nums;
      }
      .acts {
        margin-left: auto;
        display: flex;
        align-items: center;
        gap: var(--space-1);
      }
      .saved {
        font-size: var(--text-small);
        color: var(--ink-soft);
        padding-right: var(--space-2);
        white-space: nowrap;
      }
      .saved:is([data-state='failed'], [data-state='not kept']) button {
        color: var(--caution);
        font-weight: 600;
      }
      @media (max-width: 720px) {
        :host {
          padding: var(--space-1) var(--space-3);
          column-gap: var(--space-2);
        }
        input.title {
          flex: 1 1 4.5rem;
          min-width: 4.5rem;
          font-size: var(--text);
        }
        .facts {
          order: 3;
          width: 100%;
          font-size: var(--text-small);
          column-gap: var(--space-3);
        }
        .facts .saved {
          margin-left: auto;
          padding: 0;
          font-family: var(--plain);
        }
        .acts {
          gap: 0;
        }
        .acts > .saved,
        .word {
          display: none;
        }
        button.plain {
          padding: 0;
          font-size: var(--text-large);
        }
      }
      @media (min-width: 721px) {
        .facts .saved {
          display: none;
        }
      }
      @media (max-height: 500px) {
        .facts {
          display: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { session } = this;
    const song = session.song.value;
    if (!song) return nothing;
    const state = session.keeping.value === 'not kept' ? 'not kept' : song.saved;
    const text = song.solving ? msg('Solving…') : savedText(state);
    const saved = html`<span class="saved" data-state=${state} role="status"
      >${
        state === 'failed' || state === 'not kept'
          ? html`<button
              class="plain"
              title=${msg('Save a project file, so that the song outlives this page')}
              @click=${() => void session.saveProject(true)}
            >
              ${text}
            </button>`
          : text
      }</span
    >`;
    return html`
      <button
        class="plain"
        title=${msg('Back to all songs')}
        aria-label=${msg('All songs')}
        @click=${() => session.closeSong()}
      >
        <span aria-hidden="true">‹</span><span class="word">${msg('Songs')}</span>
      </button>
      <input
        class="title"
        type="text"
        aria-label=${msg('Title of the song')}
        spellcheck="false"
        .value=${song.map.title}
        @keydown=${this.titleKey}
        @change=${this.retitle}
      />
      <div class="facts">${songFacts(song.map).map((fact) => html`<span>${fact}</span>`)}${saved}</div>
      <div class="acts">
        ${saved} ${this.renderStep('undo', song.undoLabel)} ${this.renderStep('redo', song.redoLabel)}
        <bw-files-panel .session=${session}></bw-files-panel>
        <bw-song-menu .session=${session}></bw-song-menu>
      </div>
    `;
  }

  private renderStep(step: 'undo' | 'redo', label: string | undefined): unknown {
    const word = step === 'undo' ? msg('Undo') : msg('Redo');
    return html`<button
      class="plain"
      ?disabled=${label === undefined}
      title=${label === undefined ? word : `${word}: ${label}`}
      aria-label=${label === undefined ? word : `${word} ${label}`}
      @click=${() => this.session[step]()}
    >
      <span aria-hidden="true">${step === 'undo' ? '↶' : '↷'}</span><span class="word">${word}</span>
    </button>`;
  }

  private readonly titleKey = (event: KeyboardEvent): void => {
    const input = event.target as HTMLInputElement;
    if (event.key === 'Enter') input.blur();
    if (event.key !== 'Escape') return;
    input.value = this.session.map.peek()?.title ?? '';
    input.blur();
  };

  private readonly retitle = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    const title = input.value.trim();
    const before = this.session.map.peek()?.title ?? '';
    if (title === '' || title === before) input.value = before;
    else void this.session.retitle(title);
  };
}

/** 'not kept': this browser lets the page keep nothing, so that what was written is gone with the page. */
function savedText(state: OpenSong['saved'] | 'not kept'): string {
  return { saved: msg('Saved'), saving: msg('Saving…'), failed: msg('Not saved'), 'not kept': msg('Not kept') }[state];
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-song-header': SongHeader;
  }
}
