import { msg, str } from '@lit/localize';
import { changesBetween } from '../../model/changes.js';
import { barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { solveAround } from '../song/conflicts.js';
import type { Core } from '../song/core.js';
import { analyse, decode, type Tasks } from '../song/tasks.js';
import { isEvidence } from '../song/no-evidence.js';
import { counted } from '../kit/sentences.js';

/**
 * The map with what a new analysis says of the recording as a whole. The solve that follows finds bars, and sections and
 * chords that are suggestions, anew around what the user decided.
 */
function renewed(map: SongMap, fresh: SongMap): SongMap {
  return { ...map, tuning: fresh.tuning, key: fresh.key, analysis: fresh.analysis };
}

/** Analyses the recording of the open song again, says what would change, and applies it when the user agrees. */
export async function analyseAnew(core: Core, tasks: Tasks): Promise<void> {
  const desk = core.desk.peek();
  if (!desk) return;
  const { map } = desk;
  await tasks.run(msg('Analysing anew'), async (task) => {
    const file = await core.ports.storage.audio(desk.id, map.recording.contentId);
    if (!file) {
      core.say({
        kind: 'error',
        text: msg(str`To analyse it anew the recording is needed. Choose "${map.recording.fileName}" first.`),
      });
      return;
    }
    const decoded = await decode(core, file, map.recording.fileName, task);
    const { evidence, map: fresh } = await analyse(core, decoded, map.title, task);
    const change = (now: SongMap): SongMap => renewed(now, fresh);
    const outcome = await solveAround(core.solver, evidence, map, change);
    const apply = async (): Promise<void> => {
      await desk.edit(msg('analysed anew'), change, { evidence });
    };
    if (outcome.kind !== 'solved') {
      const locks = counted(outcome.locks.length, msg('lock'), msg('locks'));
      core.say({
        kind: 'error',
        text: msg(str`The new analysis cannot be brought together with ${locks} of yours; the song stays as it is.`),
        action: { label: msg('Show which'), run: apply },
      });
      return;
    }
    const said = whatChanges(map, outcome.map);
    if (said) {
      const text = msg(str`Analysed anew: ${said}. What you locked stays.`);
      core.say({ kind: 'info', text, action: { label: msg('Apply'), run: apply } });
    } else if (isEvidence(desk.evidence)) {
      core.say({ kind: 'info', text: msg('Analysed anew: nothing would change.') });
    } else {
      // The song came without its analysis: now its bars can be changed.
      await apply();
    }
  });
}

/** "12 of 86 bars, the sections and the chords would change"; undefined when nothing would. */
function whatChanges(before: SongMap, after: SongMap): string | undefined {
  const changes = changesBetween(before, after);
  const old = counted(barsOf(before).length, msg('bar'), msg('bars'));
  const bars =
    changes.gone > 0
      ? msg(str`${changes.gone} of ${old}`)
      : `${counted(changes.bars.length, msg('more bar'), msg('more bars'))}`;
  const other = [
    ...(differ(before.sections.map(sectionText), after.sections.map(sectionText)) ? [msg('the sections')] : []),
    ...(differ(before.chords.map(chordText), after.chords.map(chordText)) ? [msg('the chords')] : []),
    ...(before.key?.tonic !== after.key?.tonic || before.key?.mode !== after.key?.mode ? [msg('the key')] : []),
  ];
  const parts = [...(changes.gone + changes.bars.length > 0 ? [bars] : []), ...other];
  if (parts.length === 0) return undefined;
  const last = parts.pop() as string;
  const all = parts.length > 0 ? msg(str`${parts.join(', ')} and ${last}`) : last;
  return msg(str`${all} would change`);
}

const sectionText = ({ start, name }: SongMap['sections'][number]): string => `${start.toFixed(2)} ${name}`;
const chordText = ({ time, harte }: SongMap['chords'][number]): string => `${time.toFixed(2)} ${harte}`;

function differ(a: readonly string[], b: readonly string[]): boolean {
  return a.length !== b.length || a.some((text, i) => text !== b[i]);
}
