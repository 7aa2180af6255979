import { msg, str } from '@lit/localize';
import { signal, type ReadonlySignal } from '@preact/signals-core';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { Fingerprint } from '../../dsp/fingerprint.js';
import { sameValue } from '../../model/same-value.js';
import type { SongMap } from '../../model/song-map.js';
import { changesBetween, type MapChanges } from '../../model/changes.js';
import {
  currentMap,
  pushMap,
  redo,
  redoLabel,
  replaceMap,
  restoreHistory,
  storedStep,
  storedSteps,
  undo,
  undoLabel,
  type History,
} from '../../model/history.js';
import { check, checkLocks } from '../../model/invariants.js';
import { patchBetween, patched } from '../../model/map-patch.js';
import { conflictNotice, solveAround } from './conflicts.js';
import { isEvidence, NO_PEAKS } from './no-evidence.js';
import { needsSolving } from './needs-solving.js';
import type { ClockPort, SongSummary, StoragePort, StoredSong } from '../kit/ports.js';
import { editSentence, sentence } from '../kit/sentences.js';
import type { Notice, OpenSong } from '../kit/session.js';
import type { Solver } from './solver.js';
import { reasonOf } from '../kit/words.js';
import { WriteQueue, type WriteState } from './write-queue.js';

/** How long the bars that an edit changed are shown, in milliseconds. */
const SHOW_CHANGED = 1000;

export interface DeskOutside {
  readonly storage: StoragePort;
  readonly solver: Solver;
  readonly clock: ClockPort;
  say(notice: Notice): void;
  /** When a change is made: milliseconds since 1970, later than any noted before. */
  stamp(): number;
  /** Hands the song to the user as a project file, which is the way out when it cannot be stored. */
  saveFile(): Promise<void>;
  /** The song is stored with this summary now. */
  kept(summary: SongSummary): void;
  /** The map shown is another one now. */
  shown(before: SongMap, after: SongMap): void;
  /** The map is on another file of the recording now, and its sound has to be read. */
  otherFile(): void;
}

export interface EditOptions {
  /** The evidence that the map rests on from this edit on. */
  readonly evidence?: Evidence;
  /** The map is solved with that evidence already. */
  readonly solved?: boolean;
  /** Said instead of what the edit is called and how many bars it changed. */
  readonly said?: (changes: MapChanges) => string;
}

/**
 * An open song: its map, its history, and the edits waiting for their turn. Edits, undo and redo are done one after
 * another, each being stored from the moment its turn comes, solved or not; closing waits for them.
 */
export class SongDesk {
  readonly song: ReadonlySignal<OpenSong>;
  private readonly shownSong;
  /** Fingerprint of the recording that sounds; missing until it was heard once. */
  print: Fingerprint | undefined;
  /** Content of the recording that is in the player, and whose outline is shown. */
  soundOf: string;

  private history: History;
  private evidences: readonly { readonly from: number; readonly evidence: Evidence }[];
  private summary: SongSummary;
  private readonly writes: WriteQueue;
  private writeState: WriteState = 'saved';
  private lastTurn: Promise<unknown> = Promise.resolve();
  /** Turns under way or still to come, and those of them still to come: what they do is not stored yet. */
  private turns = 0;
  private waiting = 0;
  private stopShowing: (() => void) | undefined;
  private failureSaid = false;
  private closed = false;

