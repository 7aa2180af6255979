import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

interface PackageFile {
  readonly license?: string;
  readonly scripts?: Readonly<Record<string, string>>;
  readonly dependencies?: Readonly<Record<string, string>>;
}

function json(path: string): PackageFile {
  return JSON.parse(readFileSync(path, 'utf8')) as PackageFile;
}

const PACKAGE = json('package.json');
const DOCUMENTS = ['README.md', 'DEVELOPERS.md', 'samples/README.md'];

describe.each(DOCUMENTS)('%s', (document) => {
  const text = readFileSync(document, 'utf8');
  const folder = document.includes('/') ? document.slice(0, document.lastIndexOf('/') + 1) : '';

  it('links only to files that are there', () => {
    const links = [...text.matchAll(/\]\(([^)\s]+)\)|src="([^"]+)"/g)].map((match) => (match[1] ?? match[2])!);
    const own = links.filter((link) => !/^https?:/.test(link));
    expect(own.filter((link) => !existsSync(folder + link))).toEqual([]);
  });

  it('names only commands that are there', () => {
    const named = [...text.matchAll(/npm (?:run (?:-s )?)?([a-z][a-z:]*)/g)].map((match) => match[1]!);
    expect(named.filter((name) => PACKAGE.scripts?.[name] === undefined)).toEqual([]);
  });

  it('names only sources that are there', () => {
    const named = [...text.matchAll(/(?:^|[\s(`])((?:src|tests|worklets)\/[\w./-]*\w)/gm)].map((match) => match[1]!);
    expect(named.filter((path) => !existsSync(path) && path !== 'tests/long')).toEqual([]);
  });
});

it('DEVELOPERS.md says why tests are left out in Firefox', () => {
  const table = readFileSync('DEVELOPERS.md', 'utf8').split('| left out in Firefox | why |')[1]!;
  const files = readdirSync('tests/browser').filter((name) => name.endsWith('.test.ts'));
  const reasons = files.flatMap((name) =>
    [...readFileSync(`tests/browser/${name}`, 'utf8').matchAll(/chromiumOnly\('([^']+)'\)/g)].map((match) => match[1]!),
  );
  expect(reasons.length).toBeGreaterThan(0);
  expect(reasons.filter((reason) => !table.includes(`| ${reason} |`))).toEqual([]);
});

it('the README lists every package that comes with the program, with the licence it states itself', () => {
  const [, text] = readFileSync('README.md', 'utf8').split('## What it is built on') as [string, string];
  const listed = [...text.matchAll(/^\| (\S+) \| (\S+) \|.*$/gm)].map((match) => `${match[1]} ${match[2]}`);
  const names = Object.keys(PACKAGE.dependencies ?? {});
  expect(names.length).toBeGreaterThan(10);
  const wanted = names.map((name) => `${name} ${json(`node_modules/${name}/package.json`).license}`);
  expect(listed.filter((line) => names.includes(line.split(' ')[0]!)).sort()).toEqual(wanted.sort());
});
