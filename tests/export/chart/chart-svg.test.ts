import { DOMParser } from '@xmldom/xmldom';
import { describe, expect, it } from 'vitest';
import { facesStyle } from '../../../src/export/chart/bundled-faces.js';
import { chartSvg, pageElement } from '../../../src/export/chart/chart-svg.js';
import { inMarkup } from '../../../src/export/markup.js';
import { layOutChart } from '../../../src/export/chart/layout.js';
import { DEFAULT_CHART } from '../../../src/model/chart-options.js';
import { setCue } from '../../../src/model/edits/chart.js';
import { bars } from '../../support/notation.js';

const NAMES = [
  '<script>alert("x")</script>',
  `"quoted" & 'so' <b>`,
  '\u202eright to left\u202c اسم',
  '🎸👩‍🎤 tune',
  'x'.repeat(10_000),
  'half \ud83c a character \u0000\u0008 ]]>',
];

function parsed(svg: string) {
  const faults: string[] = [];
  const document = new DOMParser({
    onError: (level, message) => void (level !== 'warning' && faults.push(message)),
  }).parseFromString(svg, 'image/svg+xml');
  expect(faults).toEqual([]);
  return document;
}

describe('a chart as SVG', () => {
  it.each(NAMES.map((name) => [name.slice(0, 30), name]))('stays well-formed and inert with %j', (_, name) => {
    const plain = bars('Verse: 4:G 4:C | Chorus: 4:D 4:G', { title: name });
    const map = setCue({ ...plain, sections: plain.sections.map((s) => ({ ...s, name })) }, 'S1', name.slice(0, 150));
    const odd = { ...map, chords: map.chords.map((chord) => ({ ...chord, harte: name })) };
    for (const song of [map, odd]) {
      const document = parsed(chartSvg(song));
      const kinds = new Set(Array.from(document.getElementsByTagName('*'), (element) => element.tagName));
      for (const kind of kinds) expect(['svg', 'title', 'style', 'rect', 'g', 'text', 'path', 'line']).toContain(kind);
      for (const element of Array.from(document.getElementsByTagName('*')))
        for (const { name: attribute } of Array.from(element.attributes)) expect(attribute).not.toMatch(/^on|href/i);
    }
  });

  it('shows the title as it was typed', () => {
    const document = parsed(chartSvg(bars('4:G 4:C', { title: `Tom & "Ann" <1>` })));
    const texts = Array.from(document.getElementsByTagName('text'), (text) => text.textContent);
    expect(texts).toContain(`Tom & "Ann" <1>`);
  });

  it('puts pages under one another, or gives one', () => {
    const long = bars(
      Array.from({ length: 12 }, (_, i) => `Part_${i}: ${'4:C 4:F 4:G 4:C 2:F '.repeat(5)}`).join(' | '),
    );
    const layout = layOutChart(long, { ...DEFAULT_CHART, size: 'stage', folded: false });
    expect(layout.pages.length).toBeGreaterThan(2);
    const whole = parsed(chartSvg(long, { options: { ...DEFAULT_CHART, size: 'stage', folded: false } }));
    expect(whole.getElementsByTagName('g')).toHaveLength(layout.pages.length - 1);
    expect(pageElement(layout, 1).attributes['aria-label']).toContain(`page 2 of ${layout.pages.length}`);
  });

  it('can bring the four faces along, and those of other scripts where a text needs them', async () => {
    const face = /@font-face\{[^}]*src:url\(data:font\/woff;base64,[A-Za-z0-9+/=]{10000,}\)/g;
    const plain = await facesStyle('Tune, café');
    expect(plain.match(face)).toHaveLength(4);
    expect((await facesStyle('Łódź, берег')).match(/@font-face/g)).toHaveLength(12);
    expect(chartSvg(bars('4 4'), { faces: plain })).toContain('@font-face');
  });

  it('escapes what XML cannot carry', () => {
    expect(inMarkup('a\u0000<\ud800>&"\'')).toBe('a&lt;\ufffd&gt;&amp;&quot;&#39;');
  });
});
