import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { layOutChart } from '../../src/export/chart/layout.js';
import { layOutPoster } from '../../src/export/chart/poster.js';
import { DEFAULT_CHART } from '../../src/model/chart-options.js';
import { makePdf } from '../../src/paper/pdf.js';
import { pdfFaces } from '../../src/paper/pdf-faces.js';
import { bars } from '../support/notation.js';

// Poppler's tools are the independent reader; the machine may lack them, and then the test says so.
const hasPoppler = spawnSync('pdffonts', ['-v']).error === undefined;
const folder = mkdtempSync(join(tmpdir(), 'barwright-pdf-'));
afterAll(() => rmSync(folder, { recursive: true }));

function poppler(tool: string, file: string, ...rest: string[]): string {
  const { stdout, stderr, status } = spawnSync(tool, [file, ...rest], { encoding: 'utf8' });
  expect(status, stderr).toBe(0);
  return stdout;
}

describe('a chart as PDF', () => {
  const long = Array.from({ length: 14 }, (_, i) => `Part_${i}x: ${'4:C 4:F:maj7 4:G,A:min@3 2:F '.repeat(6)}`).join(
    ' | ',
  );
  const map = bars(long, { title: 'Tom & "Ann" <1>' });

  it('begins and ends as ISO 32000 asks', async () => {
    const bytes = await makePdf(layOutChart(map, DEFAULT_CHART), { faces: pdfFaces() });
    const text = new TextDecoder('latin1').decode(bytes);
    expect(text).toMatch(/^%PDF-1\.\d\n/);
    expect(text.trimEnd()).toMatch(/%%EOF$/);
  });

  it.skipIf(!hasPoppler)('has its pages, its size, its words, and only embedded fonts, read by poppler', async () => {
    const layout = layOutChart(map, { ...DEFAULT_CHART, paper: 'letter', size: 'large', folded: false });
    const file = join(folder, 'chart.pdf');
    writeFileSync(file, await makePdf(layout, { faces: pdfFaces() }));
    const info = poppler('pdfinfo', file);
    expect(info).toMatch(new RegExp(`Pages: +${layout.pages.length}\\n`));
    expect(info).toMatch(/Page size: +612 x 792 pts \(letter\)/);
    expect(info).toContain('Tom & "Ann" <1>');
    const words = poppler('pdftotext', file, '-');
    for (const word of ['Tom & "Ann" <1>', 'Part 0x', 'maj7', `page 1 of ${layout.pages.length}`])
      expect(words).toContain(word);
    const fonts = poppler('pdffonts', file).split('\n').slice(2).filter(Boolean);
    expect(fonts.length).toBeGreaterThanOrEqual(4);
    for (const font of fonts) expect(font).toMatch(/Source(Serif4|Sans3).*yes yes yes/);
  });

  it('asks for a picture of each text that the faces cannot write', async () => {
    const asked: string[] = [];
    // The smallest PNG: one pixel.
    const pixel = 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==';
    await makePdf(layOutPoster({ ...map, title: '🎸 tune' }, DEFAULT_CHART), {
      faces: pdfFaces(),
      picture: async ({ text }) => {
        asked.push(text);
        return new Uint8Array(Buffer.from(pixel, 'base64'));
      },
    });
    expect(asked).toEqual(['🎸 tune']);
  });
});
