import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative, sep } from 'node:path';
import { describe, expect, it } from 'vitest';

// Which folder may import which; imports go only down. '*' is everything, 'type:x' types of x alone. A folder may always import
// itself. Features of the page (app/...) lie in layers: each may import those named.
const PURE = ['music', 'dsp', 'model', 'analysis', 'export', 'project', 'text'];
const KIT = [...PURE, 'app/kit'];
const SONG = [...KIT, 'app/song'];
const MAP = [...SONG, 'app/map'];
const FEATURES = [...MAP, 'app/passes', 'app/doubts', 'app/chords'];
const OUTPUT = [...FEATURES, 'app/practice', 'app/chart'];
const OUTSIDE = [...PURE, 'worklets', 'platform/egress', 'type:app/kit'];
const MAY: Readonly<Record<string, readonly string[]>> = {
  music: [],
  dsp: ['music'],
  model: ['music'],
  analysis: ['music', 'dsp', 'model'],
  export: ['music', 'model', 'dsp'],
  // A project file holds the evidence and the outline beside the map; their types are plain data.
  project: ['music', 'model', 'type:analysis', 'type:dsp'],
  text: ['music', 'model'],
  worklets: ['dsp'],
  'platform/egress': [],
  'platform/offline': ['platform/egress'],
  'platform/decode': OUTSIDE,
  'platform/worker': OUTSIDE,
  'platform/audio': OUTSIDE,
  'platform/pdf': OUTSIDE,
  'platform/storage': OUTSIDE,
  'app/kit': PURE,
  'app/song': KIT,
  'app/map': SONG,
  'app/passes': MAP,
  'app/doubts': MAP,
  'app/chords': MAP,
  'app/practice': FEATURES,
  'app/chart': FEATURES,
  'app/files': OUTPUT,
  'app/library': OUTPUT,
  'app/shell': [...OUTPUT, 'app/files', 'app/library'],
  cli: [...PURE, 'platform/decode', 'platform/worker', 'platform/pdf'],
  app: ['*'],
};

interface Import {
  readonly from: string;
  readonly to: string;
  readonly type: boolean;
}

/** Every relative import of a source text; `file` is relative to the top, with slashes. */
function importsOf(file: string, text: string): Import[] {
  const found = text.matchAll(
    /(?:^|\n)\s*(?:import|export)\s+(type\s)?[^'"`;]*?from\s+['"](\.[^'"]+)['"]|import\(\s*['"](\.[^'"]+)['"]|new URL\(\s*['"](\.[^'"]+\.ts)['"]|(?:^|\n)import\s+['"](\.[^'"]+)['"]/g,
  );
  return [...found].map((match) => ({
    from: file,
    to: normalize(join(dirname(file), (match[2] ?? match[3] ?? match[4] ?? match[5]) as string))
      .split(sep)
      .join('/'),
    type: match[1] !== undefined,
  }));
}

/**
 * "src/music/x.ts" is in "music", "src/app/map/x.ts" in "app/map", "worklets/x.ts" in "worklets", "src/cli.ts" in "cli", other
 * files of src in "app".
 */
function folderOf(path: string): string {
  const parts = path.split('/');
  if (parts[0] === 'worklets') return 'worklets';
  if (parts[0] !== 'src') return parts[0] as string;
  if (parts.length === 2) return (parts[1] as string).startsWith('cli.') ? 'cli' : 'app';
  return parts[1] === 'app' || parts[1] === 'platform' ? `${parts[1]}/${parts[2]}` : (parts[1] as string);
}

function complaint(use: Import): string | undefined {
  const from = folderOf(use.from);
  const to = folderOf(use.to);
  // Everyone may know the program's own name and version.
  if (from === to || from === 'scripts' || use.to === 'package.json') return undefined;
  const may = MAY[from];
  if (!may) return `${use.from}: the folder "${from}" is not in the table`;
  if (may.includes('*') || may.includes(to) || (use.type && may.includes(`type:${to}`))) return undefined;
  return `${use.from} imports ${use.to}: ${from} may import ${may.join(', ') || 'nothing'}`;
}

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.ts$/.test(entry.name) && !entry.name.endsWith('.d.ts'))
    .map((entry) => relative('.', join(entry.parentPath, entry.name)).split(sep).join('/'));
}

