import { msg, str } from '@lit/localize';

/**
 * A strum pattern for a bar: how many strokes a beat may have, and a letter for each place in turn: `d` down, `u` up, `D` and
 * `U` the same with an accent, `x` muted, `-` none.
 */
export interface Strum {
  readonly parts: 1 | 2 | 3 | 4;
  readonly strokes: string;
}

export type Stroke = 'd' | 'u' | 'D' | 'U' | 'x' | '-';
export const STROKES: readonly Stroke[] = ['-', 'd', 'u', 'D', 'U', 'x'];

/** A stroke at a place in its bar, in beats from 0. */
export interface PlacedStroke {
  readonly beat: number;
  readonly stroke: Exclude<Stroke, '-'>;
}

/** Longest pattern: four beats in sixteenths, twice. */
const MOST = 64;

/** What is wrong with a pattern, in a sentence; undefined when nothing is. */
export function strumFault({ parts, strokes }: Strum): string | undefined {
  if (![1, 2, 3, 4].includes(parts)) return msg(str`A beat has 1, 2, 3 or 4 strokes, not ${parts}.`);
  if (strokes.length === 0 || strokes.length > MOST)
    return msg('A strum pattern has one stroke at least and 64 at most.');
  const odd = [...strokes].find((letter) => !STROKES.includes(letter as Stroke));
  return odd === undefined ? undefined : msg(str`"${odd}" is no stroke; write d, u, D, U, x or -.`);
}

/** Beats a pattern is as long as. */
export function strumBeats({ parts, strokes }: Strum): number {
  return strokes.length / parts;
}

/**
 * The strokes of a bar of `beats` beats (halves allowed) whose chords change on `changes` (beats from 0). A bar as long as the
 * pattern has the pattern; a longer one has it and goes on from its beginning where it is a whole number of them; any other
 * bar, cut short or lengthened, has a down on each beat. Where a chord begins off the pattern's strokes it is struck down.
 */
export function strokesOf(strum: Strum, beats: number, changes: readonly number[] = []): readonly PlacedStroke[] {
  const length = strumBeats(strum);
  const times = beats / length;
  const whole = Number.isInteger(Math.round(times * 1e6) / 1e6) && times >= 1;
  const places: PlacedStroke[] = [];
  if (whole) {
    for (let i = 0; i < Math.round(beats * strum.parts); i++) {
      const stroke = strum.strokes[i % strum.strokes.length] as Stroke;
      if (stroke !== '-') places.push({ beat: i / strum.parts, stroke });
    }
  } else {
    for (let beat = 0; beat < beats - 1e-9; beat++) places.push({ beat, stroke: beat === 0 ? 'D' : 'd' });
  }
  for (const beat of changes) {
    if (beat < beats && !places.some((place) => Math.abs(place.beat - beat) < 0.05)) places.push({ beat, stroke: 'd' });
  }
  return places.sort((a, b) => a.beat - b.beat);
}

/**
 * Reads what players write: "D DU UDU" with a space between beats, "D - D U", arrows; capitals or small letters are the same
 * unless both are used, then capitals are accents. Groups of equal length are beats; without spaces `beats` are shared out evenly.
 * Throws a RangeError with a sentence.
 */
export function parseStrum(text: string, beats: number): Strum {
  const plain = text
    .trim()
    .replace(/↓|⇓/g, 'd')
    .replace(/↑|⇑/g, 'u')
    .replace(/[.·_–—]/g, '-')
    .replace(/X/g, 'x');
  const groups = plain.split(/[\s|,]+/).filter((group) => group !== '');
  const mixed = /[du]/.test(plain) && /[DU]/.test(plain);
  const letters = (group: string) => (mixed ? group : group.replace(/[DU]/g, (letter) => letter.toLowerCase()));
  const lengths = groups.map((group) => group.length);
  const even = groups.length > 1 && Math.max(...lengths) > 1;
  let parts = even ? Math.max(...lengths) : groups.join('').length / beats;
  let strokes = even ? groups.map((group) => letters(group).padEnd(parts, '-')).join('') : letters(groups.join(''));
  // A bar that ends amid a beat has a shorter last group.
  const cut = Math.round(beats * parts);
  if (even && strokes.length - cut === parts - lengths.at(-1)!) strokes = strokes.slice(0, cut);
  if (!Number.isInteger(parts) || parts < 1 || parts > 4) {
    if (even || strokes.length === 0)
      throw new RangeError(
        msg(str`Found ${strokes.length} strokes; write one group of up to 4 for each beat, such as d du -u du.`),
      );
    parts = Math.min(4, Math.max(1, Math.ceil(strokes.length / beats)));
    strokes = strokes.padEnd(parts * beats, '-');
  }
  const strum = { parts: parts as Strum['parts'], strokes };
  const fault = strumFault(strum);
  if (fault) throw new RangeError(fault);
  return strum;
}

/** The pattern with a space between beats: "d du -u du". */
export function strumText({ parts, strokes }: Strum): string {
  return (strokes.match(new RegExp(`.{1,${parts}}`, 'g')) ?? []).join(' ');
}

const ARROWS: Readonly<Record<Stroke, string>> = { d: '↓', u: '↑', D: '⇓', U: '⇑', x: '×', '-': '·' };

/** The pattern in arrows, to be seen: "↓· ↓↑ ·↑ ↓↑". */
export function strumArrows(strum: Strum): string {
  return strumText(strum).replace(/[duDUx-]/g, (letter) => ARROWS[letter as Stroke]);
}
