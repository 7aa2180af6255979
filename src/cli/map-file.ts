import { readFile, stat } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import { analyse } from '../analysis/analyse.js';
import { findPasses } from '../analysis/passes/find-passes.js';
import { SILENT_PROGRESS, type Progress, type Step } from '../analysis/progress.js';
import { firstMap } from '../analysis/solve.js';
import { decodeFile, withFile } from '../platform/decode/node.js';
import { RecordingProblem } from '../platform/decode/problem.js';
import { EXPORT_KINDS } from '../export/export-kinds.js';
import { makeExport, type Brought } from '../export/make-export.js';
import { ImportProblem } from '../project/import/imported.js';
import { ProjectProblem } from '../project/problem.js';
import type { Project } from '../project/project.js';
import { checkTimesSize } from '../project/import/read-times.js';
import { MOST_JSON } from '../project/read-json.js';
import { readProjectFile } from '../project/read-project.js';
import { writeProject } from '../project/write-project.js';
import { loadTools } from '../platform/worker/tools-loader.js';
import type { Request } from './arguments.js';
import { applyTimes } from './apply-times.js';
import { applyLocks } from './apply-locks.js';
import { nameOf, pathFor } from './outputs.js';
import { LocksProblem } from './read-locks.js';
import { reportText } from './report.js';
import { writeWhole } from './write-file.js';

/** What came of one file: text for standard output, or the sentence that says why not. `notes` go to standard error. */
export type Outcome =
  | { readonly ok: true; readonly text: string | Uint8Array; readonly notes: readonly string[] }
  | { readonly ok: false; readonly message: string };

interface Song {
  readonly project: Project;
  readonly format: string;
  readonly notes: readonly string[];
}

/** Maps one recording, or reads one project, and writes what was asked for. Never throws for a bad file. */
export async function mapFile(
  file: string,
  request: Request,
  report: (step: Step | 'decoding', done: number) => void,
): Promise<Outcome> {
  try {
    const opened =
      extname(file).toLowerCase() === '.barwright'
        ? await openProject(file, request)
        : await analyseFile(file, request, report);
    const timed = request.times === undefined ? opened : await timeSong(opened, request, file);
    const song = request.locks === undefined ? timed : await lockSong(timed, pathFor(request.locks, file));
    const notes = [...song.notes];
    let text: string | Uint8Array = request.quiet
      ? ''
      : reportText(song.project.map, { format: song.format, chords: request.chords });
    const brought = Object.keys(request.exports).length > 0 ? await bring(song.project) : {};
    for (const { id } of EXPORT_KINDS) {
      const target = request.exports[id];
      if (target === undefined) continue;
      const { data, left } = makeExport(id, song.project.map, brought);
      notes.push(...left);
      if (target === '-') text = data;
      else await writeWhole(pathFor(target, file), data);
    }
    if (request.project !== undefined) {
      await writeWhole(pathFor(request.project, file), writeProject(song.project));
    }
    return { ok: true, text, notes };
  } catch (error) {
    return { ok: false, message: explain(error) };
  }
}

async function analyseFile(
  file: string,
  request: Request,
  report: (step: Step | 'decoding', done: number) => void,
): Promise<Song> {
  const decoded = await decodeFile(file, { report: (done) => report('decoding', done) });
  const progress: Progress = { ...SILENT_PROGRESS, report };
  const evidence = await analyse(decoded.signal, await loadTools(), progress);
  const map = firstMap(evidence, decoded.recording, nameOf(file), progress);
  const recording = request.withAudio
    ? { name: basename(file), bytes: new Uint8Array(await readFile(file)) }
    : undefined;
  return {
    project: { map, evidence, peaks: decoded.peaks, recording },
    format: decoded.format,
    notes: decoded.warning ? [decoded.warning] : [],
  };
}

async function bring({ map, evidence }: Project): Promise<Brought> {
  const { facesStyle } = await import('../export/chart/bundled-faces.js');
  const { outlinesFor } = await import('../platform/pdf/outlines.js');
  const texts = JSON.stringify(map);
  const [faces, outlines] = await Promise.all([facesStyle(texts), outlinesFor(texts)]);
  return { passes: findPasses(map, evidence), faces, outlines };
}

async function openProject(path: string, request: Request): Promise<Song> {
  return withFile(path, async (file) => {
    const { project, lost, recording } = await readProjectFile(file);
    // Only a project that is written needs it.
    const inside = recording && request.project !== undefined;
    const { name, from, to } = recording ?? { name: '', from: 0, to: 0 };
    const whole = inside ? { ...project, recording: { name, bytes: await file.read(from, to) } } : project;
    return { project: whole, format: 'project', notes: lost };
  });
}

async function lockSong(song: Song, path: string): Promise<Song> {
  const { map, evidence } = song.project;
  if (!evidence) throw new LocksProblem('this project was saved without what is needed to solve; name the recording');
  return { ...song, project: { ...song.project, map: applyLocks(map, evidence, await readLocksFile(path)) } };
}

async function readLocksFile(path: string): Promise<string> {
  const found = await stat(path);
  if (found.isDirectory()) throw new LocksProblem(`--locks ${path} is a folder; name a file of locks in it`);
  const { size } = found;
  if (size > MOST_JSON)
    throw new LocksProblem(`the file of locks has ${Math.round(size / 1e6)} MB; write those of one song`);
  return readFile(path, 'utf8');
}

async function timeSong(song: Song, request: Request, file: string): Promise<Song> {
  const { map, evidence } = song.project;
  if (!evidence) throw new ImportProblem('this project was saved without what is needed to solve; name the recording');
  const path = pathFor(request.times ?? '', file);
  const found = await stat(path);
  if (found.isDirectory()) throw new ImportProblem(`--times ${path} is a folder; name a file of times in it`);
  checkTimesSize(found.size);
  const bytes = new Uint8Array(await readFile(path));
  const wish = { meaning: request.timesAre, replace: request.replace };
  const timed = applyTimes(map, evidence, bytes, wish);
  const notes = timed.left === undefined ? song.notes : [...song.notes, timed.left];
  return { ...song, notes, project: { ...song.project, map: timed.map } };
}

/** A sentence for the user: what was found and what to do. */
function explain(error: unknown): string {
  if (
    error instanceof RecordingProblem ||
    error instanceof LocksProblem ||
    error instanceof ImportProblem ||
    error instanceof ProjectProblem
  )
    return error.message;
  const code = (error as { code?: unknown } | undefined)?.code;
  const path = String((error as { path?: unknown } | undefined)?.path ?? '');
  if (code === 'ENOENT') return path ? `there is no file or folder ${path}` : 'there is no such file';
  if (code === 'EACCES' || code === 'EPERM')
    return `${path || 'the file'} may not be opened or written; check its permissions`;
  if (code === 'EISDIR') return 'this is a folder; name a recording';
  if (code === 'EEXIST' || code === 'ENOTDIR') return `${path} is in the way: a file stands where a folder is needed`;
  if (code === 'ENOSPC') return 'the disk is full; nothing was written';
  return error instanceof Error ? error.message : String(error);
}