describe('architecture', () => {
  const files = [...filesUnder('src'), ...filesUnder('worklets')];

  it('reads the sources', () => {
    expect(files.length).toBeGreaterThan(20);
    const uses = files.flatMap((file) => importsOf(file, readFileSync(file, 'utf8')));
    expect(uses.length).toBeGreaterThan(20);
  });

  it('lets imports go only down the table', () => {
    const complaints = files
      .flatMap((file) => importsOf(file, readFileSync(file, 'utf8')))
      .map(complaint)
      .filter((text) => text !== undefined);
    expect(complaints).toEqual([]);
  });

  it('has no files that import one another in a circle, type imports included', () => {
    const graph = new Map(
      files.map((file) => [
        file,
        importsOf(file, readFileSync(file, 'utf8')).map(({ to }) => to.replace(/\.js$/, '.ts')),
      ]),
    );
    expect(knotsOf(graph)).toEqual([]);
    const knotted = new Map([
      ['a', ['b']],
      ['b', ['c']],
      ['c', ['b']],
    ]);
    expect(knotsOf(knotted)).toEqual([['b', 'c']]);
  });

  it('finds a bad import', () => {
    const bad = importsOf('src/music/chord.ts', "import { solve } from '../analysis/solve.js';");
    expect(bad.map(complaint)).toEqual(['src/music/chord.ts imports src/analysis/solve.js: music may import nothing']);
    const typed = importsOf(
      'src/platform/decode/browser.ts',
      "import { x } from '../../app/kit/ports.js';\nimport type { Y } from '../../app/kit/ports.js';",
    );
    expect(typed.map((use) => complaint(use) === undefined)).toEqual([false, true]);
  });

  it('has no default exports and no barrel files', () => {
    const odd = files.filter(
      (file) => /(^|\/)index\.ts$/.test(file) || /^export default/m.test(readFileSync(file, 'utf8')),
    );
    expect(odd).toEqual([]);
  });

  it('keeps the analysis and the page free of network calls to other places', () => {
    const calls = files.filter((file) =>
      /\bhttps?:\/\/(?!www\.w3\.org|localhost)/.test(stripComments(readFileSync(file, 'utf8'))),
    );
    expect(calls).toEqual([]);
  });

  it('never makes markup out of text, nor evaluates it, nor writes styles where the content policy forbids them', () => {
    const forbidden =
      /\s(style=|innerHTML|outerHTML|insertAdjacentHTML|document\.write)|unsafe(HTML|SVG|Static)|directives\/style-map|new Function|\beval\(|\bstaticHtml/;
    const found = files.filter((file) => forbidden.test(stripComments(readFileSync(file, 'utf8'))));
    expect(found).toEqual([]);
  });
});

/** Groups of files each of which can be reached from every other of its group, sorted. */
function knotsOf(graph: ReadonlyMap<string, readonly string[]>): string[][] {
  const reach = (from: string): Set<string> => {
    const found = new Set<string>();
    const open = [...(graph.get(from) ?? [])];
    for (let next = open.pop(); next !== undefined; next = open.pop()) {
      if (found.has(next)) continue;
      found.add(next);
      open.push(...(graph.get(next) ?? []));
    }
    return found;
  };
  const reached = new Map([...graph.keys()].map((file) => [file, reach(file)]));
  const knots = new Map<string, string[]>();
  for (const [file, from] of reached) {
    if (!from.has(file)) continue;
    const knot = [...from].filter((other) => reached.get(other)?.has(file)).sort();
    knots.set(knot.join(), knot);
  }
  return [...knots.values()].sort();
}

function stripComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '');
}