  /** `release` gives back the claim on the song. Throws when what is stored cannot be read. */
  constructor(
    stored: StoredSong,
    private readonly outside: DeskOutside,
    private readonly release: () => void,
  ) {
    this.history = restoreHistory(stored.steps, stored.place);
    this.summary = stored.summary;
    const { contentId } = this.map.recording;
    const isOfMap = stored.soundOf === undefined || stored.soundOf === contentId;
    this.soundOf = contentId;
    this.print = isOfMap ? stored.print : undefined;
    this.evidences = [
      { from: 0, evidence: stored.evidence },
      ...stored.steps.flatMap((step) => (step.evidence ? [{ from: step.index, evidence: step.evidence }] : [])),
    ];
    this.shownSong = signal<OpenSong>({
      id: stored.summary.id,
      map: this.map,
      evidence: this.evidence,
      // After an undo across files of the recording the outline kept is the other one's.
      peaks: isOfMap ? stored.peaks : NO_PEAKS,
      audible: false,
      read: 0,
      hasAudio: stored.summary.hasAudio,
      solving: false,
      saved: 'saved',
      undoLabel: undoLabel(this.history),
      redoLabel: redoLabel(this.history),
      changed: [],
    });
    this.song = this.shownSong;
    this.writes = new WriteQueue((state, reason) => this.written(state, reason));
  }

  get id(): string {
    return this.summary.id;
  }

  get map(): SongMap {
    return currentMap(this.history);
  }

  /** What the map at the present place rests on. */
  get evidence(): Evidence {
    const found = this.evidences.filter(({ from }) => from <= this.history.place).at(-1) ?? this.evidences[0];
    return (found as { evidence: Evidence }).evidence;
  }

  /** Resolves true when the edit is applied, false when it was refused; the reason was said then. */
  edit(label: string, change: (map: SongMap) => SongMap, options: EditOptions = {}): Promise<boolean> {
    // A way out that was offered before the song was closed comes too late.
    return this.closed ? Promise.resolve(false) : this.inTurn(() => this.apply(label, change, options));
  }

  /** The map as `change` would make it, solved, but neither shown nor stored; undefined where locks are in the way. */
  async preview(change: (map: SongMap) => SongMap): Promise<SongMap | undefined> {
    const { map, evidence } = this;
    if (!isEvidence(evidence)) return undefined;
    const outcome = await solveAround(this.outside.solver, evidence, map, change);
    return outcome.kind === 'solved' ? outcome.map : undefined;
  }

  undo(): Promise<void> {
    return this.inTurn(() => this.goTo(-1));
  }

  redo(): Promise<void> {
    return this.inTurn(() => this.goTo(1));
  }

  /** Does the edit that was stored but not solved when the page went away. */
  async finishPending(pending: StoredSong['pending']): Promise<void> {
    if (!pending) return;
    const { label, patch } = pending;
    const said = (changes: MapChanges) =>
      msg(str`The last edit was not finished; it is now: ${editSentence(label, changes)}`);
    const done = await this.edit(label, (map) => patched(map, patch), { said });
    if (!done) this.takeBack();
    await this.writes.idle();
  }

  /** The song as it is kept, from here and not from storage. */
  stored(): StoredSong {
    const { peaks } = this.shownSong.peek();
    const [first, ...later] = this.evidences;
    const steps = storedSteps(this.history).map((step) => {
      const own = later.find(({ from }) => from === step.index);
      return own ? { ...step, evidence: own.evidence } : step;
    });
    const { evidence } = first as { evidence: Evidence };
    const { print, soundOf, summary } = this;
    return { summary, evidence, peaks, ...(print ? { print } : {}), soundOf, steps, place: this.history.place };
  }

  /** Notes what happened to the sound. */
  set(sound: Partial<Pick<OpenSong, 'audible' | 'hasAudio' | 'peaks' | 'read'>>): void {
    if (sound.hasAudio !== undefined) this.summary = { ...this.summary, hasAudio: sound.hasAudio };
    this.show(sound);
  }

  retrySaving(): Promise<void> {
    this.failureSaid = false;
    return this.writes.retry();
  }

  /** Has storage hold the song as it is shown, whatever became of what was stored: after the database was lost, say. */
  keep(): Promise<void> {
    const { place } = this.history;
    return this.write(() => this.outside.storage.setPlace(this.id, place, this.summary));
  }

  /** Stores all of the song in place of what is stored of it. */
  keepWhole(): Promise<void> {
    return this.write(() => this.outside.storage.put(this.stored()));
  }

