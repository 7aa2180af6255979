import { strToU8 } from 'fflate';
import { oneLine } from '../one-line.js';

/** A user's text as a meta event holds it: a character a byte of its UTF-8; no longer than a title is. */
export function midiText(text: string): string {
  return Array.from(strToU8(oneLine(text, 500)), (byte) => String.fromCharCode(byte)).join('');
}
