import { msg, str } from '@lit/localize';
import type { KeyChoice } from '../../../music/easiest-key.js';
import type { KeyLike } from '../../../music/key.js';
import { transposeKey } from '../../../music/transpose.js';
import { chordText } from '../../map/map-view/boxes.js';

/** How much less or more effort than the recording's key is worth a word. */
const NOTICED = 0.12;

/** The way from the recording to a key without a capo, in semitones, the shorter one: -3 for a shift of -3, 4 for -8. */
export function transposition({ shift }: KeyChoice): number {
  return shift < -6 ? shift + 12 : shift === 0 ? 0 : shift;
}

/** "Shapes of G major: G, C, D7, Em". */
export function keyTitle(choice: KeyChoice, key: KeyLike | undefined): string {
  const chords = listed(choice.chords);
  if (!key) return chords;
  const { tonic, mode } = transposeKey(key, choice.shift);
  return msg(str`Shapes of ${chordText(tonic)} ${mode}: ${chords}`);
}

/** Why a key is easy or not, beside the recording's own: "easier; no barre; about 2 fingers move at a change". */
export function keyReasons(choice: KeyChoice, own: KeyChoice): string {
  const { barres, missing, moved, effort, shift } = choice;
  const share = own.effort > 0 ? effort / own.effort - 1 : 0;
  const ease =
    shift === 0 ? '' : share < -NOTICED ? msg('easier') : share > NOTICED ? msg('harder') : msg('about as easy');
  return [
    ease,
    missing.length > 0 ? msg(str`no shape found for ${listed(missing)}`) : '',
    barres.length > 0 ? msg(str`a barre in ${listed(barres)}`) : msg('no barre'),
    moved > 0 ? movedText(moved) : '',
  ]
    .filter((part) => part !== '')
    .join('; ');
}

function listed(chords: readonly string[]): string {
  return chords.map(chordText).join(', ');
}

function movedText(moved: number): string {
  const halves = Math.round(moved * 2) / 2;
  const count = halves % 1 === 0 ? String(halves) : `${Math.floor(halves) || ''}½`;
  return halves <= 1
    ? msg(str`about ${count} finger moves at a change`)
    : msg(str`about ${count} fingers move at a change`);
}
