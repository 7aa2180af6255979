import { inflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import type {} from '../../src/app/shell/app-shell.js';
import { writeProject } from '../../src/project/write-project.js';
import type { SongMap } from '../../src/model/song-map.js';
import { inFirefox, visit } from '../support/browser.js';
import { readChart, songOf } from '../support/chart-notation.js';
import { bars } from '../support/notation.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { dropFile, songShown } from '../support/user.js';

const CHORDS = ['C', 'F#:hdim7', 'Ab:maj7(#11)', 'D:min7/b7', 'G:7'];
const dense = Array.from({ length: 300 }, (_, i) => {
  const head = i % 10 === 0 ? `${i > 0 ? '| ' : ''}Part_${i / 10}x: ` : '';
  return `${head}${i % 17 === 5 ? '3' : '4'}:${CHORDS[i % 5]}${i % 3 === 0 ? `,${CHORDS[(i + 2) % 5]}@3` : ''}`;
}).join(' ');

/** Songs whose charts are drawn: with signs, long and full, with names that do harm. */
const SONGS: readonly SongMap[] = [
  ...[3, 8, 21].map((seed) => songOf(readChart(randomChart(seeded(seed))))),
  bars(dense, { title: 'The Long Way Round by the Harbour Wall' }),
  ...['<script>alert(1)</script> & "so"', 'اسم الأغنية', '🎸'.repeat(60), 'x'.repeat(1500)].map((name) => {
    const map = bars('Verse: (1) 4:G 4:C,D@3 2:D | Chorus: 4:C 4:G', { title: name });
    return { ...map, sections: map.sections.map((section) => ({ ...section, name, cue: name.slice(0, 200) })) };
  }),
];

it('draws charts in which no text lies on another, and hands over PDF, picture and print', async () => {
  const { context, page, strangers, faults } = await visit();
  await page.locator('bw-start-page').waitFor();
  for (const [i, map] of SONGS.entries()) {
    const bytes = Buffer.concat(writeProject({ map }));
    await dropFile(page, { name: `song-${i}.barwright`, bytes });
    await page.waitForFunction(
      ([title]) => document.querySelector('bw-app')!.session.song.value?.map.title === title,
      [map.title],
    );
    if (i === 0) {
      await songShown(page);
      // The third press of W from the map is the chart.
      await page.getByRole('tab', { name: 'Map' }).focus();
      for (let press = 0; press < 3; press++) await page.keyboard.press('w');
    }
    await page.locator('bw-chart-workspace svg').first().waitFor();
    await page.evaluate(() => document.fonts.ready);
    const found = await page.evaluate(overlaps);
    expect(found.texts).toBeGreaterThan(8);
    expect(found.faults, map.title.slice(0, 40)).toEqual([]);
  }
  const download = async (name: string): Promise<Buffer> => {
    const fetched = page.waitForEvent('download');
    await page.getByRole('button', { name, exact: true }).first().click();
    const pieces: Buffer[] = [];
    for await (const piece of await (await fetched).createReadStream()) pieces.push(piece as Buffer);
    return Buffer.concat(pieces);
  };
  expect((await download('PDF')).subarray(0, 5).toString()).toBe('%PDF-');
  expect((await download('PNG')).subarray(1, 4).toString()).toBe('PNG');
  // Letters are drawn, so that no reader needs a typeface.
  expect((await download('SVG')).toString()).toMatch(/^<svg [^]*<g aria-label="[^"]+"><path [^]*<\/svg>\s*$/);
  await page.getByRole('button', { name: 'Across' }).click();
  await page.locator('bw-chart-workspace .page.wide').first().waitFor();
  const pages = await page.locator('bw-chart-workspace .page').count();
  const printed = textOfPdf(await page.pdf({ preferCSSPageSize: true }));
  expect(printed.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(pages);
  // Over WebDriver BiDi the paper is always given from outside.
  if (!inFirefox()) expect(printed).toMatch(/\/MediaBox\s*\[0 0 84[12][\d.]* 59[45][\d.]*\]/);
  await page.getByRole('button', { name: 'Poster of the form' }).click();
  await page.waitForFunction(() => document.querySelector('bw-app')!.session.view.pages.value === 'poster');
  expect((await page.evaluate(overlaps)).faults).toEqual([]);
  expect([strangers, faults]).toEqual([[], []]);
  await context.close();
});

/** A PDF with its packed streams unpacked behind it: Firefox packs the pages' descriptions too. */
function textOfPdf(bytes: Buffer): string {
  const text = bytes.toString('latin1');
  const packed = [...text.matchAll(/\/FlateDecode[^]*?stream\r?\n/g)].map(({ index, 0: head }) => index + head.length);
  const inside = packed.map((from) => {
    try {
      return inflateSync(bytes.subarray(from, text.indexOf('endstream', from))).toString('latin1');
    } catch {
      return '';
    }
  });
  return [text, ...inside].join('\n');
}

/** Measures what is drawn: texts by their boxes as the browser sets them, cut to the height of letters. */
function overlaps(): { texts: number; faults: string[] } {
  const root = document.querySelector('bw-app')!.shadowRoot!.querySelector('bw-song-screen')!.shadowRoot!;
  const view = root.querySelector('bw-chart-workspace')!.shadowRoot!;
  const faults: string[] = [];
  let texts = 0;
  for (const svg of view.querySelectorAll<SVGSVGElement>('.page > svg')) {
    const page = svg.viewBox.baseVal;
    const boxes = [...svg.querySelectorAll('text')].map((text) => {
      const { x, width } = text.getBBox();
      const size = Number(text.getAttribute('font-size'));
      const base = Number(text.getAttribute('y'));
      return { x, width, top: base - 0.66 * size, bottom: base + 0.18 * size, said: text.textContent.slice(0, 30) };
    });
    texts += boxes.length;
    boxes.forEach((a, i) => {
      if (a.x < 18 || a.x + a.width > page.width - 18 || a.top < 18 || a.bottom > page.height - 18)
        faults.push(`"${a.said}" leaves the page`);
      for (const b of boxes.slice(i + 1)) {
        const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (wide > 0.6 && high > 0.6) faults.push(`"${a.said}" lies on "${b.said}"`);
      }
    });
  }
  return { texts, faults };
}
