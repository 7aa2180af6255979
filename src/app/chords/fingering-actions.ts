import { msg, str } from '@lit/localize';
import { chooseShape, setFingering } from '../../model/edits/fingering.js';
import { keptFrets, stringsText } from '../../model/song-shapes.js';
import { leadSheetText } from '../../music/lead-sheet.js';
import { shapeText, type Shape } from '../../music/shapes.js';
import type { Tuning } from '../../music/tuning.js';
import { counted } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';

type Fingering = Pick<Session, 'song' | 'edit' | 'say' | 'practice'>;

/** Puts the capo on a fret, 0 for none; the chords are shown as the shapes behind it. */
export async function putCapo(session: Fingering, fret: number): Promise<void> {
  await session.edit(capoText(fret), (map) => setFingering(map, { capo: fret, sounding: false }));
}

/** Shows the chords as the shapes behind the capo, or as they sound. */
export async function showSounding(session: Fingering, sounding: boolean): Promise<void> {
  const label = sounding ? msg('chords shown as they sound') : msg('chords shown as shapes behind the capo');
  await session.edit(label, (map) => setFingering(map, { sounding }));
}

/** Shows the chords so many semitones from the recording, behind the capo as before. */
export async function transposeTo(session: Fingering, semitones: number): Promise<void> {
  await session.edit(msg(str`played ${transposeText(semitones)}`), (map) =>
    setFingering(map, { transpose: semitones }),
  );
}

/** "3 semitones down", "1 semitone up", "in its own key". */
export function transposeText(semitones: number): string {
  if (semitones === 0) return msg('in its own key');
  const steps = counted(Math.abs(semitones), msg('semitone'), msg('semitones'));
  return semitones > 0 ? msg(str`${steps} up`) : msg(str`${steps} down`);
}

function capoText(fret: number): string {
  return fret === 0 ? msg('no capo') : msg(str`capo on fret ${fret}`);
}

/**
 * The song is played with this capo and so many semitones from the recording. One that lies elsewhere does not sound with
 * the recording, so the way to move that too is offered.
 */
export async function takeKey(session: Fingering, capo: number, transpose: number): Promise<void> {
  const parts = [
    ...(transpose === 0 && capo > 0 ? [] : [msg(str`played ${transposeText(transpose)}`)]),
    capoText(capo),
  ];
  await session.edit(parts.join(', '), (map) => setFingering(map, { capo, transpose, sounding: false }));
  const { practice } = session;
  if (transpose === practice.value.transpose || (session.song.value?.map.fingered?.transpose ?? 0) !== transpose)
    return;
  const text =
    transpose === 0
      ? msg('The recording is still moved when it plays.')
      : msg('The recording still sounds in its own key.');
  session.say({
    kind: 'info',
    text,
    action: {
      label: msg(str`Play it ${transposeText(transpose)}`),
      run: async () => {
        practice.value = { ...practice.value, transpose };
      },
    },
  });
}

/** Fingers a shown chord in this shape from now on; without one in the easiest again. */
export async function pickShape(
  session: Fingering,
  tuning: Tuning,
  harte: string,
  shape: Shape | undefined,
): Promise<void> {
  const fingered = shape ? shapeText(shape) : msg('the easiest');
  const label = msg(str`shape of ${leadSheetText(harte)}: ${fingered}`);
  await session.edit(label, (map) => chooseShape(map, stringsText(tuning), harte, shape && keptFrets(shape)));
}
