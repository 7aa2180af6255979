import { msg, str } from '@lit/localize';
import { keyText } from '../../../music/key.js';
import { trueSigns } from '../../../music/pitch.js';
import { meterText } from '../../../music/meter.js';
import type { Cents } from '../../../music/units.js';
import type { SongMap, TempoSummary } from '../../../model/song-map.js';
import { tempoSummary } from '../../../model/tempo.js';
import { counted } from '../../kit/sentences.js';

/** What is known of a song, each as a musician says it: "92–97 bpm", "4/4", "D major", "+28 cents". */
export function songFacts(map: SongMap): readonly string[] {
  const facts = [tempoText(tempoSummary(map)), meterText(map.prevailing)];
  if (map.key) facts.push(keyText({ ...map.key, tonic: trueSigns(map.key.tonic) }));
  facts.push(tuningText(map.tuning), ...playedText(map));
  return facts.filter((fact) => fact !== '');
}

/** "capo 2", "played 3 semitones down": what makes the chords shown other than those that sound. */
function playedText({ fingered: { transpose = 0, capo = 0, sounding } = {} }: SongMap): readonly string[] {
  const steps = counted(Math.abs(transpose), msg('semitone'), msg('semitones'));
  return [
    ...(transpose === 0 ? [] : [transpose > 0 ? msg(str`played ${steps} up`) : msg(str`played ${steps} down`)]),
    ...(capo === 0 ? [] : [sounding ? msg(str`capo ${capo}, chords as they sound`) : msg(str`capo ${capo}, shapes`)]),
  ];
}

/** "94 bpm" for a steady song, "92–97 bpm" otherwise; nothing without beats. */
export function tempoText(tempo: TempoSummary | undefined): string {
  if (!tempo) return '';
  const [low, high] = [Math.round(tempo.low), Math.round(tempo.high)];
  return low === high ? msg(str`${low} bpm`) : msg(str`${low}–${high} bpm`);
}

/** "+28 cents", "−12 cents"; nothing within 3 cents of A 440, which nobody hears beside another instrument. */
export function tuningText(tuning: Cents): string {
  const cents = Math.round(tuning);
  if (Math.abs(cents) < 3) return '';
  const size = Math.abs(cents);
  return cents > 0 ? msg(str`+${size} cents`) : msg(str`−${size} cents`);
}
