/**
 * Pitch names and scale degrees.
 *
 * A pitch name is a letter A to G and any number of "b" or "#". A degree is written as in Harte et al. 2005
 * (ISMIR, "Symbolic representation of musical chords"): accidentals and 1 to 13, counted in the major scale of the root.
 */

/** 0 to 11, from C. */
export type PitchClass = number;

const LETTERS = 'CDEFGAB';
const LETTER_PITCH = [0, 2, 4, 5, 7, 9, 11] as const;
/** The line of fifths from F: position 0 is C, one sharp more is +7. */
const FIFTHS_LETTERS = 'FCGDAEB';
const PLAIN_DEGREES = ['1', 'b2', '2', 'b3', '3', '4', 'b5', '5', 'b6', '6', 'b7', '7'] as const;
const NAME = /^([A-G])(b*|#*)$/;
const DEGREE = /^(b*|#*)([1-9]|1[0-3])$/;

export function isPitchName(text: string): boolean {
  return NAME.test(text);
}

/** "C" is 0, "Bb" 10, "E#" 5. Throws RangeError when it is no pitch name. */
export function pitchClassOf(name: string): PitchClass {
  const match = NAME.exec(name);
  if (!match) throw new RangeError(`pitch: found "${name}"; write a letter A to G and sharps (#) or flats (b)`);
  return mod12((LETTER_PITCH[LETTERS.indexOf(match[1] ?? '')] ?? 0) + shiftOf(match[2] ?? ''));
}

/** Semitones of a degree above its root, not reduced: "b7" is 10, "9" is 14, "#11" is 18. */
export function degreeSemitones(degree: string): number {
  const match = DEGREE.exec(degree);
  if (!match) throw new RangeError(`degree: found "${degree}"; write 1 to 13 with sharps (#) or flats (b) before it`);
  const step = Number(match[2]) - 1;
  return (LETTER_PITCH[step % 7] ?? 0) + 12 * Math.floor(step / 7) + shiftOf(match[1] ?? '');
}

/** The note a degree above `root`, spelled by its letter ("b3" above "Db" is "Fb"); with two accidentals or more, plainer. */
export function noteAbove(root: string, degree: string): string {
  const match = DEGREE.exec(degree);
  const pitch = mod12(pitchClassOf(root) + degreeSemitones(degree));
  const step = Number(match?.[2] ?? '1') - 1;
  const letter = (LETTERS.indexOf(root.charAt(0)) + step) % 7;
  let shift = mod12(pitch - (LETTER_PITCH[letter] ?? 0));
  if (shift > 6) shift -= 12;
  if (Math.abs(shift) > 1) return fifthsName(fifthsOf(pitch, root.includes('b') ? -6 : -5));
  return LETTERS.charAt(letter) + (shift === 1 ? '#' : shift === -1 ? 'b' : '');
}

/** The degree of `note` above `root`: by letters where that gives at most one accidental ("F#" above "C" is "#4"), else plainly. */
export function degreeOf(root: string, note: string): string {
  const semitones = mod12(pitchClassOf(note) - pitchClassOf(root));
  const step = mod(LETTERS.indexOf(note.charAt(0)) - LETTERS.indexOf(root.charAt(0)), 7);
  let shift = mod12(semitones - (LETTER_PITCH[step] ?? 0));
  if (shift > 6) shift -= 12;
  const unusual =
    (step === 0 && shift !== 0) || (shift === 1 && (step === 2 || step === 6)) || (shift === -1 && step === 3);
  if (Math.abs(shift) > 1 || unusual) return PLAIN_DEGREES[semitones] ?? '1';
  return (shift === 1 ? '#' : shift === -1 ? 'b' : '') + String(step + 1);
}

/** Position on the line of fifths: C 0, G 1, F -1, F# 6, Gb -6. */
export function fifthsPosition(name: string): number {
  pitchClassOf(name);
  return FIFTHS_LETTERS.indexOf(name.charAt(0)) - 1 + 7 * shiftOf(name.slice(1));
}

/** The position of a pitch class among the twelve from `lowest` on the line of fifths. */
export function fifthsOf(pitch: PitchClass, lowest: number): number {
  // Seven fifths up are one semitone up: 7 is its own inverse modulo 12.
  return lowest + mod12(7 * pitch - lowest);
}

/** The name at a position on the line of fifths. */
export function fifthsName(position: number): string {
  const shift = Math.floor((position + 1) / 7);
  return FIFTHS_LETTERS.charAt(mod(position + 1, 7)) + (shift > 0 ? '#'.repeat(shift) : 'b'.repeat(-shift));
}

export function mod12(n: number): number {
  return mod(n, 12);
}

function mod(n: number, m: number): number {
  return ((n % m) + m) % m;
}

function shiftOf(accidentals: string): number {
  return accidentals.startsWith('b') ? -accidentals.length : accidentals.length;
}

/** A name with true sharps and flats, as it is printed: "F♯", "B♭". */
export function trueSigns(name: string): string {
  return name.replace(/#/g, '♯').replace(/([A-G])b/g, '$1♭');
}
