import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { layOutChart, type ChartLayout } from '../../../src/export/chart/layout.js';
import { layOutPoster } from '../../../src/export/chart/poster.js';
import { DEFAULT_CHART } from '../../../src/model/chart-options.js';
import { OpenFaces } from '../../../src/platform/pdf/open-faces.js';
import { makePdf, type TextPicture } from '../../../src/platform/pdf/pdf.js';
import { bars } from '../../support/notation.js';
import { readPdf, type Tag } from '../../support/read-pdf.js';

// Poppler's tools are the independent reader; the machine may lack them, and then the test says so.
const hasPoppler = spawnSync('pdffonts', ['-v']).error === undefined;
const folder = mkdtempSync(join(tmpdir(), 'barwright-pdf-'));
afterAll(() => rmSync(folder, { recursive: true }));

function poppler(tool: string, file: string, ...rest: string[]): string {
  const { stdout, stderr, status } = spawnSync(tool, [file, ...rest], { encoding: 'utf8' });
  expect(status, stderr).toBe(0);
  return stdout;
}

function facesOf({ pages }: ChartLayout): Promise<OpenFaces> {
  return OpenFaces.for(pages.flatMap(({ marks }) => marks.map((mark) => ('text' in mark ? mark.text : ''))).join(' '));
}

describe('a chart as PDF', () => {
  const long = Array.from({ length: 14 }, (_, i) => `Part_${i}x: ${'4:C 4:F:maj7 4:G,A:min@3 2:F '.repeat(6)}`).join(
    ' | ',
  );
  const map = bars(long, { title: 'Tom & "Ann" <1>' });

  it('begins and ends as ISO 32000 asks', async () => {
    const layout = layOutChart(map, DEFAULT_CHART);
    const bytes = await makePdf(layout, { faces: await facesOf(layout) });
    const text = new TextDecoder('latin1').decode(bytes);
    expect(text).toMatch(/^%PDF-1\.\d\n/);
    expect(text.trimEnd()).toMatch(/%%EOF$/);
  });

  it.skipIf(!hasPoppler)('has its pages, its size, its words, and only embedded fonts, read by poppler', async () => {
    const layout = layOutChart(map, { ...DEFAULT_CHART, paper: 'letter', size: 'large', folded: false });
    const file = join(folder, 'chart.pdf');
    writeFileSync(file, await makePdf(layout, { faces: await facesOf(layout) }));
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

  it('asks for a picture of just the letters that the faces cannot write, and puts them in for who copies', async () => {
    const asked: string[] = [];
    const picture: TextPicture = (text) => {
      asked.push(text);
      return { width: 1, height: 1, colours: new Uint8Array(3), opacity: new Uint8Array(1) };
    };
    const layout = layOutPoster({ ...map, title: 'Żar 🎸👩‍🎤 nocą 雨の' }, DEFAULT_CHART);
    const bytes = await makePdf(layout, { faces: await facesOf(layout), picture });
    expect(asked).toEqual(['🎸👩‍🎤', '雨の']);
    const { pages } = await readPdf(bytes);
    expect(pages[0]!.text.replace(/\s+/g, ' ')).toMatch(/^ ?Żar nocą /);
  });

  it('writes letters with marks of their own as one, and turns nothing around', async () => {
    const faces = await OpenFaces.for('Zażółć q̂ שלום');
    // As it comes from a disk that takes letters apart.
    const apart = 'Zażółć'.normalize('NFD');
    expect(faces.runs(apart, 'serif').map(({ text, face }) => [text, face?.name])).toEqual([
      ['Za', 'serif latin'],
      ['ż', 'serif latin-ext'],
      ['ó', 'serif latin'],
      ['łć', 'serif latin-ext'],
    ]);
    expect(faces.runs('a q̂ b', 'sans').map(({ text, face }) => [text, face?.name])).toEqual([
      ['a ', 'sans latin'],
      ['q̂', undefined],
      [' b', 'sans latin'],
    ]);
    expect(faces.runs('שלום tune', 'sans')).toEqual([{ text: 'שלום tune' }]);
    expect(
      faces
        .runs('so\u200dft', 'sans')
        .map(({ text }) => text)
        .join(''),
    ).toBe('soft');
  });

  it('has a structure: title, facts, sections, bars with their chords, read by pdf.js', async () => {
    const song = bars('Verse: 4:G 4:F#:min7,D/3@3 4 4:Bb | Chorus: 4:C 4:G', { title: 'Lantern Row' });
    const layout = layOutChart(song, { ...DEFAULT_CHART, folded: false });
    const { title, language, marked, pages } = await readPdf(
      await makePdf(layout, { faces: await facesOf(layout), language: 'en-GB' }),
    );
    expect([title, language, marked]).toEqual(['Lantern Row', 'en-GB', true]);
    const [document] = pages[0]!.tree!.children;
    expect(outline(document!)).toEqual([
      'Document',
      '  H1 Lantern Row',
      '  P 120 bpm · 4/4',
      '  P',
      '    Span A',
      '    Span B',
      '  P',
      ...['G (G)', 'F m7 (F#m7)', 'D (D)', 'B (Bb)', 'C (C)'].map((chord) => `    Span ${chord}`),
      '  Sect',
      '    H2',
      '      Span A',
      '      Span Verse',
      '    L',
      '      LI',
      '        Lbl 1',
      '        LBody',
      '          Span 44 (4/4)',
      '          Span G (G)',
      '      LI',
      '        LBody',
      '          Span F m7 (F#m7)',
      '          Span D/F (D/F#)',
      '      LI',
      '        LBody',
      '          Span D/F (D/F#)',
      '      LI',
      '        LBody',
      '          Span B (Bb)',
      '  Sect',
      '    H2',
      '      Span B',
      '      Span Chorus',
      '    L',
      '      LI',
      '        Lbl 5',
      '        LBody',
      '          Span C (C)',
      '      LI',
      '        LBody',
      '          Span G (G)',
    ]);
  });
});

/** A structure as lines, each part indented under the one that holds it. */
function outline({ role, text, alt, children }: Tag, depth = 0): string[] {
  const own = `${'  '.repeat(depth)}${role}${text ? ` ${text.trim()}` : ''}${alt ? ` (${alt})` : ''}`;
  return [own, ...children.flatMap((child) => outline(child, depth + 1))];
}
