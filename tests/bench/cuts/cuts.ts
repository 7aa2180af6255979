import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { caseTable, judgeSongs, meanRow, type Case } from '../map.js';
import { tableText } from '../statistics.js';
import { partsOf } from '../without.js';
import type { SongTruth } from './cut-truth.js';
import { makeCuts, type CutSong } from './make-cuts.js';

/**
 * `cuts --work DIR --truth DIR [--seed N] [--jobs N] [--without PART]… [ID…]`: real irregular bars, made. In each real song with
 * voice whose bars are known (set v) 1 to 3 beats are taken out or repeated once, five variants a song; they lie in
 * DIR/cuts/audio and DIR/cuts/truth afterwards, where `correct` can play them too. Judged as `map` judges. For measuring
 * only: nothing is trained or tuned on them.
 */
export async function cutsBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      work: { type: 'string' },
      truth: { type: 'string' },
      seed: { type: 'string', default: '1' },
      jobs: { type: 'string', default: '1' },
      keep: { type: 'string' },
      without: { type: 'string', multiple: true, default: [] },
    },
  });
  if (!values.work || !values.truth) throw new TypeError('cuts needs --work DIR (with audio/) and --truth DIR');
  const [work, truth, dir] = [place(values.work), place(values.truth), join(place(values.work), 'cuts')];
  const songs = readdirSync(truth)
    .filter((name) => /^v.*\.json$/.test(name))
    .map((name) => basename(name, '.json'))
    .filter((id) => existsSync(join(work, 'audio', `${id}.wav`)))
    .filter((id) => (JSON.parse(readFileSync(join(truth, `${id}.json`), 'utf8')) as Partial<SongTruth>).bars)
    .sort();
  if (songs.length === 0) throw new TypeError(`no recording of set v in ${join(work, 'audio')} has bars in ${truth}`);
  const cuts = songs.flatMap((id) => {
    process.stderr.write(`cutting ${id} …\n`);
    const from = [join(work, 'audio', `${id}.wav`), join(truth, `${id}.json`)] as const;
    return makeCuts(id, ...from, dir, Number(values.seed));
  });
  const wanted = cuts.filter(({ id }) => positionals.length === 0 || positionals.some((some) => id.startsWith(some)));
  const cases = await judgeSongs(
    wanted.map(({ id }) => id),
    {
      audio: join(dir, 'audio'),
      truth: join(dir, 'truth'),
      jobs: values.jobs,
      without: partsOf(values.without),
      ...(values.keep && { keep: place(values.keep) }),
    },
  );
  return `${caseTable(cases)}\n${byKind(wanted, cases)}`;
}

const WHERE = { end: 'at the end of', within: 'within', across: 'over the end of' } as const;

/** The same by what was cut: what is heard easily and what is not. */
function byKind(cuts: readonly CutSong[], cases: readonly Case[]): string {
  const names = cuts.map(({ cut }) => `${cut.action} ${WHERE[cut.where]} a bar`);
  const lines = [...new Set(names)].sort().map((name) => {
    const { bar, irregular } = meanRow(cases.filter((_, i) => names[i] === name));
    return [name, bar.toFixed(3), irregular];
  });
  const each = cuts.map(({ id, cut }) => {
    const { action, count, where, bar } = cut;
    return [id, `${action} ${count} ${count === 1 ? 'beat' : 'beats'} ${WHERE[where]} bar ${bar}`];
  });
  return `${tableText([['cut', 'bar F', 'irregular found/claimed/true'], ...lines])}\n${tableText(each)}`;
}
