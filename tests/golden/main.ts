import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { EVIDENCE, MAPS, evidencePath, goldenFacts, mapsPath, solvedFacts } from './corpus.js';
import { packEvidence } from './evidence-file.js';
import { factsText, readFacts } from './facts.js';
import { hear } from './make/hear.js';
import { RECORDINGS } from './recordings.js';
import type { GoldenRecording } from './sources.js';
import { differenceSentences } from './words.js';

const HELP = `Usage: npm run golden [-- --renew | --hear] [ID…]

The maps of the golden corpus (tests/golden) as the program makes them now, against those that are kept.

  without      says what differs; the exit status is 1 when anything does
  --renew      keeps the maps as they are now, and says what differs, for the commit message
  --hear       plays and hears the recordings anew and keeps their evidence; needs fluidsynth, python3 with NumPy, and
               Debian's timgm6mb-soundfont, csound-soundfont and avldrums.lv2-soundfont
`;

/** Resolves to the exit status. */
export async function main(words: readonly string[]): Promise<number> {
  const ids = words.filter((word) => !word.startsWith('-'));
  const options = words.filter((word) => word.startsWith('-'));
  const unknown = [
    ...options.filter((one) => one !== '--renew' && one !== '--hear' && one !== '--help'),
    ...ids.filter((id) => !RECORDINGS.some((one) => one.id === id)),
  ];
  if (unknown.length > 0 || options.includes('--help')) {
    process.stderr.write(unknown.length > 0 ? `golden: found ${unknown.join(', ')}\n${HELP}` : HELP);
    return unknown.length > 0 ? 2 : 0;
  }
  const some = RECORDINGS.filter(({ id }) => ids.length === 0 || ids.includes(id));
  if (options.includes('--hear')) {
    await hearAnew(some);
    return 0;
  }
  const renew = options.includes('--renew');
  if (renew) removeStrangers();
  let differing = 0;
  for (const recording of some) {
    const said = await compared(recording, renew);
    if (said.length > 0) differing++;
    process.stdout.write(said.map((line) => `${line}\n`).join(''));
  }
  process.stderr.write(`${differing} of ${some.length} recordings differ${renew ? '; the maps are renewed' : ''}\n`);
  return differing > 0 && !renew ? 1 : 0;
}

async function compared(recording: GoldenRecording, renew: boolean): Promise<string[]> {
  const path = mapsPath(recording.id);
  const text = factsText(await solvedFacts(recording));
  const said = existsSync(path)
    ? differenceSentences(goldenFacts(recording), readFacts(text))
    : [`${recording.id} is new`];
  // Where only last bits differ the file stays as it is.
  if (renew && (said.length > 0 || !existsSync(path))) {
    mkdirSync(MAPS, { recursive: true });
    writeFileSync(path, text);
  }
  return said;
}

async function hearAnew(some: readonly GoldenRecording[]): Promise<void> {
  mkdirSync(EVIDENCE, { recursive: true });
  for (const recording of some) {
    if (recording.from.by === 'repeat') continue;
    const path = evidencePath(recording.id);
    const before = existsSync(path) ? readFileSync(path) : undefined;
    const packed = packEvidence(await hear(recording));
    const same = before !== undefined && Buffer.compare(before, packed) === 0;
    if (!same) writeFileSync(path, packed);
    process.stdout.write(`${recording.id}: ${packed.length} bytes of evidence, ${same ? 'as before' : 'new'}\n`);
  }
}

/** Files of recordings that are in the list no more. */
function removeStrangers(): void {
  for (const folder of [EVIDENCE, MAPS].filter((one) => existsSync(one)))
    for (const file of readdirSync(folder))
      if (!RECORDINGS.some(({ id }) => file === `${id}.gz` || file === `${id}.json`)) rmSync(join(folder, file));
}
