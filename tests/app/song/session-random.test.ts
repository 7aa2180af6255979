import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clearDownbeat, setBarBeats, setDownbeat } from '../../../src/model/edits/bars.js';
import { addBeat, deleteBeat, moveBeat } from '../../../src/model/edits/beats.js';
import { setChords } from '../../../src/model/edits/chords.js';
import { liftLock } from '../../../src/model/edits/lift.js';
import { nameSection } from '../../../src/model/edits/sections.js';
import { restoreHistory } from '../../../src/model/history.js';
import { check, checkLocks } from '../../../src/model/invariants.js';
import { barsOf, beatTimes } from '../../../src/model/map-queries.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { memoryShelf, memoryStorage, type MemoryShelf } from '../../../src/platform/storage/memory.js';
import { runs } from '../../support/runs.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';

/** What a user may do; places are shares of the song, so that they fit whatever the song has become. */
type Act =
  | { readonly kind: 'edit'; readonly what: keyof typeof EDITS; readonly at: number; readonly size: number }
  | { readonly kind: 'undo' | 'redo' | 'reload' | 'lift and apply' | 'crash while solving' };

const EDITS = {
  beats: (map: SongMap, at: number, size: number) => setBarBeats(map, at % barsOf(map).length, 1 + (size % 7)),
  'bar start': (map: SongMap, at: number) => setDownbeat(map, beatTimes(map)[at % beatTimes(map).length] ?? 1),
  'no bar start': (map: SongMap, at: number) => clearDownbeat(map, beatTimes(map)[at % beatTimes(map).length] ?? 1),
  'beat more': (map: SongMap, at: number) => addBeat(map, (beatTimes(map)[at % beatTimes(map).length] ?? 1) + 0.25),
  'beat less': (map: SongMap, at: number) => deleteBeat(map, beatTimes(map)[at % beatTimes(map).length] ?? 1),
  'beat moved': (map: SongMap, at: number, size: number) => {
    const beat = beatTimes(map)[at % beatTimes(map).length] ?? 1;
    return moveBeat(map, beat, beat + ((size % 5) - 2) / 50);
  },
  name: (map: SongMap, at: number, size: number) => {
    const first = at % barsOf(map).length;
    return nameSection(map, first, Math.min(barsOf(map).length - 1, first + (size % 4)), `Part ${size}`);
  },
  chords: (map: SongMap, at: number) => setChords(map, at % barsOf(map).length, [{ beat: 0, harte: 'G' }]),
  lift: (map: SongMap, at: number) => liftLock(map, map.locks[at % Math.max(1, map.locks.length)]?.id ?? ''),
} as const;

const act: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('edit' as const),
      what: fc.constantFrom(...(Object.keys(EDITS) as (keyof typeof EDITS)[])),
      at: fc.nat(60),
      size: fc.nat(30),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constantFrom(
        'undo' as const,
        'redo' as const,
        'reload' as const,
        'lift and apply' as const,
        'crash while solving' as const,
      ),
    }),
  },
);

/** The session under test beside the plainest model of a history: all maps, and which is shown. */
class Pair {
  readonly shelf: MemoryShelf = memoryShelf();
  ports!: FakePorts;
  session!: Session;
  maps: SongMap[] = [];
  place = 0;

  async start(): Promise<void> {
    this.visit();
    await this.session.openFile(recordingFile('one.wav', 16));
    this.maps = [this.map];
  }

  get map(): SongMap {
    return this.session.song.value!.map;
  }

  async do(next: Act): Promise<void> {
    switch (next.kind) {
      case 'edit':
        await this.edit(next);
        break;
      case 'undo':
        await this.session.undo();
        this.place = Math.max(0, this.place - 1);
        break;
      case 'redo':
        await this.session.redo();
        this.place = Math.min(this.maps.length - 1, this.place + 1);
        break;
      case 'lift and apply': {
        const before = this.map;
        const { value } = this.session.notice;
        if (value?.action?.label.startsWith('Lift')) await value.action.run();
        this.note(before);
        break;
      }
      case 'reload':
        await this.session.dispose();
        await this.reopen();
        break;
      case 'crash while solving':
        await this.crash();
        break;
    }
    await this.compare();
  }

  private visit(): void {
    this.ports = fakePorts(memoryStorage(this.shelf));
    this.session = createSession(this.ports);
  }

  private async reopen(): Promise<void> {
    const [id] = this.shelf.songs.keys();
    this.shelf.claims.clear();
    this.visit();
    await this.session.openSong(id!);
  }

  private async edit({ what, at, size }: Extract<Act, { kind: 'edit' }>): Promise<void> {
    const before = this.map;
    await this.session.edit(what, (map) => EDITS[what](map, at, size));
    this.note(before);
  }

  /** The page goes away while a solve runs; after a reload the edit is done. */
  private async crash(): Promise<void> {
    const before = this.map;
    this.ports.analyser.solve = () => new Promise(() => undefined);
    void this.session.edit('beats', (map) => EDITS.beats(map, 1, 2));
    while (this.shelf.songs.values().next().value!.song.pending === undefined) await Promise.resolve();
    await this.reopen();
    this.note(before);
  }

  private note(before: SongMap): void {
    if (JSON.stringify(before) === JSON.stringify(this.map)) return;
    this.maps = [...this.maps.slice(0, this.place + 1), this.map];
    this.place += 1;
  }

  private async compare(): Promise<void> {
    expect(this.map).toEqual(this.maps[this.place]);
    expect([...check(this.map), ...checkLocks(this.map)]).toEqual([]);
    const song = this.session.song.value!;
    expect(song.saved).toBe('saved');
    expect(song.undoLabel === undefined).toBe(this.place === 0);
    expect(song.redoLabel === undefined).toBe(this.place === this.maps.length - 1);
    const stored = await this.ports.storage.open(song.id);
    expect(stored.place).toBe(this.place);
    expect(stored.pending).toBeUndefined();
    const history = restoreHistory(stored.steps, stored.place);
    expect(history.steps.map(({ map }) => map)).toEqual(this.maps);
  }
}

describe('a session under whatever a user does', () => {
  it('shows and stores what a plain list of maps would, across undo, redo, reloads and crashes', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(act, { minLength: 1, maxLength: 25 }), async (acts) => {
        const pair = new Pair();
        await pair.start();
        for (const next of acts) await pair.do(next);
        while (pair.place > 0) await pair.do({ kind: 'undo' });
        expect(pair.map).toEqual(pair.maps[0]);
        while (pair.place < pair.maps.length - 1) await pair.do({ kind: 'redo' });
        await pair.session.dispose();
      }),
      { numRuns: runs(40) },
    );
  });
});
