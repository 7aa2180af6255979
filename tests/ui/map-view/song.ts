import { beatStartsOf, parseMeter, withBeats } from '../../../src/music/meter.js';
import type { Bar, SongMap, Span } from '../../../src/model/song-map.js';

/**
 * A map in one line: lengths in beats or as a time signature, "|" between sections, "p1" for a pickup of one beat, "~3"
 * for free time of 3 s, "?" after a bar that is unsure. A beat lasts 0.5 s; the lead-in 1 s; the tail 2 s.
 */
export function song(notation: string, prevailing = '4/4'): SongMap {
  const meter = parseMeter(prevailing);
  const spans: Span[] = [{ kind: 'lead-in', start: 0 }];
  const starts: number[] = [];
  let time = 1;
  let fresh = true;
  for (const word of notation.split(/\s+/)) {
    if (word === '|') {
      fresh = true;
      continue;
    }
    if (word.startsWith('~')) {
      spans.push({ kind: 'free', start: time });
      time += Number(word.slice(1));
      continue;
    }
    const text = word.replace(/[p?]/g, '');
    const own = text.includes('/') ? parseMeter(text.replace('(', ' (')) : withBeats(meter, Number(text));
    const beats = Array.from({ length: beatStartsOf(own) }, (_, k) => time + k * 0.5);
    const confidence = word.includes('?') ? 0.3 : 0.9;
    const bar: Bar = { kind: 'bar', start: time, beats, meter: own, confidence };
    spans.push(word.startsWith('p') ? { ...bar, pickup: true } : bar);
    if (fresh) starts.push(time);
    fresh = false;
    time += (own.count / own.beatUnits) * 0.5;
  }
  spans.push({ kind: 'tail', start: time });
  return {
    title: 'Test',
    recording: { fileName: 'test.wav', duration: time + 2, sampleRate: 44100, channels: 1, contentId: '00' },
    start: 0,
    end: time + 2,
    spans,
    prevailing: meter,
    tuning: 0,
    sections: starts.map((start, i) => ({
      id: `s${i}`,
      name: `Part ${i + 1}`,
      letter: 'ABCDEFG'.charAt(i),
      start,
      origin: 'user',
    })),
    chords: [],
    locks: [],
    doubts: [],
    analysis: 'test',
  };
}
