import { msg, str } from '@lit/localize';
import { keyText } from '../../music/key.js';
import { meterText } from '../../music/meter.js';
import { transposeKey } from '../../music/transpose.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';

/** Closer than this in cents nobody hears it beside another instrument (common practice, no source). */
const IN_TUNE = 3;

/** Tempo, time signature, key, capo, transposition and tuning, each as a musician says it. */
export function factsOf(map: SongMap): readonly string[] {
  const { transpose = 0 } = map.fingered ?? {};
  const facts: string[] = [];
  const tempo = tempoSummary(map);
  if (tempo) {
    const [low, high] = [Math.round(tempo.low), Math.round(tempo.high)];
    facts.push(low === high ? msg(str`${low} bpm`) : msg(str`${low}–${high} bpm`));
  }
  facts.push(meterText(map.prevailing));
  const key = map.key && keyText(transposeKey(map.key, transpose));
  if (key) facts.push(key);
  facts.push(...movedFacts(map));
  const cents = Math.round(map.tuning);
  const off = Math.abs(cents);
  if (off >= IN_TUNE)
    facts.push(
      cents > 0 ? msg(str`recording ${off} cents sharp of A440`) : msg(str`recording ${off} cents flat of A440`),
    );
  return facts;
}

/** Where the capo is, and how far from the recording the song is played; empty where neither says anything. */
export function movedFacts({ fingered = {}, key }: SongMap): readonly string[] {
  const { transpose = 0, capo = 0 } = fingered;
  const shapes = key && keyText(transposeKey(key, transpose - capo));
  const behind = shapes ? msg(str`capo ${capo}, shapes of ${shapes}`) : msg(str`capo ${capo}`);
  return [...(capo > 0 ? [behind] : []), ...(transpose !== 0 ? [transpositionText(transpose)] : [])];
}

function transpositionText(transpose: number): string {
  const steps = Math.abs(transpose);
  if (steps === 1) return transpose > 0 ? msg('1 semitone above the recording') : msg('1 semitone below the recording');
  return transpose > 0
    ? msg(str`${steps} semitones above the recording`)
    : msg(str`${steps} semitones below the recording`);
}