  /** Resolves when all edits under way are done, stored or not. */
  async settled(): Promise<void> {
    await this.lastTurn;
  }

  /** Resolves when all edits under way are done and stored, as far as they can be. */
  async idle(): Promise<void> {
    await this.lastTurn;
    await this.writes.idle();
  }

  /** Waits for what is under way, then lets go of the song. */
  async close(): Promise<void> {
    this.closed = true;
    await this.idle();
    this.stopShowing?.();
    this.release();
  }

  private async apply(label: string, change: (map: SongMap) => SongMap, options: EditOptions): Promise<boolean> {
    const before = this.map;
    let edited: SongMap;
    try {
      edited = change(before);
    } catch (error) {
      this.outside.say({ kind: 'error', text: sentence(reasonOf(error)) });
      return false;
    }
    if (!options.evidence && sameValue(edited, before)) {
      this.outside.say({ kind: 'info', text: msg(str`${sentence(label)}: it is so already.`) });
      return false;
    }
    const solve = !options.solved && (options.evidence !== undefined || needsSolving(before, edited));
    if (solve && !isEvidence(options.evidence ?? this.evidence)) {
      this.outside.say({
        kind: 'error',
        text: msg(
          str`${sentence(label)}: not done. This song came without its analysis; choose its recording and analyse it anew, then its bars can be changed.`,
        ),
      });
      return false;
    }
    try {
      if (!solve) {
        this.push(label, edited, options);
        return true;
      }
      this.show({ solving: true });
      // First the edit, then its solve: whatever happens to the page now, the edit is not lost. The write is under way
      // and keeps its place before the step's own; the solver, which can lose nothing, need not wait for it.
      void this.write(() => this.outside.storage.setPending(this.id, { label, patch: patchBetween(before, edited) }));
      const outcome = await solveAround(this.outside.solver, options.evidence ?? this.evidence, before, change);
      if (outcome.kind === 'solved') {
        this.push(label, outcome.map, options);
        return true;
      }
      this.takeBack();
      const again = (lift: (map: SongMap) => SongMap) =>
        this.edit(label, (map) => change(lift(map)), options).then(() => undefined);
      this.outside.say(conflictNotice(label, before, outcome, again));
    } catch (error) {
      if (solve) this.takeBack();
      const reason = reasonOf(error);
      this.outside.say({
        kind: 'error',
        text: msg(str`"${label}" could not be done: ${reason} The song is as it was before.`),
        action: { label: msg('Try again'), run: async () => void (await this.edit(label, change, options)) },
      });
    } finally {
      if (solve) this.show({ solving: false });
    }
    return false;
  }

  private takeBack(): void {
    void this.write(() => this.outside.storage.setPending(this.id, undefined));
  }

  private push(label: string, map: SongMap, options: EditOptions): void {
    const before = this.map;
    const faults = [...check(map), ...checkLocks(map)];
    if (faults.length > 0) throw new Error(msg(str`it would leave a map that does not add up (${faults[0]!}).`));
    const pushed = pushMap(this.history, label, map);
    const step = storedStep(pushed);
    // A solved map comes whole from the worker. Taken as a difference it shares what is the same with the map before,
    // so that a long history needs little memory; and what is shown is what a reload will show.
    this.history = step.patch === undefined ? pushed : replaceMap(pushed, patched(before, step.patch));
    const { place } = pushed;
    this.evidences = this.evidences.filter(({ from }) => from < place || from === 0);
    if (options.evidence) this.evidences = [...this.evidences, { from: place, evidence: options.evidence }];
    const changes = this.shift(before);
    const { summary } = this;
    const stored = options.evidence ? { ...step, evidence: options.evidence } : step;
    void this.write(async () => {
      await this.outside.storage.append(this.id, stored, summary);
      this.outside.kept(summary);
    });
    this.outside.say({ kind: 'info', text: options.said?.(changes) ?? this.outcomeText(label, before, changes) });
  }

