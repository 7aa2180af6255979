import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(new URL('../../../src/app/kit/styles/page.css', import.meta.url), 'utf8');

/** The colours of one block of tokens. */
function tokens(block: string): ReadonlyMap<string, string> {
  return new Map([...block.matchAll(/--([\w-]+):\s*(#[\da-f]{6})/g)].map(([, name = '', value = '']) => [name, value]));
}

const blocks = css.split(/(?=:root)/);
const light = tokens(blocks.find((block) => block.startsWith(':root {') && block.includes('--paper')) ?? '');
const dark = tokens(blocks.find((block) => block.startsWith(":root[data-theme='dark']")) ?? '');
const system = tokens(blocks.find((block) => block.startsWith(":root:not([data-theme='light'])")) ?? '');

/** Contrast ratio of two colours. Source: W3C, Web Content Accessibility Guidelines 2.1, "relative luminance", "contrast ratio". */
function contrast(a: string, b: string): number {
  const [high = 0, low = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}

function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const value = parseInt(hex.slice(at, at + 2), 16) / 255;
    return value <= 0.03928 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

const GROUNDS = ['paper', 'paper-raised', 'paper-sunk', 'select', 'play-wash', 'caution-wash'];

describe.each([
  ['light', light],
  ['dark', dark],
])('the %s page', (_name, colours) => {
  const of = (name: string): string => colours.get(name) ?? `no --${name}`;

  it('has text that stands out from every ground it is put on (4.5 to 1)', () => {
    for (const ground of GROUNDS) {
      for (const text of ['ink', 'ink-soft']) {
        expect(contrast(of(text), of(ground)), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    }
    expect(contrast(of('caution'), of('caution-wash'))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(of('caution'), of('paper-raised'))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(of('on-ink'), of('ink'))).toBeGreaterThanOrEqual(4.5);
  });

  it('has lines and marks that stand out (3 to 1)', () => {
    for (const mark of ['play', 'ink-faint', 'caution']) {
      expect(contrast(of(mark), of('paper')), mark).toBeGreaterThanOrEqual(3);
    }
    expect(contrast(of('ink'), of('wave'))).toBeGreaterThanOrEqual(3);
  });
});

describe('contrast', () => {
  it('is measured as the guidelines say', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    // Well-known value from memory: the lightest grey that passes 4.5 to 1 on white is #767676.
    expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5);
    expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
  });

  it('is the same whether dark is chosen or the system is dark', () => {
    expect(dark.size).toBeGreaterThan(10);
    expect([...system]).toEqual([...dark]);
  });
});
