import { msg, str } from '@lit/localize';
import type { Evidence, Track } from '../../analysis/evidence/evidence.js';
import { currentMap, restoreHistory, storedSteps, type HistoryStep, type StoredStep } from '../../model/history.js';
import { check } from '../../model/invariants.js';
import { patched } from '../../model/map-patch.js';
import type { SongMap } from '../../model/song-map.js';
import { NO_PEAKS, noEvidence } from './no-evidence.js';
import type { KeptSong, StoredSong } from '../kit/ports.js';

/** What is kept under a song holds no map that could be shown. The message says what to do. */
export class KeptSongProblem extends Error {
  override readonly name = 'KeptSongProblem';
}

/**
 * A song as storage gave it, checked so far that it can be opened. What is damaged is left out and named in `lost`, in words
 * for the user; `lost` is empty when the song is whole. Throws KeptSongProblem when no map is left.
 */
export async function readKept(kept: KeptSong): Promise<{ song: StoredSong; lost: readonly string[] }> {
  const lost: string[] = [];
  const { steps, place } = isSound(kept) ? kept : await mended(kept, lost);
  const { map } = restoreHistory(steps, place).steps[place] as { map: SongMap };
  let { evidence, peaks } = kept;
  if (!isEvidenceWhole(evidence)) {
    lost.push(msg('its analysis'));
    evidence = noEvidence(map);
  }
  if (!(peaks?.data instanceof Int8Array && peaks.rate > 0)) {
    lost.push(msg('its outline'));
    peaks = NO_PEAKS;
  }
  const { contentId, duration } = map.recording;
  const summary = { ...kept.summary, ...(lost.length > 0 ? { title: map.title, contentId, duration } : {}) };
  return { song: { ...kept, summary, evidence, peaks, steps, place }, lost };
}

/** The quick check that every opening makes: the history can be restored and the map shown adds up. */
function isSound({ steps, place }: KeptSong): boolean {
  try {
    return check(currentMap(restoreHistory(steps, place))).length === 0;
  } catch {
    return false;
  }
}

/** The steps whose maps can still be read, in order, and the one of them that is nearest to the place. */
async function mended(kept: KeptSong, lost: string[]): Promise<Pick<StoredSong, 'steps' | 'place'>> {
  const { readMap } = await import('../../project/read-map.js');
  const found: (HistoryStep & { readonly evidence?: Evidence })[] = [];
  let before: SongMap | undefined;
  let place = 0;
  for (const [i, step] of (Array.isArray(kept.steps) ? kept.steps : []).entries()) {
    before = mapOf(step, i, before, readMap);
    if (!before) continue;
    if (i <= kept.place) place = found.length;
    found.push({
      label: typeof step.label === 'string' ? step.label : '',
      map: before,
      ...(isEvidenceWhole(step.evidence) ? { evidence: step.evidence } : {}),
    });
  }
  if (found.length === 0) {
    const { title } = kept.summary;
    throw new KeptSongProblem(
      msg(
        str`What is kept of "${title}" is damaged, and no map can be read of it. Open its project file, or map it anew.`,
      ),
    );
  }
  lost.push(msg('some of its steps: undo goes back less far, and the last edits may be missing'));
  const steps = storedSteps({ steps: found, place }).map((step, i) => {
    const evidence = found[i]?.evidence;
    return evidence ? { ...step, evidence } : step;
  });
  return { steps, place };
}

/** The map of a step; undefined where it cannot be read. A difference needs the map before it. */
function mapOf(
  step: StoredStep,
  index: number,
  before: SongMap | undefined,
  readMap: (value: unknown, place: string) => SongMap,
): SongMap | undefined {
  try {
    if (step.index !== index) return undefined;
    const map = step.snapshot ?? (before && patched(before, step.patch));
    return map && readMap(map, `step ${index}`);
  } catch {
    return undefined;
  }
}

function isEvidenceWhole(evidence: Evidence | undefined): evidence is Evidence {
  const { tracks, duration, version } = (evidence ?? {}) as Partial<Evidence>;
  if (typeof version !== 'string' || !(Number(duration) > 0) || typeof tracks !== 'object') return false;
  const all = Object.values(tracks) as readonly (Partial<Track> | undefined)[];
  return (
    all.length > 0 &&
    all.every((track) => track?.data instanceof Uint8Array && Number(track.rate) > 0 && Number(track.width) > 0)
  );
}
