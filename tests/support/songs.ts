import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import type { Peaks } from '../../src/dsp/peaks.js';
import type { Bar, SongMap, Span } from '../../src/model/song-map.js';
import { COMMON_TIME, beatStartsOf, beatsOf, withBeats } from '../../src/music/meter.js';
import type { SongSummary, StoredSong } from '../../src/app/kit/ports.js';

/** A map of bars of so many beats, `beat` seconds each, from `first` on; one section over all of them. */
export function mapOfBars(
  lengths: readonly number[],
  options: { beat?: number; first?: number; title?: string } = {},
): SongMap {
  const { beat = 0.5, first = 1, title = 'Lantern Road' } = options;
  const spans: Span[] = [];
  if (first > 0) spans.push({ kind: 'lead-in', start: 0 });
  let start = first;
  for (const length of lengths) {
    const meter = withBeats(COMMON_TIME, length);
    const bar: Bar = {
      kind: 'bar',
      start,
      beats: Array.from({ length: beatStartsOf(meter) }, (_, i) => start + i * beat),
      meter,
      confidence: 0.9,
    };
    spans.push(bar);
    start += beatsOf(meter) * beat;
  }
  spans.push({ kind: 'tail', start });
  const end = start + 1;
  return {
    title,
    recording: { fileName: 'lantern-road.wav', duration: end, sampleRate: 44100, channels: 2, contentId: 'c0ffee' },
    start: 0,
    end,
    spans,
    prevailing: COMMON_TIME,
    tuning: 0,
    sections: [{ id: 's1', name: 'Verse', letter: 'A', start: first, origin: 'suggested' }],
    chords: [],
    locks: [],
    doubts: [],
    analysis: 'test-1',
  };
}

/** Evidence of silence, the right shape, for `duration` seconds. */
export function flatEvidence(duration: number, version = 'test-1'): Evidence {
  const track = (width: number): Track => ({ rate: 10, width, data: new Uint8Array(Math.ceil(duration * 10) * width) });
  return {
    version,
    duration,
    tuning: 0,
    tracks: {
      beat: track(1),
      downbeat: track(1),
      onset: track(5),
      level: track(1),
      chroma: track(12),
      bass: track(12),
      timbre: track(12),
    },
  };
}

export function flatPeaks(duration: number): Peaks {
  return { rate: 200, data: new Int8Array(Math.ceil(duration * 200) * 2) };
}

/** A song as kept, with one step: its first map. */
export function storedSong(id: string, map = mapOfBars([4, 4, 2, 4]), changed = 1): StoredSong {
  return {
    summary: summaryOf(id, map, changed),
    evidence: flatEvidence(map.recording.duration),
    peaks: flatPeaks(map.recording.duration),
    steps: [{ index: 0, label: '', snapshot: map }],
    place: 0,
  };
}

export function summaryOf(id: string, map: SongMap, changed = 1, hasAudio = false): SongSummary {
  const { duration, contentId } = map.recording;
  return { id, title: map.title, duration, changed, hasAudio, contentId };
}
