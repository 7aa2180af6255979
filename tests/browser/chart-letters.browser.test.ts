import { decode } from 'fast-png';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {} from '../../src/app/shell/app-shell.js';
import { layOutChart } from '../../src/export/chart/layout.js';
import { DEFAULT_CHART } from '../../src/model/chart-options.js';
import { writeProject } from '../../src/project/write-project.js';
import { inFirefox, visit, type Visit } from '../support/browser.js';
import { bars } from '../support/notation.js';
import { readPdf } from '../support/read-pdf.js';
import { downloaded, dropFile, said, songShown } from '../support/user.js';

// Invented titles; each has letters that the first 256 of Unicode lack.
const WRITTEN = [
  ['Polish', 'Żółta łódź pośród śniegów'],
  ['Czech', 'Příliš tichý večer u řeky, ďobe žluťásek'],
  ['Vietnamese', 'Đường về bến cũ'],
  ['Cyrillic', 'Тихая гавань, її берег'],
  ['Greek', 'Ήσυχη βραδιά στο λιμάνι'],
] as const;
const DRAWN = [
  ['Japanese', '雨の港 tune', ' tune'],
  ['emoji', 'Harbour 🎸', 'Harbour '],
] as const;

describe('a chart with letters from all over', () => {
  let here: Visit;
  let count = 0;

  beforeAll(async () => {
    here = await visit();
    await here.page.locator('bw-start-page').waitFor();
  });
  afterAll(async () => {
    expect([here.strangers, here.faults]).toEqual([[], []]);
    await here.context.close();
  });

  async function chartOf(title: string): Promise<Uint8Array> {
    const { page } = here;
    const plain = bars('Verse: 4:G 4:C 4:G | Chorus: 4:C 4:G', { title });
    const map = { ...plain, sections: plain.sections.map((each) => ({ ...each, cue: title })) };
    await dropFile(page, { name: `${++count}.barwright`, bytes: Buffer.concat(writeProject({ map })) });
    await page.waitForFunction(
      (wanted) => document.querySelector('bw-app')!.session.song.value?.map.title === wanted,
      title,
    );
    if (count === 1) await songShown(page);
    return (
      await downloaded(page, () =>
        page.evaluate(() => document.querySelector('bw-app')!.session.saveChart('chart', 'pdf')),
      )
    ).bytes;
  }

  it.each(WRITTEN)('in %s becomes a PDF whose title and lines are text, read by pdf.js', async (_, title) => {
    const pdf = await readPdf(await chartOf(title));
    expect(pdf.title).toBe(title);
    const text = pdf.pages[0]!.text.replaceAll('\n', ' ');
    // The title, and the line of each of the two sections.
    expect(text.split(title).length - 1).toBe(3);
  });

  it('names letters for which the machine has no typeface', async () => {
    // For private use, in a plane that typefaces leave alone.
    await chartOf('Harbour \u{10fffd}');
    // Firefox draws the code in the box, so that no two are alike and none is known for one.
    if (!inFirefox()) await said(here.page, 'This machine has no typeface for \u{10fffd}:').waitFor();
    await chartOf('Harbour, then');
    await said(here.page, /^Saved as "Harbour, then chart.pdf".$/).waitFor();
  });

  it.each(DRAWN)('in %s becomes a PDF with text where it can be, pictures where not', async (_, title, written) => {
    const bytes = await chartOf(title);
    const pdf = await readPdf(bytes);
    expect(pdf.title).toBe(title);
    const { text } = pdf.pages[0]!;
    expect(text).toContain(written.trim());
    expect(text).not.toContain('\u0000');
    expect(Buffer.from(bytes).toString('latin1')).toMatch(/\/Subtype \/Image/);
  });
});

it('hands over each page of a chart as a PNG picture of its own, with its resolution written in', async () => {
  const { context, page, strangers, faults } = await visit();
  const long = Array.from({ length: 14 }, (_, i) => `Part_${i}: ${'4:C 4:F 4:G 4:C 2:F '.repeat(5)}`).join(' | ');
  const map = {
    ...bars(long, { title: 'Long Łąka' }),
    chart: { ...DEFAULT_CHART, size: 'stage', folded: false } as const,
  };
  const count = layOutChart(map, map.chart).pages.length;
  expect(count).toBeGreaterThan(2);
  await page.locator('bw-start-page').waitFor();
  await dropFile(page, { name: 'long.barwright', bytes: Buffer.concat(writeProject({ map })) });
  await songShown(page);
  const save = (kind: 'chart' | 'poster') =>
    downloaded(page, () =>
      page.evaluate((wish) => document.querySelector('bw-app')!.session.saveChart(wish, 'png'), kind),
    );
  const archive = await save('chart');
  expect(archive.name).toBe('Long Łąka chart.zip');
  await said(page, `It holds ${count} pictures, one of each page.`).waitFor();
  const pages = unzipSync(archive.bytes);
  expect(Object.keys(pages)).toEqual(Array.from({ length: count }, (_, i) => `Long Łąka chart ${i + 1}.png`));
  const poster = await save('poster');
  expect(poster.name).toBe('Long Łąka poster.png');
  for (const [bytes, wide, high] of [
    ...Object.values(pages).map((each) => [each, 8.27, 11.69] as const),
    [poster.bytes, 11.69, 8.27] as const,
  ]) {
    const picture = decode(bytes, { checkCrc: true });
    // 200 dots an inch, in dots a metre (PNG Specification, Third Edition, W3C, 11.3.4.3).
    expect(picture.resolution).toEqual({ x: 7874, y: 7874, unit: 1 });
    // A4 in inches (ISO 216), to a hundredth.
    expect([picture.width / 200, picture.height / 200]).toEqual([expect.closeTo(wide, 1), expect.closeTo(high, 1)]);
  }
  expect([strangers, faults]).toEqual([[], []]);
  await context.close();
});
