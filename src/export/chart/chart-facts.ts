import { keyText } from '../../music/key.js';
import { meterText } from '../../music/meter.js';
import { transposeKey } from '../../music/transpose.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';

/** Closer than this in cents nobody hears it beside another instrument (common practice, no source). */
const IN_TUNE = 3;

/** Tempo, time signature, key, capo, transposition and tuning, each as a musician says it. */
export function factsOf(map: SongMap): readonly string[] {
  const { transpose = 0, capo = 0 } = map.fingered ?? {};
  const facts: string[] = [];
  const tempo = tempoSummary(map);
  if (tempo) {
    const [low, high] = [Math.round(tempo.low), Math.round(tempo.high)];
    facts.push(low === high ? `${low} bpm` : `${low}–${high} bpm`);
  }
  facts.push(meterText(map.prevailing));
  const key = map.key && keyText(transposeKey(map.key, transpose));
  if (key) facts.push(key);
  if (capo > 0) {
    const shapes = map.key && keyText(transposeKey(map.key, transpose - capo));
    facts.push(shapes ? `capo ${capo}, shapes of ${shapes}` : `capo ${capo}`);
  }
  if (transpose !== 0) {
    const steps = Math.abs(transpose);
    const words = `${steps} ${steps === 1 ? 'semitone' : 'semitones'} ${transpose > 0 ? 'above' : 'below'} the recording`;
    facts.push(words);
  }
  const cents = Math.round(map.tuning);
  if (Math.abs(cents) >= IN_TUNE)
    facts.push(`recording ${Math.abs(cents)} cents ${cents > 0 ? 'sharp' : 'flat'} of A440`);
  return facts;
}
