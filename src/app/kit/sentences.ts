import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { describeChanges, type MapChanges } from '../../model/changes.js';
import { beatAt, barName, barNumber, barsOf, irregularBars } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import { meterText } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import type { Step } from '../../analysis/progress.js';

/** "1 bar", "7 bars": a number with the word for one or the one for many. */
export function counted(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** First letter large, as a sentence begins. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** What a song is, in one sentence: "86 bars, 4/4, about 94 bpm; 3 bars of another length; 6 places worth a listen". */
export function songSentence(map: SongMap): string {
  const bars = barsOf(map).filter((bar) => !bar.pickup).length;
  if (bars === 0) return msg('No steady beat was found. Tap along where there is one, and bars will follow.');
  const tempo = tempoSummary(map);
  const irregular = irregularBars(map).length;
  const others = counted(irregular, msg('bar'), msg('bars'));
  const doubted = counted(map.doubts.length, msg('place'), msg('places'));
  const parts = [
    [
      counted(bars, msg('bar'), msg('bars')),
      meterText(map.prevailing),
      ...(tempo ? [msg(str`about ${Math.round(tempo.median)} bpm`)] : []),
    ].join(', '),
    ...(irregular > 0 ? [msg(str`${others} of another length`)] : []),
    map.doubts.length > 0 ? msg(str`${doubted} worth a listen`) : msg('no bar in doubt'),
  ];
  return parts.join('; ');
}

/** What an edit did: "Bar 37: 2 beats. 7 bars changed." */
export function editSentence(label: string, changes: MapChanges): string {
  return `${sentence(label)}. ${sentence(describeChanges(changes))}.`;
}

/** "bar 37 beat 2"; the time where no bar is: "0:03". */
export function placeText(map: SongMap, time: Seconds): string {
  const beat = beatAt(map, time);
  return beat ? msg(str`${barName(map, beat.bar)} beat ${beat.beat + 1}`) : clockText(time);
}

/** "1 beat", "2 beats", "3 1/2 beats". */
export function beatsText(beats: number): string {
  const whole = Math.floor(beats);
  if (beats === whole) return counted(beats, msg('beat'), msg('beats'));
  return whole === 0 ? msg('half a beat') : msg(str`${whole} 1/2 beats`);
}

/** "bar 9", "bars 9 to 16". */
export function barsText(map: SongMap, first: BarIndex, last: BarIndex): string {
  if (first === last) return barName(map, first);
  return msg(str`bars ${barNumber(map, first)} to ${barNumber(map, last)}`);
}

/** What the progress bar says while a step of the analysis runs. */
export const STEP_TEXTS: Readonly<Record<Step, string>> = {
  features: msg('Listening through the song'),
  'tuning and key': msg('Finding tuning and key'),
  beats: msg('Finding beats'),
  bars: msg('Finding bars'),
  sections: msg('Finding sections'),
  chords: msg('Finding chords'),
};

/** A title from a file's name: no ending, no track number, spaces for underscores; capitals when there are none. */
export function titleFromFileName(fileName: string): string {
  const stem = fileName.replace(/^.*[\\/]/, '').replace(/\.[A-Za-z0-9]{1,8}$/, '');
  const words = (/\s/.test(stem) ? stem.replace(/_/g, ' ') : stem.replace(/[_-]+/g, ' '))
    .replace(/^\d{1,3}(\s*[.)-]\s*|\s+)(?=\D)/, '')
    .replace(/\s+/g, ' ')
    .trim();
  if (!words) return fileName.trim() || msg('Untitled');
  if (words !== words.toLowerCase()) return words;
  return words.replace(/\p{L}[\p{L}'’]*/gu, (word, at: number) => {
    return at > 0 && SMALL_WORDS.includes(word) ? word : word.charAt(0).toUpperCase() + word.slice(1);
  });
}

/** Words that stay small inside a title (common practice, no source). */
const SMALL_WORDS = ['a', 'an', 'and', 'at', 'by', 'for', 'from', 'in', 'of', 'on', 'or', 'over', 'the', 'to', 'with'];
