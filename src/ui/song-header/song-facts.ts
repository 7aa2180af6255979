import { keyText } from '../../music/key.js';
import { meterText } from '../../music/meter.js';
import type { Cents } from '../../music/units.js';
import type { SongMap, TempoSummary } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';

/** What is known of a song, each as a musician says it: "92–97 bpm", "4/4", "D major", "+28 cents". */
export function songFacts(map: SongMap): readonly string[] {
  const facts = [tempoText(tempoSummary(map)), meterText(map.prevailing)];
  if (map.key) facts.push(keyText(map.key));
  facts.push(tuningText(map.tuning), ...playedText(map));
  return facts.filter((fact) => fact !== '');
}

/** "capo 2", "played 3 semitones down": what makes the chords shown other than those that sound. */
function playedText({ fingered: { transpose = 0, capo = 0, sounding } = {} }: SongMap): readonly string[] {
  const semitones = Math.abs(transpose) === 1 ? 'semitone' : 'semitones';
  return [
    ...(transpose === 0 ? [] : [`played ${Math.abs(transpose)} ${semitones} ${transpose > 0 ? 'up' : 'down'}`]),
    ...(capo === 0 ? [] : [sounding ? `capo ${capo}, chords as they sound` : `capo ${capo}, shapes`]),
  ];
}

/** "94 bpm" for a steady song, "92–97 bpm" otherwise; nothing without beats. */
export function tempoText(tempo: TempoSummary | undefined): string {
  if (!tempo) return '';
  const [low, high] = [Math.round(tempo.low), Math.round(tempo.high)];
  return low === high ? `${low} bpm` : `${low}–${high} bpm`;
}

/** "+28 cents", "−12 cents"; nothing within 3 cents of A 440, which nobody hears beside another instrument. */
export function tuningText(tuning: Cents): string {
  const cents = Math.round(tuning);
  if (Math.abs(cents) < 3) return '';
  return `${cents > 0 ? '+' : '−'}${Math.abs(cents)} cents`;
}
