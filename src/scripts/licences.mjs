// Checks that dependencies are pinned, that their licences go with ours, and that README.md lists them as they are.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { TOP } from './steps.mjs';

/**
 * Licences (SPDX names) whose works may be part of one under AGPL-3.0-or-later. Source: the Free Software Foundation's
 * "Various Licenses and Comments about Them", where each is called compatible with the GNU GPL 3 (the OFL: for fonts).
 */
const COMPATIBLE = new Set([
  '0BSD',
  'AGPL-3.0',
  'AGPL-3.0-or-later',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'ISC',
  'LGPL-3.0-or-later',
  'MIT',
  'MPL-2.0',
  'OFL-1.1',
]);

/** Packages that name their licence in a LICENSE file, read by hand, and not in their package.json. */
const NAMED_IN_FILE = new Map([['png-js 2.0.0', 'MIT']]);

/** What is wrong, in sentences; empty when nothing is. `manifest`: package.json, `lock`: package-lock.json, parsed. */
export function licenceProblems(manifest, lock, readme) {
  const problems = [];
  const direct = manifest.dependencies ?? {};
  for (const [name, version] of Object.entries({ ...direct, ...manifest.devDependencies })) {
    if (!/^\d+\.\d+\.\d+$/.test(version))
      problems.push(`${name}: "${version}" is no exact version; name one in package.json.`);
  }
  const shipped = Object.entries(lock.packages).filter(([place, entry]) => place !== '' && !entry.dev);
  const listed = new Map(
    [...readme.matchAll(/^\| (@?[\w./-]+) \| ([A-Z\d][\w.-]*) \|/gm)].map(([, name, licence]) => [name, licence]),
  );
  for (const [place, { version, license: stated, integrity }] of shipped) {
    const name = place.replace(/^.*node_modules\//, '');
    const license = stated ?? NAMED_IN_FILE.get(`${name} ${version}`);
    if (!integrity) problems.push(`${name} ${version}: package-lock.json has no checksum of it; install it anew.`);
    if (!COMPATIBLE.has(license)) {
      problems.push(`${name} ${version}: its licence (${license ?? 'none named'}) is not known to go with the AGPL.`);
    }
    const said = listed.get(name);
    if (said === undefined) problems.push(`${name} (${license}) is missing in the README's list of packages.`);
    else if (said !== license) problems.push(`${name}: the README says ${said}, the package ${license}.`);
  }
  const names = new Set(shipped.map(([place]) => place.replace(/^.*node_modules\//, '')));
  for (const name of listed.keys()) {
    if (!names.has(name)) problems.push(`${name} is in the README's list but no longer a dependency.`);
  }
  return problems;
}

/** Prints what is wrong; true when nothing is. */
export function checkLicences() {
  const read = (name) => readFileSync(join(TOP, name), 'utf8');
  const readme = read('README.md').split('## What it is built on')[1] ?? '';
  const problems = licenceProblems(JSON.parse(read('package.json')), JSON.parse(read('package-lock.json')), readme);
  for (const problem of problems) process.stderr.write(`${problem}\n`);
  return problems.length === 0;
}
