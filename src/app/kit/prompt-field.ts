import { msg } from '@lit/localize';
import { css, html, nothing, type PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Prompt, Session } from './session.js';
import { focused } from './focus.js';
import { SignalElement } from './signal-element.js';
import { isMac, keyText } from './key-text.js';
import { base, controls } from './styles/shared.js';

/** The one line a command asks for: a name, chords, a time signature. Enter takes it, Escape leaves everything as it was. */
@customElement('bw-prompt-field')
export class PromptField extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        position: relative;
        height: 0;
        z-index: 8;
      }
      .prompt {
        position: absolute;
        inset: 0 0 auto;
        box-shadow: 0 6px 14px rgb(0 0 0 / 12%);
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: var(--space-2) var(--space-3);
        padding: var(--space-2) var(--space-4);
        background: var(--select);
        border-top: var(--rule-width) solid var(--rule);
      }
      label {
        font-weight: 600;
      }
      input {
        flex: 1 1 12rem;
        max-width: 30rem;
        font-family: var(--music);
        font-size: var(--text-large);
      }
      input[aria-invalid='true'] {
        border-color: var(--caution);
      }
      .choices {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-1);
        flex-basis: 100%;
      }
      .choices button {
        background: var(--paper-raised);
        padding: 0 var(--space-2);
      }
      .said {
        flex-basis: 100%;
        font-size: var(--text-small);
        margin: 0;
      }
      .wrong {
        color: var(--caution);
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private text = '';
  @query('input') private input!: HTMLInputElement | null;
  private shown: Prompt | undefined;
  private back: HTMLElement | undefined;

  override render(): unknown {
    const prompt = this.session.view.prompt.value;
    if (prompt !== this.shown) this.text = prompt?.value ?? '';
    if (!prompt) return nothing;
    const wrong = this.text.trim() === '' ? undefined : prompt.check(this.text);
    const note = wrong ?? prompt.note?.(this.text);
    return html`<form class="prompt" @submit=${(event: Event) => this.submit(event, prompt)} @keydown=${this.keyed}>
      <label for="line">${prompt.label}</label>
      <input
        id="line"
        type="text"
        autocomplete="off"
        spellcheck="false"
        aria-invalid=${wrong === undefined ? 'false' : 'true'}
        aria-describedby="said"
        .value=${this.text}
        @input=${(event: Event) => (this.text = (event.target as HTMLInputElement).value)}
      />
      <button type="submit">${msg('OK')} <kbd>${keyText({ key: 'Enter' }, isMac())}</kbd></button>
      ${
        prompt.next
          ? html`<button type="button" @click=${() => this.goOn(prompt)}>
              ${prompt.next.label} <kbd>${keyText({ key: 'Enter', shift: true }, isMac())}</kbd>
            </button>`
          : nothing
      }
      <button type="button" class="plain" @click=${() => this.cancel(prompt)}>
        ${msg('Cancel')} <kbd>${keyText({ key: 'Escape' }, isMac())}</kbd>
      </button>
      ${
        prompt.choices.length > 0
          ? html`<div class="choices">
              ${prompt.choices.map(
                (choice) => html`<button type="button" @click=${() => this.take(prompt, choice)}>${choice}</button>`,
              )}
            </div>`
          : nothing
      }
      <p id="said" class="said" aria-live="polite">
        ${
          note === undefined
            ? prompt.hint
              ? html`<span class="soft">${prompt.hint}</span>`
              : nothing
            : html`<span class="wrong">${note}</span>`
        }
      </p>
    </form>`;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    const prompt = this.session.view.prompt.peek();
    if (prompt === this.shown) return;
    const opened = prompt && !this.shown;
    this.shown = prompt;
    if (opened) this.back = focused();
    if (prompt) {
      this.input?.focus();
      this.input?.select();
    } else {
      // Back to where the user was, so that the next key means what it meant before.
      this.back?.focus();
      this.back = undefined;
    }
  }

  private submit(event: Event, prompt: Prompt): void {
    event.preventDefault();
    this.take(prompt, this.text);
  }

  private take(prompt: Prompt, text: string): void {
    this.text = text;
    if (prompt.check(text) !== undefined) return;
    void prompt.submit(text);
  }

  private goOn(prompt: Prompt): void {
    if (prompt.check(this.text) === undefined) void prompt.next?.submit(this.text);
  }

  private cancel(prompt: Prompt): void {
    prompt.cancel();
  }

  private readonly keyed = (event: KeyboardEvent): void => {
    if (event.key === 'Enter' && event.shiftKey && this.shown?.next && event.target === this.input) {
      event.preventDefault();
      this.goOn(this.shown);
    }
    if (event.key !== 'Escape' || !this.shown) return;
    event.preventDefault();
    event.stopPropagation();
    this.cancel(this.shown);
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-prompt-field': PromptField;
  }
}
