import { chord } from './chords.mjs';

const round = (seconds) => Math.round(seconds * 1e4) / 1e4;

/**
 * The song's truth as JAMS (Humphrey et al. 2014). `clock` from placeOnClock; `shift`: seconds by which the decoded
 * sound lies later than the clock; `duration` of the decoded sound.
 */
export function truthOf({ title, file, key, cents, beatUnits }, clock, shift, duration) {
  const time = (beat) => round((beat < clock.beats.length ? clock.beats[beat] : clock.end) + shift);
  const between = (from, to) => ({ time: from, duration: round(to - from) });
  let measure = clock.bars[0].pickup ? 0 : 1;
  const beats = [];
  const chords = [{ ...between(0, time(clock.bars.find((bar) => !bar.pickup).first)), value: 'N' }];
  for (const bar of clock.bars) {
    const usual = bar.pickup ? bar.usual : bar.beats;
    for (let i = 0; i < bar.beats; i++) {
      const position = usual - bar.beats + i + 1;
      const value = { position, measure, num_beats: usual, beat_units: beatUnits };
      beats.push({ ...between(time(bar.first + i), time(bar.first + i + 1)), value });
    }
    for (const { name, at, length } of bar.pickup ? [] : bar.chords) {
      const start = time(bar.first + at);
      const value = chord(name).harte;
      const before = chords.at(-1);
      if (before.value === value) before.duration = round(time(bar.first + at + length) - before.time);
      else chords.push({ ...between(start, time(bar.first + at + length)), value });
    }
    measure++;
  }
  const end = time(clock.beats.length);
  chords.push({ ...between(end, duration), value: 'N' });
  const sections = clock.starts.map((bar, i) => {
    const next = clock.starts[i + 1];
    const until = next === undefined ? end : time(clock.bars[next].first);
    return { ...between(time(clock.bars[bar].first), until), value: clock.bars[bar].section.name };
  });
  const gaps = clock.beats.slice(1).map((beat, i) => beat - clock.beats[i]);
  const median = gaps.sort((a, b) => a - b)[gaps.length >> 1];
  const annotation = (namespace, data) => ({
    namespace,
    annotation_metadata: {
      annotation_tools: 'samples/make',
      annotation_rules: 'The times at which the script meant each beat to be played.',
      data_source: 'script',
    },
    data: data.map(({ time, duration, value }) => ({ time, duration, value, confidence: 1 })),
    sandbox: {},
  });
  return {
    file_metadata: {
      title,
      artist: '',
      release: '',
      duration: round(duration),
      jams_version: '0.3.4',
      identifiers: {},
    },
    annotations: [
      annotation('beat_position', beats),
      annotation('segment_open', sections),
      annotation('chord', chords),
      annotation('tempo', [{ ...between(0, duration), value: Math.round(600 / median) / 10 }]),
      annotation('key_mode', [{ ...between(0, duration), value: key }]),
    ],
    sandbox: { file, tuning_cents: cents },
  };
}
