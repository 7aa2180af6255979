import { msg, str } from '@lit/localize';
import { html, type TemplateResult } from 'lit';
import type { Session, Settings } from './session.js';

/** The text in the field, or the choice in the list, that an event comes from. */
export function valueOf(event: Event): string {
  return (event.target as HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement).value;
}

/** The number in the field that an event comes from. */
export function numberOf(event: Event): number {
  return Number(valueOf(event));
}

export function isChecked(event: Event): boolean {
  return (event.target as HTMLInputElement).checked;
}

/** A whole number within bounds; `otherwise` for what is none. */
export function bounded(value: number, least: number, most: number, otherwise = 0): number {
  return Math.min(most, Math.max(least, Number.isFinite(value) ? Math.round(value) : otherwise));
}

export function set(session: Session, change: Partial<Settings>): void {
  session.settings.value = { ...session.settings.peek(), ...change };
}

/** Something to be ticked. */
export function check(label: string, on: boolean, change: (on: boolean) => void): TemplateResult {
  return html`<label class="wide"
    ><input type="checkbox" .checked=${on} @change=${(event: Event) => change(isChecked(event))} /> ${label}</label
  >`;
}

type Flag = { [K in keyof Settings]-?: Settings[K] extends boolean ? K : never }[keyof Settings];

/** A setting to be ticked. */
export function checkRow(session: Session, label: string, key: Flag): TemplateResult {
  return check(label, session.settings.value[key], (on) => set(session, { [key]: on }));
}

/** A whole number between bounds, with what is read before and after it; `change` gets one within them. */
export function numberField(
  before: string,
  value: number,
  [least, most]: readonly [number, number],
  change: (value: number) => void,
  after = '',
): TemplateResult {
  return html`<label
    >${before}
    <input
      type="number"
      min=${least}
      max=${most}
      .value=${String(value)}
      @change=${(event: Event) => change(bounded(numberOf(event), least, most, value))}
    />
    ${after}</label
  >`;
}

/** What can be counted to a beat: as a heading, and so many of them. */
const BEAT_PARTS = {
  click: {
    heading: msg('Clicks a beat'),
    many: (parts: number) => (parts === 1 ? msg('1 click a beat') : msg(str`${parts} clicks a beat`)),
  },
  stroke: {
    heading: msg('Strokes a beat'),
    many: (parts: number) => (parts === 1 ? msg('1 stroke a beat') : msg(str`${parts} strokes a beat`)),
  },
};

/** How many clicks or strokes there are to a beat, a button each; `after` is read behind the buttons. */
export function partsOfBeat(
  what: keyof typeof BEAT_PARTS,
  now: number,
  choose: (parts: 1 | 2 | 3 | 4) => void,
  after = msg('a beat'),
): TemplateResult {
  const { heading, many } = BEAT_PARTS[what];
  return html`<div class="row" role="group" aria-label=${heading}>
    ${([1, 2, 3, 4] as const).map(
      (parts) =>
        html`<button aria-pressed=${now === parts} aria-label=${many(parts)} @click=${() => choose(parts)}>
          ${parts}
        </button>`,
    )}
    <span class="soft">${after}</span>
  </div>`;
}
