import { msg } from '@lit/localize';
import type { Section } from './song-map.js';

/**
 * What sections of one material share: the name in small letters without a number at its end, so that "Verse 2" is the
 * same material as "verse 1".
 */
export function materialOf(name: string): string {
  const plain = name.trim().toLowerCase().replace(/\s+/g, ' ');
  return plain.replace(/\s*\d+$/, '') || plain;
}

/**
 * True for names that say what one place of the song is for and not what it is made of: a solo over the verse leaves the
 * verses verses. Common practice, no source.
 */
export function namesOnePlace(name: string): boolean {
  const names = [msg('Intro'), msg('Solo'), msg('Outro')];
  return names.some((each) => materialOf(each) === materialOf(name));
}

/** The first letter that none of the sections has: A to Z, then AA, AB and so on. */
export function nextLetter(sections: readonly Section[]): string {
  const used = new Set(sections.map((section) => section.letter));
  for (let i = 0; ; i++) {
    const letter = letterAt(i);
    if (!used.has(letter)) return letter;
  }
}

function letterAt(place: number): string {
  const last = String.fromCharCode(65 + (place % 26));
  return place < 26 ? last : letterAt(Math.floor(place / 26) - 1) + last;
}

/**
 * The letter for a section that gets a name: that of another section of this name; else the one it has, unless the
 * user gave a section of that letter another name; else the next free one.
 */
export function letterFor(name: string, had: string | undefined, others: readonly Section[]): string {
  const material = materialOf(name);
  const same = others.find((other) => materialOf(other.name) === material && other.origin === 'user');
  const suggested = same ?? others.find((other) => materialOf(other.name) === material);
  if (suggested) return suggested.letter;
  const taken = others.some((other) => other.letter === had && other.origin === 'user');
  return had !== undefined && !taken ? had : nextLetter(others);
}
