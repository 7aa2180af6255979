import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { numberText } from '../../music/number-text.js';
import type { Alignment } from '../../analysis/fingerprint/same-recording.js';
import { moveToRecording } from '../../model/edits/move-to-recording.js';
import { barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { Core } from '../song/core.js';
import type { SongDesk } from '../song/open-song.js';
import type { Library } from './library-state.js';
import { analyse, decode, type Tasks } from '../song/tasks.js';
import type { Decoded, Recognised } from '../kit/ports.js';
import { counted } from '../kit/sentences.js';

/** Below so many seconds, or so much difference in speed over a song, nobody hears it. */
const NO_OFFSET = 0.005;
const NO_SPEED = 0.00005;

/** Compares what was decoded with all kept songs: its fingerprint, and which song it is another file of. */
export async function recognise(core: Core, { signal }: Decoded): Promise<Recognised> {
  return core.solver.recognise(signal, await core.ports.storage.prints());
}

/** "0.42 s later and 0.5 % slower", "at the same times". */
export function alignmentText({ offset, speed }: Pick<Alignment, 'offset' | 'speed'>): string {
  const seconds = numberText(Math.abs(offset), 2, 2);
  const percent = numberText(Number((100 * Math.abs(1 / speed - 1)).toPrecision(2)), 4);
  const moved = offset > 0 ? msg(str`${seconds} s later`) : msg(str`${seconds} s earlier`);
  const stretched = speed < 1 ? msg(str`${percent} % faster`) : msg(str`${percent} % slower`);
  if (Math.abs(speed - 1) < NO_SPEED) return Math.abs(offset) < NO_OFFSET ? msg('at the same times') : moved;
  return Math.abs(offset) < NO_OFFSET ? stretched : msg(str`${moved} and ${stretched}`);
}

/** Says that a file is another one of a kept song's recording, and asks what to do with it. */
export function offerSame(
  core: Core,
  file: File,
  title: string,
  found: Alignment,
  next: { take(): Promise<void>; openAsNew(): Promise<void> },
): void {
  const same = msg(str`"${file.name}" is the same recording as "${title}", ${alignmentText(found)}.`);
  const part = found.common < 0.98 * found.knownSeconds ? [msg(str`It has ${clock(found.common)} of it.`)] : [];
  core.say({
    kind: 'info',
    text: [same, ...part, msg('Bars, locks, sections and chords can move to it.')].join(' '),
    action: { label: msg('Use it for this song'), run: next.take },
    other: { label: msg('Open as a new song'), run: next.openAsNew },
  });
}

/**
 * Moves the song to another file of its recording: analyses that file, keeps it beside the earlier one, and moves everything
 * placed in time, as one edit. `otherwise` is told what was decoded when it is another recording.
 */
export async function moveToFile(
  core: Core,
  tasks: Tasks,
  library: Library,
  desk: SongDesk,
  file: File,
  otherwise: (decoded: Decoded) => void,
): Promise<void> {
  const { storage } = core.ports;
  await tasks.run(msg(str`Reading "${file.name}"`), async (task) => {
    const decoded = await decode(core, file, file.name, task);
    const { recording, pcm, peaks } = decoded;
    const known = desk.print ? [{ id: desk.id, print: desk.print }] : [];
    const { print, found } = await core.solver.recognise(decoded.signal, known);
    task.signal.throwIfAborted();
    if (!found) return otherwise(decoded);
    const { evidence, map: fresh } = await analyse(core, decoded, desk.map.title, task);
    await storage.setAudio(desk.id, file, undefined, recording.contentId);
    const before = desk.map;
    const change = (map: SongMap): SongMap => ({
      ...moveToRecording(map, found, recording),
      tuning: fresh.tuning,
      analysis: fresh.analysis,
    });
    desk.soundOf = recording.contentId;
    const said = (): string =>
      [
        msg(str`"${before.title}" is on "${file.name}" now, ${alignmentText(found)}.`),
        ...leftOut(before, desk.map),
      ].join(' ');
    if (!(await desk.edit(msg(str`the recording is "${file.name}"`), change, { evidence, solved: true, said }))) {
      desk.soundOf = before.recording.contentId;
      return;
    }
    desk.print = print;
    desk.set({ hasAudio: true, peaks });
    await storage.setSound(desk.id, { peaks, print, soundOf: recording.contentId });
    if (core.desk.peek() === desk) await library.hear(desk, pcm);
    await library.refresh();
  });
}

/** What the other file does not have, in a sentence; nothing when it has all. */
function leftOut(before: SongMap, after: SongMap): readonly string[] {
  const lost = [
    [barsOf(before).length - barsOf(after).length, msg('bar'), msg('bars')],
    [before.locks.length - after.locks.length, msg('lock'), msg('locks')],
    [before.sections.length - after.sections.length, msg('section'), msg('sections')],
  ] as const;
  const parts = lost.filter(([count]) => count > 0).map(([count, one, many]) => counted(count, one, many));
  return parts.length === 0
    ? []
    : [msg(str`${parts.join(', ')} lie outside it and were left out; undo brings them back.`)];
}

/** "42 seconds", "3:24". */
export function clock(seconds: number): string {
  const whole = Math.round(seconds);
  return whole < 60 ? counted(whole, msg('second'), msg('seconds')) : clockText(whole);
}
