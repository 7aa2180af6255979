import { PLAIN } from '../../../src/app/kit/practice.js';
import { DEFAULT_SETTINGS } from '../../../src/app/kit/settings.js';
import { computed, signal } from '@preact/signals-core';
import { beatStartsOf, parseMeter, withBeats, type Meter } from '../../../src/music/meter.js';
import type { Lock } from '../../../src/model/locks.js';
import type { Bar, ChordMark, Doubt, Section, SongMap, Span } from '../../../src/model/song-map.js';
import { BAR_COMMANDS } from '../../../src/app/map/bar-commands.js';
import { BEAT_COMMANDS } from '../../../src/app/map/beat-commands.js';
import { DOUBT_COMMANDS } from '../../../src/app/doubts/doubt-commands.js';
import { MOVE_COMMANDS } from '../../../src/app/map/move-commands.js';
import { PLAY_COMMANDS } from '../../../src/app/practice/play-commands.js';
import type { PageKind } from '../../../src/app/kit/ports.js';
import type { OpenSong, PlayPanel, Prompt, Session, Settings, View } from '../../../src/app/kit/session.js';

/** A song in one line a section: "A Verse?: 4 4 4 2 | G . Em C/D", "?" for a suggested one; "~5" is free time of 5 s. */
export function songOf(
  title: string,
  lines: readonly string[],
  options: { meter?: string; pickup?: number } = {},
): SongMap {
  const prevailing = parseMeter(options.meter ?? '4/4');
  const period = 0.63;
  const spans: Span[] = [{ kind: 'lead-in', start: 0 }];
  const sections: Section[] = [];
  const chords: ChordMark[] = [];
  let time = 2.1;
  const addBar = (meter: Meter, confidence: number, pickup?: true): Bar => {
    const starts = beatStartsOf(meter);
    const beats = Array.from({ length: starts }, (_, k) => time + k * period);
    const bar: Bar = { kind: 'bar', start: time, beats, meter, confidence, ...(pickup ? { pickup } : {}) };
    spans.push(bar);
    time += (meter.count / meter.beatUnits) * period;
    return bar;
  };
  if (options.pickup) addBar(withBeats(prevailing, options.pickup), 0.9, true);
  lines.forEach((line, i) => {
    const head = line.slice(0, line.indexOf(':'));
    const rest = line.slice(line.indexOf(':') + 1);
    const [lengths = '', marks = ''] = rest.split('|');
    const [letter = 'A', ...name] = head.trim().replace('?', '').split(' ');
    const start = i === 0 && options.pickup ? 2.1 : time;
    sections.push({
      id: `s${i}`,
      name: name.join(' '),
      letter,
      start,
      origin: head.includes('?') ? 'suggested' : 'user',
    });
    const names = marks.trim().split(/\s+/).filter(Boolean);
    lengths
      .trim()
      .split(/\s+/)
      .forEach((text, at) => {
        if (text.startsWith('~')) {
          spans.push({ kind: 'free', start: time });
          time += Number(text.slice(1));
          return;
        }
        const unsure = text.endsWith('?');
        const length = text.replace('?', '');
        const meter = length.includes('/')
          ? parseMeter(length.replace(',', ' '))
          : withBeats(prevailing, Number(length));
        const bar = addBar(meter, unsure ? 0.4 : 0.93);
        const own = (names[at] ?? '.').split('-');
        own.forEach((harte, k) => {
          if (harte === '.') return;
          const beat = bar.beats[Math.floor((k * bar.beats.length) / own.length)] ?? bar.start;
          chords.push({ time: beat, harte, origin: k === 0 ? 'user' : 'suggested', confidence: 0.8 });
        });
      });
  });
  spans.push({ kind: 'tail', start: time });
  const bars = spans.filter((span): span is Bar => span.kind === 'bar');
  const at = (index: number): number => bars[index]?.start ?? 0;
  const locks: Lock[] =
    bars.length > 12
      ? [
          { id: 'l1', kind: 'downbeat', time: at(2) },
          { id: 'l2', kind: 'beat', time: bars[4]?.beats[2] ?? 0 },
          { id: 'l3', kind: 'not-downbeat', time: bars[5]?.beats[1] ?? 0 },
          { id: 'l4', kind: 'bar-lines', starts: [at(8), at(9), at(10), at(11)] },
        ]
      : [];
  const doubts: Doubt[] = bars
    .map((bar, i) => ({ bar, i }))
    .filter(({ bar }) => bar.confidence < 0.5)
    .map(({ bar, i }) => ({
      time: bar.start,
      weight: 1 - bar.confidence,
      kind: 'length',
      text: '4 beats or 2? The same place in verse 1 has 2.',
      keep: [{ kind: 'bar-length', time: bar.start, meter: bar.meter }],
      other: i % 3 === 0 ? [] : [{ kind: 'bar-length', time: bar.start, meter: withBeats(prevailing, 2) }],
    }));
  return {
    title,
    recording: { fileName: 'a.ogg', duration: time + 3, sampleRate: 44100, channels: 2, contentId: '0' },
    start: 0,
    end: time + 3,
    spans,
    prevailing,
    tuning: 12,
    key: { tonic: 'G', mode: 'major', confidence: 0.9 },
    sections,
    chords,
    locks,
    doubts,
    analysis: 'harness',
  };
}