  private outcomeText(label: string, before: SongMap, changes: MapChanges): string {
    const solved = needsSolving(before, this.map) || changes.bars.length > 0;
    return solved ? editSentence(label, changes) : `${sentence(label)}.`;
  }

  private async goTo(steps: 1 | -1): Promise<void> {
    const label = steps < 0 ? undoLabel(this.history) : redoLabel(this.history);
    if (label === undefined) return;
    const before = this.map;
    this.history = steps < 0 ? undo(this.history) : redo(this.history);
    this.shift(before);
    const { place } = this.history;
    const { summary } = this;
    void this.write(async () => {
      await this.outside.storage.setPlace(this.id, place, summary);
      this.outside.kept(summary);
    });
    this.outside.say({ kind: 'info', text: steps < 0 ? msg(str`Undone: ${label}.`) : msg(str`Done again: ${label}.`) });
  }

  /** Shows the map at the present place and marks what changed. */
  private shift(before: SongMap): MapChanges {
    const { map } = this;
    const changes = changesBetween(before, map);
    const { contentId, duration } = map.recording;
    this.summary = { ...this.summary, title: map.title, changed: this.outside.stamp(), contentId, duration };
    this.stopShowing?.();
    this.stopShowing = this.outside.clock.after(SHOW_CHANGED, () => this.show({ changed: [] }));
    this.show({
      map,
      evidence: this.evidence,
      undoLabel: undoLabel(this.history),
      redoLabel: redoLabel(this.history),
      changed: changes.bars,
    });
    this.outside.shown(before, map);
    if (contentId !== this.soundOf) {
      this.soundOf = contentId;
      this.print = undefined;
      this.outside.otherFile();
    }
    return changes;
  }

  private show(news: Partial<OpenSong>): void {
    this.shownSong.value = { ...this.shownSong.peek(), ...news };
  }

  /** Never rejects: a failed write is said, and waits to be tried again. A song that storage has lost is stored anew first. */
  private write(write: () => Promise<void>): Promise<void> {
    return this.writes.add(async () => {
      try {
        await write();
      } catch (error) {
        if (!isMissing(error)) throw error;
        await this.storeAnew();
        await write();
      }
    });
  }

  private async storeAnew(): Promise<void> {
    this.set({ hasAudio: false });
    await this.outside.storage.put(this.stored());
    const { fileName } = this.map.recording;
    this.outside.say({
      kind: 'error',
      text: msg(
        str`What the browser kept of this song had been deleted from outside. The song and its steps are stored again, but not its recording: choose "${fileName}" to keep it too.`,
      ),
    });
  }

  private written(state: WriteState, reason?: unknown): void {
    this.writeState = state;
    this.showSaved();
    if (state === 'saved') this.failureSaid = false;
    if (state !== 'failed' || this.failureSaid) return;
    this.failureSaid = true;
    this.outside.say({
      kind: 'error',
      text: reasonOf(reason),
      action: { label: msg('Save a project file'), run: () => this.outside.saveFile() },
      other: { label: msg('Try again'), run: () => this.retrySaving() },
    });
  }

  private showSaved(): void {
    const saved = this.waiting > 0 && this.writeState === 'saved' ? 'saving' : this.writeState;
    if (this.shownSong.peek().saved !== saved) this.show({ saved });
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const waits = this.turns++ > 0;
    if (waits) {
      this.waiting++;
      this.showSaved();
    }
    const turn = this.lastTurn.then(() => {
      if (waits) this.waiting--;
      return work();
    });
    this.lastTurn = turn
      .catch(() => undefined)
      .finally(() => {
        this.turns--;
        this.showSaved();
      });
    return turn;
  }
}

/** True when storage holds no song of this id. */
function isMissing(error: unknown): boolean {
  return error instanceof Error && 'kind' in error && error.kind === 'missing';
}
