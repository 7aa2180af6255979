/**
 * Fitting of words into the room they have, without a browser: widths are estimated from the characters. The factors
 * are measured on the bundled music face at 600 weight, in em, rounded up.
 */

/** Width of a text in em. */
export function textEm(text: string): number {
  let width = 0;
  for (const char of text) width += CHAR_EM[char] ?? (/[A-Z]/.test(char) ? 0.75 : 0.58);
  return width;
}

const CHAR_EM: Readonly<Record<string, number>> = {
  m: 0.97,
  M: 0.93,
  n: 0.66,
  u: 0.65,
  d: 0.63,
  i: 0.34,
  j: 0.32,
  s: 0.48,
  '/': 0.37,
  '(': 0.39,
  ')': 0.39,
  '.': 0.31,
  '♯': 0.49,
  '♭': 0.48,
};

export interface Label {
  readonly text: string;
  /** Pixels. */
  readonly size: number;
  /** The text is shortened; the whole has to be said elsewhere. */
  readonly cut: boolean;
}

/**
 * The largest of the sizes at which `text` fits into `room` pixels; at the smallest it is cut, by its bass first, down
 * to the root.
 *
 * @param sizes pixels, descending, at least one
 */
export function fitLabel(text: string, room: number, sizes: readonly number[]): Label {
  for (const size of sizes) if (textEm(text) * size <= room) return { text, size, cut: false };
  const size = sizes[sizes.length - 1] ?? 10;
  const noBass = text.replace(/\/[A-G][♯♭]*$/, '');
  if (noBass !== text && textEm(noBass) * size <= room) return { text: noBass, size, cut: true };
  const root = /^[A-G][♯♭]*m?(?!aj)/.exec(text)?.[0] ?? text.slice(0, 1);
  return { text: root.length < text.length ? root : text, size, cut: root.length < text.length };
}
