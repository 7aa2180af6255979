import { describe, expect, it } from 'vitest';
import { makeExport } from '../../src/export/make-export.js';
import { bars } from '../support/notation.js';

describe('the page to share', () => {
  const page = (language?: string): string => String(makeExport('html', bars('4 4'), { language }).data);

  it('says the language of its texts, English without one', () => {
    expect(page('en-XA')).toContain('<html lang="en-XA">');
    expect(page()).toContain('<html lang="en">');
  });
});
