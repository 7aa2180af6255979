// npm run texts: collects every text of the program into src/text/en-XA.xlf (XLIFF 1.2, OASIS), each beside its accented
// form, and makes the module that the page loads for that language. --check only says whether both are up to date.
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkNode, ensureInstalled, runBin, TOP } from './steps.mjs';

checkNode();
ensureInstalled();
const { DOMParser, XMLSerializer } = await import('@xmldom/xmldom');

const FOLDER = join(TOP, 'src', 'text');
const COLLECTED = 'en-XA.xlf';
const MADE = 'generated/en-XA.ts';

/** Letters with accents, as the pseudo-locale en-XA of the Unicode CLDR has them: what is shown plain was not collected. */
const ACCENTED = Object.fromEntries(
  [...'aàbƀcçdđeéfƒgĝhĥiîjĵkķlļmɱnñoôpþqɋrŕsštţuûvṽwŵxẋyýzžAÀBƁCÇDĐEÉFƑGĜHĤIÎJĴKĶLĻMṀNÑOÔPÞQɊRŔSŠTŢUÛVṼWŴXẊYÝZŽ']
    .join('')
    .match(/.{2}/gu)
    .map(([plain, accented]) => [plain, accented]),
);

/** True when the collected texts are those of the sources; unless `check`, they are made so. */
function collectTexts(check) {
  const made = mkdtempSync(join(tmpdir(), 'barwright-texts-'));
  try {
    const config = configWriting(made);
    localize('extract', config);
    accent(join(made, COLLECTED));
    localize('build', config);
    const changed = [COLLECTED, MADE].filter((file) => textOf(made, file) !== textOf(FOLDER, file));
    if (!check) for (const file of changed) cpSync(join(made, file), join(FOLDER, file));
    else if (changed.length > 0)
      process.stderr.write('Texts were added or changed: run "npm run texts" and commit what it writes.\n');
    return !check || changed.length === 0;
  } finally {
    rmSync(made, { recursive: true });
  }
}

/** A copy of lit-localize.json in `folder`, by which all is written there: from nothing, so that what is no longer there goes. */
function configWriting(folder) {
  const config = JSON.parse(readFileSync(join(FOLDER, 'lit-localize.json'), 'utf8'));
  config.tsConfig = join(FOLDER, config.tsConfig);
  config.output.outputDir = join(folder, config.output.outputDir);
  config.interchange.xliffDir = folder;
  const path = join(folder, 'lit-localize.json');
  writeFileSync(path, JSON.stringify(config));
  return path;
}

function textOf(folder, file) {
  const path = join(folder, file);
  return existsSync(path) ? readFileSync(path, 'utf8') : undefined;
}

function localize(command, config) {
  const args = [command, '--config', config];
  if (!runBin('@lit/localize-tools/bin/lit-localize.js', args, { stdio: ['ignore', 'ignore', 'inherit'] }))
    throw new Error('The texts could not be collected; the lines above say where.');
}

/** Gives every collected text its accented form as the translation. */
function accent(path) {
  const document = new DOMParser().parseFromString(readFileSync(path, 'utf8'), 'text/xml');
  for (const unit of Array.from(document.getElementsByTagName('trans-unit'))) {
    const source = unit.getElementsByTagName('source')[0];
    const target = document.createElement('target');
    for (const node of Array.from(source.childNodes)) {
      const copy = node.cloneNode(true);
      if (copy.nodeType === copy.TEXT_NODE) copy.data = accented(copy.data);
      target.appendChild(copy);
    }
    unit.appendChild(document.createTextNode('  '));
    unit.appendChild(target);
    unit.appendChild(document.createTextNode('\n'));
  }
  writeFileSync(path, `${new XMLSerializer().serializeToString(document)}\n`);
}

/** With accents, but for the ids of commands that the help names in double brackets. */
function accented(text) {
  return text.replace(/\[\[[\w-]+\]\]|[a-z]/gi, (found) => ACCENTED[found] ?? found);
}

process.exitCode = collectTexts(process.argv.includes('--check')) ? 0 : 1;