/** A session that holds one song, plays silence on the page's clock and applies edits without solving. */
export function fakeSession(map: SongMap): Session & { readonly log: string[] } {
  const log: string[] = [];
  const song = signal<OpenSong | undefined>({
    id: 'x',
    map,
    evidence: { version: '0', duration: map.end, tuning: 0, tracks: {} } as unknown as OpenSong['evidence'],
    peaks: { rate: 200, data: new Int8Array(0) },
    audible: true,
    read: 1,
    hasAudio: true,
    solving: false,
    saved: 'saved',
    changed: [],
  });
  const playing = signal(false);
  let from = 0;
  // The sound stands still there, so that a slow machine does not run past what a test looks at.
  let until = Infinity;
  let since = 0;
  const view: View = {
    workspace: signal<'map' | 'passes' | 'play' | 'chart'>('map'),
    cursor: signal(map.start),
    selection: signal<{ first: number; last: number } | undefined>(undefined),
    window: signal({ from: 0, span: 20 }),
    doubt: signal<number | undefined>(undefined),
    reading: signal<'keep' | 'other'>('keep'),
    prompt: signal<Prompt | undefined>(undefined),
    help: signal(false),
    helpPage: signal(false),
    clip: signal(undefined) as View['clip'],
    panel: signal<PlayPanel>('practice'),
    files: signal(false),
    pages: signal<PageKind>('chart'),
  };
  const settings = signal<Settings>({ ...DEFAULT_SETTINGS, recordingLevel: 0.5, clickLevel: 0.5, clickOn: false });
  const setMap = (next: SongMap, changed: readonly number[]): void => {
    if (song.value) song.value = { ...song.value, map: next, changed };
  };
  const session = {
    log,
    songs: signal([]),
    song,
    map: computed(() => song.value?.map),
    task: signal(undefined),
    notice: signal(undefined),
    playing,
    settings,
    practice: signal(PLAIN),
    counting: () => undefined,
    round: () => undefined,
    jump: () => undefined,
    view,
    keeping: signal<'kept'>('kept'),
    notBackedUp: signal([]),
    tapping: signal(undefined),
    passes: signal([]),
    guide: signal(undefined),
    closeGuide: () => {},
    doubtsLeft: computed(() => song.value?.map.doubts.length ?? 0),
    commands: [...DOUBT_COMMANDS, ...BAR_COMMANDS, ...BEAT_COMMANDS, ...MOVE_COMMANDS, ...PLAY_COMMANDS],
    position: () => (playing.value ? Math.min(until, from + (performance.now() - since) / 1000) : view.cursor.value),
    edit: (label: string, change: (before: SongMap) => SongMap) => {
      log.push(`edit ${label}`);
      if (song.value) setMap(change(song.value.map), [3, 4, 5]);
      return Promise.resolve();
    },
    lock: (label: string, drafts: readonly object[]) => {
      log.push(`lock ${label} ${JSON.stringify(drafts)}`);
      return Promise.resolve();
    },
    liftLock: (id: string) => {
      log.push(`lift ${id}`);
      if (song.value) setMap({ ...song.value.map, locks: song.value.map.locks.filter((lock) => lock.id !== id) }, []);
      return Promise.resolve();
    },
    hearDoubt: (index: number) => {
      log.push(`hear ${index}`);
      view.doubt.value = index;
      return Promise.resolve();
    },
    decideDoubt: (index: number, reading: string) => {
      log.push(`decide ${index} ${reading}`);
      if (song.value) {
        setMap({ ...song.value.map, doubts: song.value.map.doubts.filter((_, i) => i !== index) }, []);
      }
      return Promise.resolve();
    },
    lengthTarget: () => undefined,
    say: (notice: { text: string }) => log.push(`say ${notice.text}`),
    play: (at = 0, to = Infinity) => {
      log.push(`play ${at.toFixed(2)}`);
      from = at;
      until = to;
      since = performance.now();
      playing.value = true;
      return Promise.resolve();
    },
    stop: () => {
      playing.value = false;
    },
  };
  return session as unknown as Session & { readonly log: string[] };
}
