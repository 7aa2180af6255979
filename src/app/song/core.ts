import { msg, str } from '@lit/localize';
import { computed, signal, type ReadonlySignal, type Signal } from '@preact/signals-core';
import type { SongMap } from '../../model/song-map.js';
import type { SongDesk } from './open-song.js';
import { PLAIN, type Practice } from '../kit/practice.js';
import type { Keeping, PageKind, Ports, SongSummary } from '../kit/ports.js';
import type { Notice, PlayPanel, Settings, Tapping, Task, View } from '../kit/session.js';
import { readSettings } from '../kit/settings.js';
import { Solver } from './solver.js';

/** What the parts of a session share. */
export interface Core {
  readonly ports: Ports;
  readonly solver: Solver;
  readonly songs: Signal<readonly SongSummary[]>;
  readonly desk: Signal<SongDesk | undefined>;
  /** The map of the open song; changes only when the map does. */
  readonly map: ReadonlySignal<SongMap | undefined>;
  readonly task: Signal<Task | undefined>;
  readonly notice: Signal<Notice | undefined>;
  readonly playing: Signal<boolean>;
  readonly settings: Signal<Settings>;
  readonly practice: Signal<Practice>;
  readonly keeping: Signal<Keeping>;
  readonly tapping: Signal<Tapping | undefined>;
  readonly view: View;
  readonly say: (notice: Notice) => void;
  /** Milliseconds since 1970 to note a change with: later than every other one, though the clock may have been set back. */
  readonly stamp: () => number;
  /** Says an error of any kind; a cancelled work is none. */
  readonly sayError: (error: unknown, action?: Notice['action']) => void;
}

export function createCore(ports: Ports): Core {
  const notice = signal<Notice | undefined>(undefined);
  const say = (news: Notice): void => {
    notice.value = news;
  };
  const desk = signal<SongDesk | undefined>(undefined);
  const songs = signal<readonly SongSummary[]>([]);
  const settings = signal(readSettings(ports.settings.read()));
  return {
    ports,
    solver: new Solver(ports.analyser),
    songs,
    desk,
    map: computed(() => desk.value?.song.value.map),
    task: signal<Task | undefined>(undefined),
    notice,
    playing: signal(false),
    settings,
    practice: signal(PLAIN),
    keeping: signal<Keeping>('may be cleared'),
    tapping: signal<Tapping | undefined>(undefined),
    view: {
      workspace: signal<'map' | 'passes' | 'play' | 'chart'>('map'),
      cursor: signal(0),
      selection: signal<{ first: number; last: number } | undefined>(undefined),
      window: signal({ from: 0, span: FIRST_WINDOW }),
      doubt: signal<number | undefined>(undefined),
      reading: signal<'keep' | 'other'>('keep'),
      prompt: signal(undefined) as View['prompt'],
      help: signal(false),
      helpPage: signal(false),
      clip: signal(undefined) as View['clip'],
      panel: signal<PlayPanel>('practice'),
      files: signal(false),
      pages: signal<PageKind>('chart'),
    },
    say,
    stamp: () => {
      const known = songs.peek().map(({ changed }) => changed);
      return Math.max(ports.clock.date(), 1 + Math.max(settings.peek().lastBackup ?? 0, ...known));
    },
    sayError: (error, action) => {
      if (!isCancelled(error)) say({ kind: 'error', text: textOf(error), action });
    },
  };
}

/** Asks that the songs be kept. Nothing waits for the answer: some browsers ask the user, who may never say. */
export function askToKeep({ ports, keeping }: Core): void {
  void ports.storage.keeping(true).then((kept) => {
    keeping.value = kept;
  });
}

/** Seconds that the close-up shows at first. */
export const FIRST_WINDOW = 20;

/** True for the errors with which work ends that the user called off. */
export function isCancelled(error: unknown): boolean {
  return error instanceof Error && (error.name === 'Cancelled' || error.name === 'AbortError');
}

/** True when a worker ended without an answer: the same can be asked again. */
export function hasStopped(error: unknown): boolean {
  return error instanceof Error && error.name === 'StoppedProblem';
}

/** Our own errors are sentences for the user; of others the words are told with what to do. */
export function textOf(error: unknown): string {
  if (!(error instanceof Error)) {
    const words = String(error);
    return msg(str`Something went wrong: ${words}. Nothing was changed.`);
  }
  if (/Problem$/.test(error.name)) return error.message;
  const words = (error.message || error.name).replace(/\.$/, '');
  return msg(str`Something went wrong: ${words}. Nothing was changed; reload the page if it happens again.`);
}
