import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Essentia } from '../../src/analysis/evidence/tonality.js';
import { adoptedStyles, plainClosures } from '../../src/scripts/plain-code.mjs';

const folder = mkdtempSync(join(tmpdir(), 'plain-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface Module {
  readonly EssentiaWASM: {
    readonly EssentiaJS: new (debug: boolean) => Essentia;
    arrayToVector(samples: Float32Array): { size(): number; get(index: number): number; delete(): void };
    vectorToArray(vector: unknown): Float32Array;
  };
}

const original = readFileSync('node_modules/essentia.js/dist/essentia-wasm.es.js', 'utf8');

/** Runs the binding as Node finds it: it asks for `require` and its own place. */
async function start(name: string, code: string): Promise<Module['EssentiaWASM']> {
  const path = join(folder, `${name}.mjs`);
  const head =
    "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url); const __dirname = '.';\n";
  writeFileSync(path, head + code);
  return ((await import(path)) as Module).EssentiaWASM;
}

describe('essentia.js with plain closures', () => {
  it('hears, counts and complains as it does with functions made out of text', async () => {
    const [made, plain] = await Promise.all([start('made', original), start('plain', plainClosures(original))]);
    const samples = Float32Array.from({ length: 16000 * 4 }, (_, i) =>
      [220, 277.18, 329.63].reduce((sum, pitch) => sum + Math.sin((2 * Math.PI * pitch * i) / 16000) / 4, 0),
    );
    const heard = [made, plain].map((module) => {
      const essentia = new module.EssentiaJS(false);
      const vector = module.arrayToVector(samples);
      const read = [vector.size(), vector.get(1000), [...module.vectorToArray(vector).subarray(0, 50)]];
      const key = essentia.KeyExtractor(
        vector,
        true,
        4096,
        4096,
        12,
        3500,
        60,
        25,
        0.2,
        'bgate',
        16000,
        0.0001,
        440,
        'cosine',
        'hann',
      );
      vector.delete();
      const problems = [
        () => (essentia.KeyExtractor as (...args: unknown[]) => unknown)(vector),
        () => vector.get(1),
        () => (essentia.KeyExtractor as () => unknown)(),
      ].map((call) => {
        try {
          call();
          return 'went through';
        } catch (error) {
          return String(error);
        }
      });
      return { read, key, problems };
    });
    expect(heard[0]!.key).toMatchObject({ key: 'A', scale: 'major' });
    expect(heard[0]!.problems).not.toContain('went through');
    expect(heard[1]).toEqual(heard[0]);
  });

  it('is refused when the binding is another one', () => {
    expect(() => plainClosures(original.replace('function createNamedFunction(', 'function named('))).toThrow(
      /"function createNamedFunction\(" was not found once/,
    );
    expect(() => plainClosures(`${original}\nvar late = new Function('return 1');`)).toThrow(/still made out of text/);
  });
});

describe('wavesurfer.js', () => {
  it('has no style element left to write', () => {
    const code = readFileSync('node_modules/wavesurfer.js/dist/wavesurfer.esm.js', 'utf8');
    expect(code).toContain('<style');
    expect(adoptedStyles(code)).not.toContain('<style');
    expect(() => adoptedStyles('nothing here')).toThrow(/was not found/);
  });
});
